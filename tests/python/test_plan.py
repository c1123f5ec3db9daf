"""The plan as Python hands it out."""

from __future__ import annotations

import copy
import json
import pickle
from html import escape
from typing import TYPE_CHECKING, Any

import jsonschema
import numpy as np
import pandas as pd
import pytest
from tests.python.conftest import ROOT, SYSTEMS, small_system

import nightbus as nb
from nightbus import sheets
from nightbus.frames import unit_of
from nightbus.sheet_tables import sheet_tables

if TYPE_CHECKING:
    from pathlib import Path


def test_before_is_dangerous_and_after_is_not() -> None:
    for path in SYSTEMS:
        plan = nb.plan(path)
        if path.stem.endswith("before"):
            assert plan.verdict == "danger"
            assert plan.exit_status == 1
            assert plan.count("danger") >= 1
            assert plan.count("warning") >= 2
        else:
            assert plan.count("danger") == 0, plan.findings.head(3)["what"].tolist()
            assert plan.count("warning") == 0, plan.findings.head(3)["what"].tolist()
            assert plan.verdict == "good"
            assert plan.exit_status == 0


def test_the_verdict_is_never_good_while_something_stands(
    demo_plan: nb.Plan, shed_plan: nb.Plan
) -> None:
    for plan in (demo_plan, shed_plan):
        if plan.count("danger") or plan.count("warning"):
            assert plan.verdict != "good"


def test_cautions_and_what_is_not_known_are_never_empty(shed_plan: nb.Plan) -> None:
    assert shed_plan.cautions
    assert shed_plan.not_modelled
    assert len(shed_plan.assumptions) > 0


@pytest.mark.parametrize(
    "name",
    [
        "findings",
        "assumptions",
        "runs",
        "fuses",
        "loads",
        "volts",
        "cases",
        "heat",
        "months",
        "energy",
        "rules",
    ],
)
def test_every_table_has_rows_and_units(demo_plan: nb.Plan, name: str) -> None:
    table = demo_plan.tables()[name]
    assert len(table) > 0
    for column in table.columns:
        if unit_of(column):
            assert table.attrs["units"][column] == unit_of(column)
    # A frame is a copy: spoiling it does not spoil the plan.
    table[table.columns[0]] = None
    pd.testing.assert_frame_equal(demo_plan.tables()[name], getattr(demo_plan, name))


def test_runs_have_the_order_of_the_system(demo_plan: nb.Plan) -> None:
    assert demo_plan.runs["run"].tolist() == demo_plan.system.runs.names()
    run = demo_plan.run("rack feeder")
    assert run.run == "rack feeder"
    assert run.choice is not None
    with pytest.raises(nb.LookupError, match="rack feeder"):
        demo_plan.run("rack feedr")


def test_every_case_closes_its_balance(demo_plan: nb.Plan) -> None:
    for case in demo_plan.case_results:
        if case.ok:
            assert abs(case.balance.gap_w) <= 1e-6 * max(1.0, case.balance.supplied_w)
            assert case.balance.node_residual_a < 1e-6


def test_volts_in_table_cases_and_xarray_agree(demo_plan: nb.Plan) -> None:
    data = demo_plan.to_xarray()
    case = demo_plan.case_results[0]
    for load, result in zip(demo_plan.system.loads, case.loads, strict=True):
        here = data["voltage_v"].sel(device=load.name, case=case.name).item()
        assert here == result.voltage_v
    assert data["run_drop_v"].shape == (len(demo_plan.system.runs), len(demo_plan.case_results))
    assert data["voltage_v"].attrs["units"] == "V"


def test_window_margins_follow_from_volts_and_window(demo_plan: nb.Plan) -> None:
    volts = demo_plan.volts
    router = volts[volts["name"] == "cellular router"]
    assert np.allclose(router["window_low_v"], 9.0)
    assert np.allclose(router["window_high_v"], 36.0)


def test_the_wired_system_plans_to_the_same_sizes(shed_plan: nb.Plan) -> None:
    again = nb.plan(shed_plan.wired)
    assert again.runs["size"].tolist() == shed_plan.runs["size"].tolist()
    assert all(again.runs["given"])


def test_json_has_the_documented_shape(demo_plan: nb.Plan, shed_plan: nb.Plan) -> None:
    schema = nb.plan_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for plan in (demo_plan, shed_plan, nb.plan(small_system(), energy=False, margins=False)):
        errors = list(validator.iter_errors(json.loads(plan.to_json())))
        assert errors == []


def test_json_schema_would_notice_a_lost_key(shed_plan: nb.Plan) -> None:
    data = json.loads(shed_plan.to_json())
    del data["wiring"]["runs"][0]["size"]
    data["cases"][0]["status"] = "splendid"
    validator = jsonschema.Draft202012Validator(nb.plan_schema())
    assert len(list(validator.iter_errors(data))) == 2


def test_the_system_schema_accepts_the_demos_and_refuses_a_typo() -> None:
    import tomllib

    validator = jsonschema.Draft202012Validator(nb.system_schema())
    for path in SYSTEMS:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        assert list(validator.iter_errors(data)) == []
        data["load"][0]["tipical"] = "2 W"
        assert list(validator.iter_errors(data))


def test_files_are_written(demo_plan: nb.Plan, tmp_path: Path) -> None:
    demo_plan.write_json(tmp_path / "plan.json")
    assert json.loads((tmp_path / "plan.json").read_text())["format"] == 1
    written = demo_plan.write_csv(tmp_path / "csv")
    assert {path.stem for path in written} == {*demo_plan.tables(), *sheet_tables(demo_plan)}
    runs = pd.read_csv(tmp_path / "csv" / "runs.csv")
    assert runs["run"].tolist() == demo_plan.runs["run"].tolist()


def test_why_not_another_size(shed_plan: nb.Plan) -> None:
    thin = shed_plan.why_not("lead", "18 AWG", nb.Device("mini blade", 30.0))
    assert not thin.feasible
    assert thin.first_failure is not None
    assert thin.first_failure.rule
    assert thin.first_failure.title
    same = shed_plan.why_not("lead", shed_plan.run("lead").size, shed_plan.run("lead").device)
    assert same.feasible
    with pytest.raises(nb.LookupError):
        shed_plan.why_not("laed", "18 AWG")


def test_explain_a_run_a_device_a_code_and_a_compartment(demo_plan: nb.Plan) -> None:
    run = demo_plan.explain("rack feeder")
    assert "Sizes looked at" in run
    device = demo_plan.explain("catalogue server")
    assert "fed through" in device
    assert "rack feeder" in device
    code = demo_plan.explain("ampacity")
    assert "in this plan" in code
    assert "By case" in demo_plan.explain("rack")
    assert "PoE stage" in demo_plan.explain("PoE stage")
    with pytest.raises(nb.LookupError, match="rack feeder"):
        demo_plan.explain("rack feedr")
    assert nb.explain(demo_plan, "rack feeder") == run


def test_comparing_shows_what_is_mended() -> None:
    before = next(path for path in SYSTEMS if path.stem == "travelling-library-before")
    found = nb.compare(before, before.with_name("travelling-library-after.toml"))
    assert "danger" in repr(found)
    assert "gone" in found.findings["change"].tolist()
    assert len(found.figures) > 0
    assert len(found.description) > 0
    assert json.loads(found.to_json())["before"] == "danger"
    assert "<table" in found._repr_html_()
    alike = nb.compare(found.before, found.before)
    assert len(alike.findings) == len(alike.figures) == len(alike.description) == 0


def test_the_sheets_count_what_the_plan_holds(demo_plan: nb.Plan) -> None:
    pieces = sheets.cut_list(demo_plan)
    parts = sheets.parts(demo_plan)
    metres = parts[parts["unit"] == "m"]["number"].sum()
    assert metres == pytest.approx((pieces["pieces"] * pieces["length_m"]).sum(), abs=0.1)
    fitted = sum(run.device is not None for run in demo_plan.run_plans)
    fuses = parts[parts["part"].str.contains(" A ")]
    assert fuses["number"].sum() == fitted
    labels = sheets.labels(demo_plan)
    assert len(labels) == 2 * len(demo_plan.system.runs)
    assert any(check.at == "rack feeder" for check in sheets.live_checks(demo_plan))
    assert len(sheets.dead_checks(demo_plan)) == 4 + fitted


def test_a_system_that_cannot_be_used_is_refused_with_reasons() -> None:
    lost = nb.System(records=[nb.Load(name="router", typical="12 W")])
    with pytest.raises(nb.InputError) as caught:
        nb.plan(lost)
    assert caught.value.problems
    assert {p.code for p in nb.check(lost)} == {p.code for p in caught.value.problems}


def test_repr_says_the_verdict_first(demo_plan: nb.Plan) -> None:
    assert "danger" in repr(demo_plan)
    html = demo_plan._repr_html_()
    assert html.index("danger") < html.index("<svg")


def test_the_smallest_system_has_no_bus_and_no_compartment() -> None:
    system = nb.System(
        records=[
            nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
            nb.Load(name="router", typical="12 W", window="9 V to 36 V"),
            nb.Run(name="feed", from_="bank", to="router", length="3 m"),
        ]
    )
    plan = nb.plan(system)
    assert len(plan.heat) == 0
    assert all(case.ok for case in plan.case_results)
    assert "No compartment" in plan.html()


# ---- a plan as a thing that is passed around -----------------------------------------------------


def test_a_plan_pickles_copies_and_compares(shed: nb.System, shed_plan: nb.Plan) -> None:
    made = nb.plan(shed, energy=False, margins=False, year=2027)
    again = pickle.loads(pickle.dumps(made))
    assert again == made
    assert again.runs.equals(made.runs)
    for copied in (copy.copy(made), copy.deepcopy(made)):
        assert copied == made
        copied.system.load("router").typical = "13 W"
        assert copied != made
    assert made != shed_plan
    assert made != "a plan"


def test_a_plan_takes_tables_of_your_own_along_when_it_is_pickled(shed: nb.System) -> None:
    text = (ROOT / "cpp/data/overcurrent/mini-blade.toml").read_text("utf-8")
    text = text.replace("mini blade", "shed blade").replace("type F blade", "shed type")
    tables = nb.Catalogue().with_tables(text, "mine.toml")
    shed.run("lamp").fuse_form = "shed blade"
    made = nb.plan(shed, catalogue=tables, energy=False, margins=False)
    for twin in (pickle.loads(pickle.dumps(made)), copy.deepcopy(made)):
        assert twin == made


def test_a_plan_keeps_what_was_planned_when_its_system_is_edited(shed: nb.System) -> None:
    before = nb.plan(shed, energy=False, margins=False)
    shed.load("router").typical = "14 W"
    shed.add(nb.Load(name="bell", typical="1 W"), feed={"from_": "bus", "length": "2 m"})
    assert len(before.runs) == len(before.system.runs) == len(shed.runs) - 1
    found = nb.compare(before, nb.plan(shed, energy=False, margins=False)).description
    assert ["load", "router", "typical", "12 W", "14 W"] in found.to_numpy().tolist()
    assert "bell" in set(found["name"])


def test_a_comparison_pickles(shed_plan: nb.Plan, shed: nb.System) -> None:
    shed.load("router").typical = "14 W"
    found = nb.compare(shed_plan, nb.plan(shed))
    again = pickle.loads(pickle.dumps(found))
    assert again.figures.equals(found.figures)


def test_tables_go_out_as_arrow_with_units_and_types(demo_plan: nb.Plan) -> None:
    pyarrow = pytest.importorskip("pyarrow")
    tables = demo_plan.to_arrow()
    assert set(tables) == set(demo_plan.tables())
    runs = tables["runs"]
    assert runs.schema.field("drop_v").metadata == {b"unit": b"V"}
    assert runs.schema.field("drop_v").type == pyarrow.float64()
    assert runs.column("run").to_pylist() == demo_plan.system.runs.names()
    # What pandas hands over by itself holds the same figures.
    by_itself = pyarrow.table(demo_plan.runs)
    assert by_itself.column("drop_v").to_pylist() == runs.column("drop_v").to_pylist()


def test_csv_holds_every_figure(demo_plan: nb.Plan, tmp_path: Path) -> None:
    import pandas as pd

    demo_plan.write_csv(tmp_path)
    read = pd.read_csv(tmp_path / "runs.csv")
    assert read["current_a"].tolist() == pytest.approx(demo_plan.runs["current_a"].tolist())
    assert list(read.columns) == list(demo_plan.runs.columns)


def test_numbers_come_with_units_and_errors_name_the_argument(shed_plan: nb.Plan) -> None:
    text = shed_plan.why_not("router", "12 AWG", "10 A mini blade")
    number = shed_plan.why_not("router", nb.ConductorSize("12 AWG"), nb.Device("mini blade", 10.0))
    assert [check.code for check in text.checks] == [check.code for check in number.checks]
    for wrong in ("ten mini blade", "10 V mini blade"):
        with pytest.raises(ValueError, match="device: expected rating and form"):
            shed_plan.why_not("router", "12 AWG", wrong)
    with pytest.raises(nb.LookupError, match="mini blade"):
        shed_plan.why_not("router", "12 AWG", "10 A mini blaed")
    some = nb.what_matters(shed_plan.system, relative_step="20 %")
    assert some.table.equals(nb.what_matters(shed_plan.system, relative_step=0.2).table)
    with pytest.raises(ValueError, match="relative_step"):
        nb.what_matters(shed_plan.system, relative_step="3 V")
    nonsense: dict[str, Any] = {"charge": "3 V", "sun": 3.0, "step_s": "1 d", "days": 0}
    for argument, value in nonsense.items():
        with pytest.raises(ValueError, match=argument):
            nb.simulate(shed_plan, **{argument: value})


def test_sources_name_every_table_that_is_cited(demo_plan: nb.Plan) -> None:
    listed = {line for use in demo_plan.data.rules for line in use.citations}
    cited = {finding.rule for finding in demo_plan.finding_list}
    for table in nb.catalogue().tables:
        begin = table.pedigree.cite()
        if table.pedigree.standard == "common practice, no source":
            continue
        if any(rule == begin or rule.startswith(f"{begin},") for rule in cited):
            assert any(line.startswith(f"{begin}: ") for line in listed), begin
    assert len({use.name for use in demo_plan.data.rules}) == len(demo_plan.data.rules)
    page = demo_plan.html()
    for use in demo_plan.data.rules:
        assert escape(use.name, quote=False) in page
