"""The report in a real browser: no console errors, nothing asked for, find, unfold, print."""

from __future__ import annotations

import re
import shutil
import subprocess
from typing import TYPE_CHECKING

import pytest

from nightbus.report.page import page

if TYPE_CHECKING:
    from pathlib import Path

    import nightbus as nb

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = pytest.mark.skipif(BROWSER is None, reason="Chromium is not installed")

ACTIONS = """
<script>
addEventListener("load", () => {
  const said = {};
  const field = document.getElementById("find-run");
  const rows = [...document.querySelectorAll("#schedule > .cards tbody tr")];
  said.rows = rows.length;
  field.value = "satellite";
  field.dispatchEvent(new Event("input"));
  said.shown = rows.filter(row => getComputedStyle(row).display !== "none").length;
  field.value = "";
  field.dispatchEvent(new Event("input"));
  said.again = rows.filter(row => getComputedStyle(row).display !== "none").length;
  const first = document.querySelector("#findings details");
  location.hash = first.id;
  dispatchEvent(new HashChangeEvent("hashchange"));
  said.unfolded = first.open;
  dispatchEvent(new Event("beforeprint"));
  said.all = [...document.querySelectorAll("#findings details")].every(one => one.open);
  said.wide = document.documentElement.scrollWidth <= innerWidth;
  const order = [...document.querySelectorAll("a, summary, input, [tabindex='0']")];
  said.reach = order.every(one => one.tabIndex >= 0);
  document.title = JSON.stringify(said);
});
</script>
"""


def run(*flags: str, page_path: Path) -> subprocess.CompletedProcess[str]:
    assert BROWSER is not None
    return subprocess.run(
        [
            BROWSER,
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--enable-logging=stderr",
            "--virtual-time-budget=4000",
            *flags,
            page_path.as_uri(),
        ],
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=180,
        check=True,
    )


@pytest.fixture(scope="module")
def report(demo_plan: nb.Plan, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("report") / "report.html"
    path.write_text(page(demo_plan).replace("</body>", ACTIONS + "</body>"), encoding="utf-8")
    return path


@pytest.mark.parametrize("width", [1280, 390], ids=["desk", "phone"])
def test_find_unfold_and_print_work_and_the_page_fits(
    report: Path, demo_plan: nb.Plan, width: int
) -> None:
    import json
    from html import unescape

    done = run("--dump-dom", f"--window-size={width},1200", page_path=report)
    assert "CONSOLE" not in done.stderr, done.stderr[-1500:]
    title = re.search(r"<title>(\{.*?\})</title>", done.stdout)
    assert title is not None
    said = json.loads(unescape(title[1]))
    assert said["rows"] == len(demo_plan.system.runs)
    assert said["shown"] == 1
    assert said["again"] == said["rows"]
    assert said["unfolded"]
    assert said["all"]
    assert said["reach"]
    assert said["wide"], "the page scrolls sideways"


def test_it_prints_to_pdf(report: Path, tmp_path: Path) -> None:
    target = tmp_path / "report.pdf"
    run(f"--print-to-pdf={target}", page_path=report)
    assert target.read_bytes().startswith(b"%PDF")
