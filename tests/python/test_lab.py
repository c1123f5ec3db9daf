"""The explorer in a real JupyterLab with a real browser: a slider moves, a finding changes."""

from __future__ import annotations

import importlib.util
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from typing import TYPE_CHECKING, Any

import pytest
from tests.python.browser import BROWSER, chromium
from tests.python.conftest import SYSTEMS

import nightbus as nb

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

pytestmark = [
    pytest.mark.skipif(BROWSER is None, reason="Chromium is not installed"),
    pytest.mark.skipif(
        importlib.util.find_spec("jupyterlab") is None
        or importlib.util.find_spec("playwright") is None,
        reason="JupyterLab or Playwright is not installed",
    ),
]

PATIENCE_MS = 120_000


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="module")
def lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    """A JupyterLab of its own, in a folder that holds a demo and a notebook of one cell."""
    folder = tmp_path_factory.mktemp("lab")
    demo = next(path for path in SYSTEMS if path.stem == "travelling-library-after")
    shutil.copy(demo, folder / "library.toml")
    cell: dict[str, Any] = {
        "cell_type": "code",
        "id": "explore",
        "source": 'import nightbus as nb\n\nexplorer = nb.explore("library.toml")\nexplorer',
        "execution_count": None,
        "metadata": {},
        "outputs": [],
    }
    kernel = {"name": "python3", "display_name": "Python 3"}
    notebook = {
        "cells": [cell],
        "metadata": {"kernelspec": kernel},
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    (folder / "explore.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    port = free_port()
    own = {
        f"JUPYTER_{name}": str(folder / "own" / name.lower())
        for name in ("CONFIG_DIR", "DATA_DIR", "RUNTIME_DIR")
    }
    with (folder / "server.log").open("w") as log:
        server = subprocess.Popen(
            [
                sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root",
                f"--ServerApp.port={port}", "--ServerApp.port_retries=0",
                "--IdentityProvider.token=", f"--ServerApp.root_dir={folder}",
                "--LabApp.news_url=", "--LabApp.check_for_updates_class="
                "jupyterlab.handlers.announcements.NeverCheckForUpdate",
            ],
            cwd=folder, env={**os.environ, **own}, stdout=log, stderr=subprocess.STDOUT,
        )  # fmt: skip
    address = f"http://127.0.0.1:{port}"
    try:
        for _ in range(240):
            try:
                urllib.request.urlopen(f"{address}/api", timeout=5).close()
                break
            except OSError:
                assert server.poll() is None, (folder / "server.log").read_text()
                time.sleep(0.25)
        yield address, folder
    finally:
        server.terminate()
        server.wait(timeout=30)


def drag(page: Any, slider: Any, share: float) -> None:
    """Press a slider's handle with the keyboard until it stands at a share of its way."""
    handle = slider.locator(".noUi-handle")
    low, high = (float(handle.get_attribute(f"aria-value{end}")) for end in ("min", "max"))
    wanted = low + share * (high - low)
    handle.focus()
    key = "ArrowRight" if wanted > float(handle.get_attribute("aria-valuenow")) else "ArrowLeft"
    for _ in range(200):
        now = float(handle.get_attribute("aria-valuenow"))
        if (now >= wanted) == (key == "ArrowRight"):
            break
        page.keyboard.press(key)


@pytest.mark.filterwarnings("ignore")
def test_a_slider_moves_and_the_finding_changes(lab: tuple[str, Path], tmp_path: Path) -> None:
    address, folder = lab
    with chromium() as browser:
        page = browser.new_page(viewport={"width": 1500, "height": 1300})
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        page.goto(f"{address}/lab/tree/explore.ipynb?reset", timeout=PATIENCE_MS)
        cell = page.locator(".jp-Notebook .jp-CodeCell").first
        cell.wait_for(timeout=PATIENCE_MS)
        # A key that comes before the kernel does is lost: press until the cell has its number.
        begun = cell.locator(".jp-InputPrompt", has_text=re.compile(r"\[[*1]\]"))
        # A slow start can leave a dialog in the way (the kernel is asked for): take what it offers.
        offered = page.locator(".jp-Dialog .jp-mod-accept")
        for _ in range(20):
            if offered.count():
                offered.last.click()
            cell.locator(".cm-content").click()
            page.keyboard.press("Control+Enter")
            page.wait_for_timeout(1500)
            if begun.count():
                break
        answers = page.locator(".nb-explore").first
        answers.wait_for(timeout=PATIENCE_MS)
        assert "nothing stands against it" in answers.inner_text()

        # A longer cable: the satellite terminal loses too much on the way.
        page.get_by_label("part", exact=True).select_option(label="load satellite terminal")
        length = page.locator(".widget-slider", has_text="cable length, m")
        # The controls of the part chosen before may still stand there for a moment.
        length.locator("[aria-valuenow='7.5']").wait_for(timeout=PATIENCE_MS)
        drag(page, length, 1.0)
        new = page.locator(".nb-findings li", has_text="satellite terminal").first
        new.wait_for(timeout=PATIENCE_MS)
        assert "new:" in new.inner_text()
        assert re.search(r"length 7\.5 m → \d+", answers.inner_text())
        shot = os.environ.get("NIGHTBUS_SHOTS")
        if shot:
            page.screenshot(path=f"{shot}/explorer.png")

        # The night answers to the sun, and the dashed line of the start appears.
        drag(page, page.locator(".widget-slider", has_text="sun, % of usual"), 0.0)
        page.locator(".nb-explore polyline[stroke-dasharray]").first.wait_for(timeout=PATIENCE_MS)
        if shot:
            page.screenshot(path=f"{shot}/explorer-night.png")
        page.get_by_role("tab", name="Diagram").click()
        page.locator("svg.nb-diagram").first.wait_for(timeout=PATIENCE_MS)
        if shot:
            page.screenshot(path=f"{shot}/explorer-diagram.png")

        # What is kept is the changed system.
        page.get_by_role("button", name="Keep this").click()
        page.locator("pre", has_text="kept as changed.toml").wait_for(timeout=PATIENCE_MS)
        kept = nb.read(folder / "changed.toml")
        assert kept.run("satellite terminal").length_m > 20.0
        page.get_by_role("button", name="Back to the start").click()
        page.locator(".nb-findings", has_text="nothing stands against it").wait_for(
            timeout=PATIENCE_MS
        )
        assert {url.split("/")[2] for url in asked if url.startswith(("http", "ws"))} == {
            address.split("/")[2]
        }
