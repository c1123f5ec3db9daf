"""A system in Python: lists, names, copies, files."""

from __future__ import annotations

import copy
import pickle
from typing import TYPE_CHECKING

import pytest
from tests.python.conftest import SYSTEMS

import nightbus as nb

if TYPE_CHECKING:
    from pathlib import Path


def test_lists_are_lists_and_can_be_asked_by_name(shed: nb.System) -> None:
    shed.loads.append(nb.Load(name="switch", typical="8 W"))
    shed.load("switch").typical_w = 14
    assert shed.loads["switch"].typical == "14 W"
    assert [load.name for load in shed.loads] == ["router", "lamp", "switch"]
    assert "switch" in shed.loads
    assert shed.loads[-1] in shed.loads
    assert shed.loads[:2].names() == ["router", "lamp"]
    del shed.loads["switch"]
    assert len(shed.loads) == 2
    shed.loads[0] = nb.Load(name="gateway", typical="3 W")
    shed.loads["gateway"] = nb.Load(name="router", typical="3 W")
    assert shed.loads.names() == ["router", "lamp"]
    assert shed.loads.find("nobody") is None


def test_a_list_refuses_records_of_another_kind(shed: nb.System) -> None:
    with pytest.raises(TypeError, match="expected a Load"):
        shed.loads.append(nb.Bus(name="b"))  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        shed.add("router")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("verb", "name", "wrong"),
    [
        ("bank", "bank", "bnak"),
        ("bus", "bus", "buss"),
        ("load", "router", "ruoter"),
        ("fan", "fan", "fann"),
        ("converter", "injector", "injectr"),
        ("poe_link", "camera", "camra"),
        ("array", "roof", "rooff"),
        ("run", "lead", "laed"),
        ("compartment", "cupboard", "cupbord"),
    ],
)
def test_every_kind_is_found_by_name_or_missed_with_a_hint(
    shed: nb.System, verb: str, name: str, wrong: str
) -> None:
    assert getattr(shed, verb)(name).name == name
    with pytest.raises(nb.LookupError, match=f'did you mean "{name}"'):
        getattr(shed, verb)(wrong)


def test_cases_and_chargers_are_found_by_name(shed: nb.System) -> None:
    shed.add(nb.Case(name="grey"), nb.Charger(name="mains", current="20 A"))
    assert shed.case("grey").name == "grey"
    assert shed.charger("mains").current_a == 20.0


def test_a_feed_leads_to_a_load_and_away_from_a_source(shed: nb.System) -> None:
    assert (shed.run("router").from_, shed.run("router").to) == ("bus", "router")
    assert (shed.run("roof").from_, shed.run("roof").to) == ("roof", "bus")
    with pytest.raises(TypeError, match="exactly one"):
        shed.add(feed={"from_": "bus", "length": "1 m"})


def test_points_are_what_a_run_may_join(shed: nb.System) -> None:
    assert set(shed.points()) == {
        "bank",
        "bus",
        "router",
        "lamp",
        "fan",
        "injector",
        "camera",
        "roof",
    }


def test_copies_are_deep_and_equal(shed: nb.System) -> None:
    for twin in (shed.copy(), copy.deepcopy(shed), pickle.loads(pickle.dumps(shed))):
        assert twin == shed
        twin.load("router").typical_w = 99
        assert twin != shed
    assert shed.load("router").typical_w == 12
    assert shed != "something else"


def test_differences_name_what_changed(shed: nb.System) -> None:
    other = shed.copy()
    other.load("router").typical = "20 W"
    other.title = "Barn"
    del other.poe_links["camera"]
    other.site.latitude = "60 deg"
    rows = shed.differences(other)
    assert ("system", "", "title", "Shed", "Barn") in rows
    assert ("load", "router", "typical", "12 W", "20 W") in rows
    assert ("site", "", "latitude", "58.9°", "60°") in [
        (k, n, f, a.replace(" ", ""), b.replace(" ", "")) if k == "site" else (k, n, f, a, b)
        for k, n, f, a, b in rows
    ] or any(row[:3] == ("site", "", "latitude") for row in rows)
    gone = next(row for row in rows if row[0] == "poe_link")
    assert gone[2] == ""
    assert gone[4] is None
    assert shed.differences(shed.copy()) == []


def test_what_is_written_reads_back_equal(shed: nb.System, tmp_path: Path) -> None:
    assert nb.loads(shed.to_toml()) == shed
    path = tmp_path / "shed.toml"
    nb.write(shed, path)
    assert nb.read(path) == shed
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("path", SYSTEMS, ids=lambda path: path.stem)
def test_demo_systems_survive_writing(path: Path) -> None:
    system = nb.read(path)
    assert nb.loads(system.to_toml()) == system
    assert nb.check(system) == []


def test_problems_of_a_file_point_to_line_and_column(tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(
        'nightbus = 1\n[site]\nlatitude = "58 deg"\nlongitude = "15 deg"\n\n'
        '[[load]]\nname = "router"\ntipical = "12 W"\nwindow = "9 A to 36 V"\n'
    )
    with pytest.raises(nb.InputError) as caught:
        nb.read(path)
    places = {(p.where.line, p.code) for p in caught.value.problems}
    assert (8, "unknown-key") in places
    assert 9 in {line for line, _ in places}
    first = next(p for p in caught.value.problems if p.where.line == 8)
    assert first.where.file.endswith("bad.toml")
    assert first.where.place.endswith("bad.toml:8:1")
    assert first.where.text == 'tipical = "12 W"'
    assert 'did you mean "typical"' in first.mend
    assert "^" in str(first)


def test_a_file_that_is_not_there_is_an_error() -> None:
    with pytest.raises(nb.Error):
        nb.read("no-such-file.toml")


def test_a_mistyped_file_has_a_near_miss(shed: nb.System, tmp_path: Path) -> None:
    shed.write(tmp_path / "shelter.toml")
    with pytest.raises(nb.Error, match=r'did you mean ".*shelter.toml"'):
        nb.read(tmp_path / "shelt.toml")
    with pytest.raises(nb.Error, match="cannot open") as caught:
        nb.read(tmp_path / "quite another thing")
    assert "did you mean" not in str(caught.value)


def test_problems_and_spans_pickle() -> None:
    with pytest.raises(nb.InputError) as caught:
        nb.loads("nightbus = 1\ntitel = 'x'\n")
    problem = caught.value.problems[0]
    twin = pickle.loads(pickle.dumps(problem))
    assert (twin.code, twin.what, twin.where.place) == (
        problem.code,
        problem.what,
        problem.where.place,
    )
    assert str(twin) == str(problem)


def test_assumptions_name_kind_record_and_field(shed: nb.System) -> None:
    rows = shed.assumptions()
    assert ("load", "router", "behaviour", "constant power") in rows
    assert not any(row[:3] == ("load", "lamp", "behaviour") for row in rows)


def test_repr_and_html_are_short_and_escaped() -> None:
    system = nb.System("<b>Hut</b>", records=[nb.Load(name="<script>x</script>", typical=1)])
    assert "1 load" in repr(system)
    html = system._repr_html_()
    assert "<script>x" not in html
    assert "&lt;script&gt;" in html
    assert "<b>Hut" not in system.loads._repr_html_() + html


def test_tab_completion_knows_names(shed: nb.System) -> None:
    assert shed.loads._ipython_key_completions_() == ["router", "lamp"]
    assert "loads" in dir(shed)
    assert "plan" in dir(nb)
