"""The pictures: made from any plan, as SVG and PNG without a browser, light and dark."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree as ET

import pytest

import nightbus as nb

pytest.importorskip("altair")
pytest.importorskip("vl_convert")

from nightbus import charts

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

OF_A_PLAN = {
    "voltage_ladder": charts.voltage_ladder,
    "ampacity": charts.ampacity,
    "energy_flow": charts.energy_flow,
    "months": charts.months,
    "heat": charts.heat,
}


def svg_of(chart: Any, path: Path) -> str:
    chart.save(str(path))
    text = path.read_text(encoding="utf-8")
    ET.fromstring(text)
    return text


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("name", OF_A_PLAN)
def test_a_picture_of_a_plan_is_svg_that_asks_for_nothing(
    demo_plan: nb.Plan, tmp_path: Path, name: str, dark: bool
) -> None:
    make: Callable[..., Any] = OF_A_PLAN[name]
    text = svg_of(make(demo_plan, dark=dark), tmp_path / "x.svg")
    assert "href=" not in text.replace('xlink:href="#', "").replace('href="#', "")
    background = (charts.DARK if dark else charts.LIGHT).paper
    assert background in text


def test_every_device_of_the_bank_side_stands_on_the_ladder(
    demo_plan: nb.Plan, tmp_path: Path
) -> None:
    text = svg_of(charts.voltage_ladder(demo_plan), tmp_path / "x.svg")
    for end in demo_plan.data.wiring.ends:
        if end.nominal_v == demo_plan.system.banks[0].nominal_v:
            assert end.name in text


def test_time_and_current_of_a_run(demo_plan: nb.Plan, tmp_path: Path) -> None:
    text = svg_of(charts.time_current(demo_plan, "rack feeder"), tmp_path / "x.svg")
    assert "seconds" in text
    line = demo_plan.damage_line("rack feeder")
    # I²t is the same all along the line.
    products = [current * current * seconds for current, seconds in line]
    assert products
    assert max(products) == pytest.approx(min(products))


def test_copper_against_drop_needs_a_curve(shed: nb.System, tmp_path: Path) -> None:
    with pytest.raises(nb.Error, match="trade_off_points"):
        charts.copper_against_drop(nb.plan(shed, energy=False))
    plan = nb.plan(shed, energy=False, trade_off_points=4)
    if plan.data.wiring.trade_off:
        svg_of(charts.copper_against_drop(plan), tmp_path / "x.svg")


def test_bars_of_what_matters(shed: nb.System, tmp_path: Path) -> None:
    found = nb.what_matters(shed, "window_margin_v")
    text = svg_of(found.chart(most=5), tmp_path / "x.svg")
    assert found.data[0].path in text
    found.chart().save(str(tmp_path / "x.png"))
    assert (tmp_path / "x.png").read_bytes().startswith(b"\x89PNG")
