"""Colours of the report keep the contrast that WCAG 2.1 asks of text (4.5) and marks (3)."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

STYLE = files("nightbus.report").joinpath("style.css").read_text(encoding="utf-8")
TEXT = ["--ink", "--soft", "--danger", "--warning", "--notice", "--good", "--accent"]


def palettes() -> dict[str, dict[str, str]]:
    found = {}
    blocks = re.findall(r":root \{(.*?)\}", STYLE, re.DOTALL)
    for name, block in zip(["light", "dark", "print"], blocks, strict=True):
        found[name] = dict(re.findall(r"(--[\w-]+): (#[0-9a-f]{3,6})", block))
    return found


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.1."""
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: str, b: str) -> float:
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("name", ["light", "dark", "print"])
@pytest.mark.parametrize("text", TEXT)
def test_text_stands_out_from_every_ground(name: str, text: str) -> None:
    colours = palettes()[name]
    for ground in ("--paper", "--raised", "--box"):
        assert contrast(colours[text], colours[ground]) >= 4.5, (text, ground)


@pytest.mark.parametrize("name", ["light", "dark", "print"])
def test_tags_stand_out_from_their_wash(name: str) -> None:
    colours = palettes()[name]
    for kind in ("danger", "warning", "good"):
        assert contrast(colours[f"--{kind}"], colours[f"--{kind}-wash"]) >= 4.5


@pytest.mark.parametrize("name", ["light", "dark", "print"])
def test_lines_and_marks_stand_out_from_the_paper(name: str) -> None:
    colours = palettes()[name]
    for mark in ("--line", "--danger", "--warning", "--ink"):
        assert contrast(colours[mark], colours["--paper"]) >= 3.0
    # A ring on the band of its window must be seen, in grey too.
    assert contrast(colours["--ink"], colours["--window"]) >= 3.0


def test_the_formula_gives_the_known_extremes() -> None:
    assert contrast("#000", "#fff") == pytest.approx(21.0)
    assert contrast("#777", "#777") == 1.0
