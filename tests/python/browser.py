"""Debian's Chromium, driven by Playwright; what it would ask of the network is kept and refused."""

from __future__ import annotations

import os
import shutil
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")


@contextmanager
def chromium() -> Iterator[Any]:
    """A browser without a window."""
    from playwright.sync_api import sync_playwright

    # Chromium refuses its sandbox to the superuser, as which tests run in many containers.
    flags = ["--no-sandbox"] if os.geteuid() == 0 else []
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=BROWSER, args=flags)
        try:
            yield browser
        finally:
            browser.close()
