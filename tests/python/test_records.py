"""Records are made from the field table: every row, in every way it can be given."""

from __future__ import annotations

import copy
import pickle
from typing import Any

import pytest

import nightbus as nb
from nightbus import _core

TABLE: list[dict[str, Any]] = _core.field_table()
TYPES = {entry["type"]: entry for entry in TABLE}

#: What each record needs, so that the row under test can be given on top.
NEEDED: dict[str, dict[str, Any]] = {
    "Site": {},
    "Rules": {},
    "Bank": {"name": "b", "chemistry": "LFP", "voltage": "12 V", "capacity": "100 Ah"},
    "Bus": {"name": "b"},
    "Run": {"name": "r", "from_": "a", "to": "b", "length": "2 m"},
    "Load": {"name": "l", "typical": "12 W"},
    "Fan": {"name": "f", "step_power": ["1 W"], "step_flow": ["20 m3/h"], "cools": "c"},
    "Converter": {"name": "c", "output": "54 V", "power": "60 W"},
    "PoeLink": {"name": "p", "from_": "c", "length": "20 m", "typical": "6 W"},
    "Charger": {"name": "c", "current": "20 A"},
    "Array": {"name": "a", "power": "100 W", "controller_current": "10 A"},
    "Compartment": {"name": "c", "conductance": "5 W/K"},
    "Price": {"size": "12 AWG", "per_metre": 1.5},
    "Case": {"name": "c"},
}

ROWS = [(entry["type"], row["key"]) for entry in TABLE for row in entry["fields"]]


def row_of(type_name: str, key: str) -> dict[str, Any]:
    row: dict[str, Any] = next(r for r in TYPES[type_name]["fields"] if r["key"] == key)
    return row


def argument(key: str) -> str:
    return key + "_" if key in ("from", "class", "return") else key


def sample(row: dict[str, Any]) -> Any:
    """A value that the row accepts, as somebody would write it."""
    accepts = row["accepts"]
    low = row["low"] if row["low"] is not None else 0.0
    high = row["high"] if row["high"] is not None else low + 10.0
    middle = low + (high - low) * 0.25
    text = _core.print_quantity(middle, row["dimension"])
    if row["choices"]:
        return row["choices"][-1]
    if accepts == "bool":
        return True
    if accepts == "int":
        return int(low) + 1 if low + 1 <= high else int(low)
    if accepts == "float | str":
        return text
    if accepts == "str":
        return "some words"
    if accepts.startswith("str | Range"):
        other = _core.print_quantity(low + (high - low) * 0.5, row["dimension"])
        return f"{text} to {other}"
    if accepts == "str | ConductorSize":
        return "10 AWG"
    if "EfficiencyPoint" in accepts or "tuple[float" in accepts:
        return [[0.2, 0.8], [1.0, 0.9]]
    if "ConductorSize" in accepts:
        return ["10 AWG", "12 AWG"]
    if accepts.endswith("Iterable[float | str]"):
        return [text] * 12
    if row["key"] == "schedule":
        return ["06:30-22:00"]
    return ["one", "two"]


@pytest.mark.parametrize(("type_name", "key"), ROWS)
def test_every_row_can_be_given_by_key_and_by_member(type_name: str, key: str) -> None:
    record_type = getattr(nb, type_name)
    row, value = row_of(type_name, key), sample(row_of(type_name, key))
    member = row["member"]
    base = {k: v for k, v in NEEDED[type_name].items() if k != argument(key)}

    by_key = record_type(**base, **{argument(key): value})
    by_member = record_type(**base, **{member: value})
    assert by_key == by_member
    assert argument(key) in by_key.stated()

    set_later = record_type(**NEEDED[type_name])
    setattr(set_later, argument(key), value)
    assert set_later == by_key
    # What is read by the member's name can be given back by it.
    setattr(set_later, member, getattr(by_key, member))
    assert set_later == by_key


@pytest.mark.parametrize(("type_name", "key"), ROWS)
def test_none_goes_back_to_the_default(type_name: str, key: str) -> None:
    row = row_of(type_name, key)
    record = getattr(nb, type_name)(**NEEDED[type_name])
    untouched = copy.copy(record)
    setattr(record, argument(key), sample(row))
    if row["required"]:
        with pytest.raises(nb.InputError, match="required"):
            setattr(record, argument(key), None)
    else:
        setattr(record, argument(key), None)
        assert record == untouched
        assert record.stated() == untouched.stated()


@pytest.mark.parametrize("type_name", TYPES)
def test_a_record_copies_pickles_and_prints_itself(type_name: str) -> None:
    record_type = getattr(nb, type_name)
    given = dict(NEEDED[type_name])
    for row in TYPES[type_name]["fields"]:
        given[argument(row["key"])] = sample(row)
    record = record_type(**given)
    for twin in (copy.copy(record), copy.deepcopy(record), pickle.loads(pickle.dumps(record))):
        assert twin == record
        assert twin is not record
        assert twin.stated() == record.stated()
    names = {**vars(nb), "EfficiencyPoint": nb.EfficiencyPoint}
    assert eval(repr(record), names) == record
    assert record != "something else"


@pytest.mark.parametrize("type_name", TYPES)
def test_the_docstring_lists_every_field(type_name: str) -> None:
    text = getattr(nb, type_name).__doc__
    for row in TYPES[type_name]["fields"]:
        assert row["help"] in text
        assert argument(row["key"]) in text
        assert argument(row["key"]) in getattr(nb, type_name).__init__.__doc__


BOUNDED = [
    (entry["type"], row["key"])
    for entry in TABLE
    for row in entry["fields"]
    if row["accepts"] == "float | str" and row["high"] is not None
]


@pytest.mark.parametrize(("type_name", "key"), BOUNDED)
def test_bounds_hold_and_the_error_names_the_argument(type_name: str, key: str) -> None:
    row = row_of(type_name, key)
    record = getattr(nb, type_name)(**NEEDED[type_name])
    with pytest.raises(nb.InputError) as caught:
        setattr(record, row["member"], row["high"] * 1.01 + 1.0)
    assert f'"{row["member"]}"' in caught.value.problems[0].what


def test_plain_numbers_take_the_unit_of_the_name_they_are_given_by() -> None:
    fan = nb.Fan(name="f", step_power=[1.0], step_flow=[36.0], cools="c")  # m³/h
    assert fan.step_flow_m3s == (0.01,)
    fan.step_flow_m3s = [0.02]
    assert fan.step_flow == ("0.02 m³/s",)
    run = nb.Run(name="r", from_="a", to="b", length=2, joint_resistance=0.2)  # mΩ
    assert run.joint_ohm == pytest.approx(0.0002)


def test_a_share_is_a_share_and_a_likely_percentage_is_asked_about() -> None:
    assert nb.Load(name="l", typical=1, duty=0.5).duty == 0.5
    assert nb.Load(name="l", typical=1, duty="50 %").duty == 0.5
    with pytest.raises(nb.InputError, match=r"did you mean .50 %"):
        nb.Load(name="l", typical=1, duty=50)


def test_all_problems_of_a_constructor_come_at_once() -> None:
    with pytest.raises(nb.InputError) as caught:
        nb.Load(**{"tipical": "12 W", "window": "12 A", "behaviour": "constant powr"})  # type: ignore[arg-type]
    whats = " / ".join(problem.what for problem in caught.value.problems)
    for part in ('"tipical"', '"window"', '"behaviour"', 'needs "name"', 'needs "typical"'):
        assert part in whats
    mends = " / ".join(problem.mend for problem in caught.value.problems)
    assert 'did you mean "typical"?' in mends
    assert 'did you mean "constant power"?' in mends


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("typical", True),
        ("typical", [1]),
        ("typical", float("nan")),
        ("typical", float("inf")),
        ("count", 1.5),
        ("count", True),
        ("name", 3),
        ("schedule", "06:30-22:00"),
        ("schedule", ["6:30-22:00"]),
        ("schedule", ["25:00-26:00"]),
        ("window", (36, 9)),
        ("window", 12),
        ("behaviour", 1),
    ],
)
def test_a_value_of_the_wrong_kind_is_refused(field: str, value: Any) -> None:
    record = nb.Load(name="l", typical=1)
    with pytest.raises(nb.InputError) as caught:
        setattr(record, field, value)
    assert f'"{field}"' in caught.value.problems[0].what
    assert record == nb.Load(name="l", typical=1)


def test_lists_are_tuples_so_that_nothing_is_appended_to_a_copy() -> None:
    load = nb.Load(name="l", typical=1, schedule=["06:30-22:00"])
    assert load.schedule == ("06:30-22:00",)
    with pytest.raises(AttributeError):
        load.schedule.append("x")  # type: ignore[attr-defined]


def test_replace_gives_a_changed_copy() -> None:
    load = nb.Load(name="l", typical=1)
    other = load.replace(typical="2 W", count=3)
    assert (other.typical_w, other.count, load.typical_w, load.count) == (2.0, 3, 1.0, 1)
    with pytest.raises(nb.InputError):
        load.replace(**{"tipical": 2})  # type: ignore[arg-type]


def test_assumed_lists_the_defaults_that_matter() -> None:
    load = nb.Load(name="l", typical=1)
    assert load.assumed() == {
        "behaviour": "constant power",
        "drop_class": "critical",
        "duty": "100 %",
    }
    load.duty = 1.0  # written, though it is the default
    assert "duty" not in load.assumed()


def test_records_made_in_code_have_no_place() -> None:
    assert not nb.Load(name="l", typical=1).where.known


def test_an_unknown_attribute_is_refused_by_python() -> None:
    with pytest.raises(AttributeError):
        nb.Load(name="l", typical=1).tipical = 3  # type: ignore[attr-defined]
