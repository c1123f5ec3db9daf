"""The pictures: made from any plan, as SVG and PNG without a browser, light and dark."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree as ET

import pytest
from tests.python.colours import EYES, contrast

import nightbus as nb

pytest.importorskip("altair")
pytest.importorskip("vl_convert")

from nightbus import charts

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

OF_A_PLAN: dict[str, Callable[..., Any]] = {
    "voltage_ladder": charts.voltage_ladder,
    "ampacity": charts.ampacity,
    "energy_flow": charts.energy_flow,
    "months": charts.months,
    "heat": charts.heat,
    "hot_day": lambda plan, dark=False: charts.hot_day(nb.hot_day(plan), dark=dark),
    "night": lambda plan, dark=False: charts.night(nb.simulate(plan, days=3), dark=dark),
    "time_current": lambda plan, dark=False: charts.time_current(plan, "rack feeder", dark=dark),
    "surge": lambda plan, dark=False: charts.time_current(plan, "satellite terminal", dark=dark),
    "copper_against_drop": lambda plan, dark=False: charts.copper_against_drop(
        nb.plan(plan.system, energy=False, margins=False, trade_off_points=3), dark=dark
    ),
    "what_matters": lambda plan, dark=False: nb.what_matters(plan.system).chart(dark=dark),
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
    chart = make(demo_plan, dark=dark)
    text = svg_of(chart, tmp_path / "x.svg")
    chart.save(str(tmp_path / "x.png"))
    assert (tmp_path / "x.png").read_bytes().startswith(b"\x89PNG")
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
    assert found.data[0].path.replace("_", " ").split(".")[-1] in text
    found.chart().save(str(tmp_path / "x.png"))
    assert (tmp_path / "x.png").read_bytes().startswith(b"\x89PNG")


# ---- readable in grey, for every eye, on light and dark paper ------------------------------------


def layers_of(spec: Any) -> list[list[dict[str, Any]]]:
    """Groups of marks that share one frame, wherever they are in a chart."""
    found: list[list[dict[str, Any]]] = []
    if isinstance(spec, dict):
        if "layer" in spec:
            found.append([one for one in spec["layer"] if "mark" in one])
        elif "mark" in spec:
            found.append([spec])
        for key in ("vconcat", "hconcat", "layer"):
            for one in spec.get(key, []):
                found += layers_of(one) if key != "layer" or "mark" not in one else []
    return found


def told_without_colour(encoding: dict[str, Any]) -> bool:
    field = encoding["color"].get("field")
    return any(encoding.get(one, {}).get("field") == field for one in ("shape", "strokeDash"))


@pytest.mark.parametrize("eyes", EYES)
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("name", OF_A_PLAN)
def test_kinds_are_told_apart_by_lightness_shape_or_dash(
    demo_charts: dict[tuple[str, bool], dict[str, Any]], name: str, dark: bool, eyes: str
) -> None:
    marks = [mark for group in layers_of(demo_charts[name, dark]) for mark in group]
    assert marks
    for mark in marks:
        colour = mark.get("encoding", {}).get("color", {})
        hues = colour.get("scale", {}).get("range", [])
        if len(hues) < 2:
            continue
        if told_without_colour(mark["encoding"]):
            looks = [mark["encoding"][one]["scale"]["range"] for one in ("shape", "strokeDash")
                     if one in mark["encoding"]]  # fmt: skip
            assert all(len({str(look) for look in one}) == len(one) for one in looks)
            continue
        for a, b in itertools.combinations(hues, 2):
            assert contrast(a, b, eyes) >= 2.5, (a, b)


@pytest.mark.parametrize("eyes", EYES)
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("name", OF_A_PLAN)
def test_what_lies_on_a_band_or_on_the_paper_stands_out(
    demo_charts: dict[tuple[str, bool], dict[str, Any]], name: str, dark: bool, eyes: str
) -> None:
    palette = charts.DARK if dark else charts.LIGHT
    grounds = {palette.window, palette.night}
    for group in layers_of(demo_charts[name, dark]):
        drawn = [one["mark"].get("color") for one in group]
        under = [palette.paper, *(colour for colour in drawn if colour in grounds)]
        for colour in drawn:
            if colour is None or colour in grounds:
                continue
            for ground in under:
                assert contrast(colour, ground, eyes) >= 3.0, (colour, ground)


@pytest.fixture(scope="module")
def demo_charts(demo_plan: nb.Plan) -> dict[tuple[str, bool], dict[str, Any]]:
    """Every picture of the demo as data."""
    made: dict[tuple[str, bool], dict[str, Any]] = {}
    for name, make in OF_A_PLAN.items():
        for dark in (False, True):
            made[name, dark] = make(demo_plan, dark=dark).to_dict()
    return made


def test_a_damage_line_a_surge_and_a_load_stand_beside_the_band(
    demo_charts: dict[tuple[str, bool], dict[str, Any]],
) -> None:
    data = demo_charts["surge", False]["datasets"].values()
    lines = {row["line"] for rows in data for row in rows if "line" in row}
    assert lines == {
        "opens at the latest",
        "may open from",
        "cable is damaged",
        "switch-on surge",
    }
    surge = [row for rows in data for row in rows if row.get("line") == "switch-on surge"]
    # One I²t all along, and it is the one that the check of the plan holds.
    products = [row["current_a"] ** 2 * row["time_s"] for row in surge]
    assert max(products) == pytest.approx(min(products))


def test_lock_outs_close_together_are_one_that_counts(demo_plan: nb.Plan) -> None:
    trace = nb.simulate(demo_plan, "2026-12-20", days=3)
    gone = charts.lock_outs(trace)
    assert len(trace.attrs["lock_outs"]) == gone["times"].sum()
    assert (gone["on"] > gone["off"]).all()
    # Nothing is off longer than the trace.
    assert gone["off"].min() >= trace["local"].iloc[0]


def test_a_hot_day_stays_under_the_limit_or_shows_it(demo_plan: nb.Plan) -> None:
    air = nb.hot_day(demo_plan)
    over = set(air.loc[air["air_c"] > air["limit_c"], "compartment"])
    spec = charts.hot_day(air).to_dict()
    dotted = sum(one["mark"]["type"] == "circle" for group in layers_of(spec) for one in group)
    assert dotted == len(over)


def test_in_a_notebook_a_picture_shows_without_the_network(shed_plan: nb.Plan) -> None:
    import altair

    charts.voltage_ladder(shed_plan)
    assert altair.renderers.active == "svg"
    # What somebody changed further shows the same way.
    bundle = charts.voltage_ladder(shed_plan).properties(width=300)._repr_mimebundle_()
    data = bundle[0] if isinstance(bundle, tuple) else bundle
    text = str(data["image/svg+xml"])
    assert text.startswith("<svg")
    assert "<script" not in text


def test_a_renderer_that_was_chosen_stays(shed_plan: nb.Plan) -> None:
    import altair

    with altair.renderers.enable("mimetype"):
        charts.voltage_ladder(shed_plan)
        assert altair.renderers.active == "mimetype"
