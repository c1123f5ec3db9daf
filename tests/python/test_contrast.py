"""Colours of the report keep the contrast that WCAG 2.1 asks of text (4.5) and marks (3)."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest
from tests.python.colours import EYES, contrast, seen

STYLE = files("nightbus.report").joinpath("style.css").read_text(encoding="utf-8")
TEXT = ["--ink", "--soft", "--danger", "--warning", "--notice", "--good", "--accent"]


def palettes() -> dict[str, dict[str, str]]:
    found = {}
    blocks = re.findall(r":root \{(.*?)\}", STYLE, re.DOTALL)
    for name, block in zip(["light", "dark", "print"], blocks, strict=True):
        found[name] = dict(re.findall(r"(--[\w-]+): (#[0-9a-f]{3,6})", block))
    return found


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


@pytest.mark.parametrize("eyes", EYES)
@pytest.mark.parametrize("name", ["light", "dark", "print"])
def test_marks_are_told_apart_by_their_lightness_whatever_the_eyes(name: str, eyes: str) -> None:
    colours = palettes()[name]
    # Bars that stand side by side, rings on their band, and lines on the paper.
    assert contrast(colours["--window"], colours["--soft"], eyes) >= 2.5
    for mark in ("--ink", "--danger"):
        assert contrast(colours[mark], colours["--window"], eyes) >= 3.0, mark
    for mark in ("--ink", "--danger", "--warning", "--line"):
        assert contrast(colours[mark], colours["--paper"], eyes) >= 3.0, mark


@pytest.mark.parametrize("eyes", EYES)
def test_white_stays_white_and_black_black(eyes: str) -> None:
    assert seen("#ffffff", eyes) == pytest.approx((1.0, 1.0, 1.0), abs=1e-5)
    assert seen("#000000", eyes) == (0.0, 0.0, 0.0)
