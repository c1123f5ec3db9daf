"""The explorer: every move is answered, nothing bad sticks, what is kept reads back."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree as ET

import pytest
from tests.python.conftest import SYSTEMS

import nightbus as nb
from nightbus import _core

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def explorer(shed: nb.System) -> nb.Explorer:
    return nb.explore(shed)


def test_a_move_changes_the_system_and_the_plan_but_not_the_original(
    explorer: nb.Explorer, shed: nb.System
) -> None:
    before = explorer.plan
    explorer.set("load", "router", "typical", "17 W")
    assert explorer.system.load("router").typical_w == 17.0
    assert explorer.plan is not before
    assert shed.load("router").typical_w == 12.0
    assert explorer.changes() == [("load", "router", "typical", "12 W", "17 W")]
    assert "17 W" in explorer.verdict_html()
    explorer.reset()
    assert explorer.changes() == []


def test_a_refused_value_changes_nothing(explorer: nb.Explorer) -> None:
    before = explorer.plan
    for value in ("3 V", "-4 W", "lots", "40 W"):  # 40 W: above its peak
        with pytest.raises(nb.InputError):
            explorer.set("load", "router", "typical", value)
    with pytest.raises(nb.InputError):
        explorer.set("run", "lead", "to", "nowhere")
    assert explorer.plan is before
    assert explorer.changes() == []


def test_what_is_kept_reads_back(explorer: nb.Explorer, tmp_path: Path) -> None:
    explorer.set("run", "lead", "length", "2.5 m")
    path = explorer.keep(tmp_path / "kept.toml")
    assert nb.read(path) == explorer.system


def test_the_night_is_played_from_the_conditions(explorer: nb.Explorer) -> None:
    before = explorer.night
    assert before is not None
    explorer.set_conditions(charge="40 %", sun=0.0, day=date(2026, 12, 1))
    after = explorer.night
    assert after is not None
    assert after.charge(explorer.system)[0] == pytest.approx(0.4, abs=0.01)
    assert max(after.one("array_power")) == 0.0 < max(before.one("array_power"))
    for wrong in ({"charge": 1.2}, {"sun": "-3 %"}, {"charge": "3 V"}):
        with pytest.raises(ValueError, match=next(iter(wrong))):
            explorer.set_conditions(**wrong)
    explorer.reset()
    assert explorer.night is explorer.start_night


def test_sizes_are_held_until_they_are_chosen_anew(explorer: nb.Explorer) -> None:
    held = {run.name: (run.size, run.fuse) for run in explorer.held.runs}
    assert all(size is not None for size, _ in held.values())
    worse = explorer.set("run", "router", "length", "60 m")
    assert {run.name: (run.size, run.fuse) for run in explorer.held.runs} == held
    assert worse.count("danger") + worse.count("warning") > 0
    assert "new: " in explorer.verdict_html()
    explorer.choose_sizes()
    assert "router" in [name for name, _, _ in explorer.sizes_changed()]
    assert "router: " in explorer.verdict_html()
    # The description stays open: the file that is kept does not name a size.
    assert explorer.system.run("router").size is None
    explorer.reset()
    assert explorer.sizes_changed() == []


@pytest.mark.parametrize("path", SYSTEMS, ids=lambda path: path.stem)
def test_held_sizes_are_judged_as_the_plan_judged_them(path: Path) -> None:
    explorer = nb.explore(path)
    chosen = nb.plan(explorer.system, energy=False, margins=False, size_ups=False)
    serious = [
        {(one.code, one.subject, one.case_name) for one in made.finding_list
         if one.severity.name in ("danger", "warning")}
        for made in (chosen, explorer.start)
    ]  # fmt: skip
    assert serious[0] == serious[1]


def test_a_mended_finding_is_struck_out() -> None:
    explorer = nb.explore(next(p for p in SYSTEMS if p.stem == "travelling-library-before"))
    before = explorer.start.count("danger")
    explorer.set("run", "satellite terminal", "fuse", "7.5 A")
    explorer.set("run", "satellite terminal", "size", "6 AWG")
    assert explorer.plan.count("danger") < before
    assert "mended: " in explorer.verdict_html()


def test_without_a_place_there_is_no_night_but_an_answer() -> None:
    explorer = nb.explore(
        nb.System(
            "Post",
            records=[
                nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
                nb.Load(name="router", typical="12 W", window="9 V to 36 V"),
                nb.Run(name="feed", from_="bank", to="router", length="1 m"),
            ],
        )
    )
    assert "router" in explorer.verdict_html()
    for which in ("Night", "Volts", "Diagram"):
        assert "nb-explore" in explorer.picture_html(which)


def test_pictures_are_well_formed_and_ask_for_nothing(explorer: nb.Explorer) -> None:
    explorer.set("load", "router", "typical", "17 W")
    for which in ("Night", "Volts", "Diagram"):
        markup = explorer.picture_html(which)
        for found in re.findall(r"<svg.*?</svg>", markup, re.DOTALL):
            ET.fromstring(found)
        assert "http" not in markup.replace("http://www.w3.org/2000/svg", "")


def test_names_are_escaped() -> None:
    name = "<img src=x onerror=alert(1)>"
    explorer = nb.explore(
        nb.System(
            name,
            records=[
                nb.Site(latitude="47 deg", longitude="11 deg"),
                nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="1 Ah"),
                nb.Load(name=name, typical="12 W", window="9 V to 36 V"),
                nb.Run(name="feed", from_="bank", to=name, length="1 m"),
            ],
        )
    )
    explorer.set("load", name, "note", name)
    for markup in (explorer.verdict_html(), *map(explorer.picture_html, ("Night", "Volts"))):
        assert "<img" not in markup
        assert name.replace("<", "&lt;").replace(">", "&gt;") in markup


@pytest.fixture
def view(explorer: nb.Explorer) -> Any:
    widgets = pytest.importorskip("ipywidgets")
    from nightbus.explore_view import View

    return View(explorer, widgets)


def test_controls_move_the_system(explorer: nb.Explorer, view: Any, tmp_path: Path) -> None:
    view.what.value = ("load", "lamp")
    watts = view.controls["load", "lamp", "typical"]
    assert watts.value == 6.0
    assert watts.description == "typical, W"
    watts.value = 6.5
    assert explorer.system.load("lamp").typical_w == 6.5
    view.controls["load", "lamp", "schedule"].value = "17:00-20:00, 21:00-22:00"
    assert len(explorer.system.load("lamp").schedule) == 2
    view.controls["run", "lamp", "length"].value = 9.0
    assert explorer.system.run("lamp").length_m == 9.0
    view.controls["run", "lamp", "size"].value = "10 AWG"
    assert str(explorer.held.run("lamp").size) == "10 AWG"
    view.what.value = ("run", "lead")
    view.controls["run", "lead", "bundle"].value = 6
    air = view.controls["run", "lead", "ambient"]
    assert air.value == round(explorer.hottest_air_c("lead"))
    assert explorer.system.run("lead").ambient is None  # looking does not set it
    air.value += 20.0
    assert explorer.system.run("lead").ambient_c == air.value
    assert explorer.system.run("lead").bundle == 6
    view.charge.value, view.sun.value = 50, 0
    assert (explorer.conditions.charge, explorer.conditions.sun) == (0.5, 0.0)
    view.file.value = str(tmp_path / "kept.toml")
    view.keep.click()
    assert nb.read(tmp_path / "kept.toml") == explorer.system
    assert "lamp" in view.answers.value
    view.file.value = str(tmp_path / "no folder" / "kept.toml")
    view.keep.click()
    assert "not kept" in view.message.value
    view.back.click()
    assert explorer.changes() == []
    assert view.charge.value == 100


def test_what_people_wiggle_has_a_control(view: Any) -> None:
    """Length, size, watts, hours, ambient, charge, date, site, panels, cloudiness."""
    wanted = {
        ("run", "lamp"): {"length", "size", "ambient"},
        ("load", "lamp"): {"typical", "schedule"},
        ("bank", "bank"): {"capacity", "charge_low"},
        ("array", "roof"): {"power", "tilt", "azimuth"},
        ("site", ""): {"latitude", "temp_hot", "temp_cold"},
    }
    for place, fields in wanted.items():
        view.what.value = place
        assert fields <= {field for kind, name, field in view.controls if (kind, name) == place}
    for control, words in ((view.day, "night"), (view.charge, "bank"), (view.sun, "sun")):
        assert words in control.description


def test_a_move_of_the_air_asks_for_no_plan_of_its_own(
    explorer: nb.Explorer, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = []
    real = _core.make_plan

    def counted(*arguments: Any, **options: Any) -> Any:
        made.append(1)
        return real(*arguments, **options)

    monkeypatch.setattr(_core, "make_plan", counted)
    explorer.set("site", "", "temp_hot", "41 °C")
    assert len(made) == 1
    months = nb.plan(explorer.system, margins=False).data.energy.months
    assert explorer._air_c == tuple(month.outside_c for month in months)


def test_any_field_can_be_typed_and_a_wrong_one_says_why(explorer: nb.Explorer, view: Any) -> None:
    view.what.value = ("load", "router")
    view.field.value = "rest"
    view.text.value = "4 W"
    assert explorer.system.load("router").rest_w == 4.0
    view.text.value = "4 V"
    assert "voltage" in view.message.value
    assert explorer.system.load("router").rest_w == 4.0
    view.field.value = "priority"
    view.text.value = "high"
    assert "whole number" in view.message.value
    view.text.value = "2"
    assert explorer.system.load("router").priority == 2
    assert view.message.value == ""


@pytest.mark.parametrize("path", SYSTEMS, ids=lambda path: path.stem)
def test_every_part_of_a_demo_has_controls(path: Path) -> None:
    widgets = pytest.importorskip("ipywidgets")
    from nightbus.explore_view import View

    explorer = nb.explore(path)
    view = View(explorer, widgets)
    for place in explorer.records():
        view.what.value = place
        assert view.controls, place
        assert view.field.options
    # Looking around changes nothing.
    assert explorer.changes() == []


def test_only_the_picture_that_is_looked_at_is_drawn(view: Any) -> None:
    assert view.pictures[0].value != ""
    assert view.pictures[2].value == ""
    view.tabs.selected_index = 2
    assert "One-line diagram" in view.pictures[2].value
