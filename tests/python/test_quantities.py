"""Numbers with units, from Python."""

from __future__ import annotations

import inspect
import pickle
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

import nightbus as nb
from nightbus import _core


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("12 ft", "length", 3.6576),
        ("98 °F", "temperature", (98 - 32) / 1.8),
        ("18", "temperature_difference", 18.0),
        ("1.3 kWh", "energy", 1300.0),
        ("20 mOhm", "resistance", 0.02),
        ("1 d 6 h", "time", 108000.0),
        ("3 %", "ratio", 0.03),
    ],
)
def test_a_text_with_a_unit_becomes_the_inside_unit(
    text: str, dimension: str, value: float
) -> None:
    assert nb.quantity(text, dimension) == pytest.approx(value, rel=1e-14)


def test_a_plain_number_takes_the_unit_asked_for() -> None:
    assert nb.quantity("12", "length", "ft") == pytest.approx(3.6576)


def test_a_wrong_dimension_says_what_was_expected_and_seen() -> None:
    with pytest.raises(nb.InputError) as caught:
        nb.quantity("12 A", "length")
    problem = caught.value.problems[0]
    assert "length" in problem.expected
    assert "current" in problem.seen


def test_an_unknown_dimension_has_a_near_miss() -> None:
    with pytest.raises(nb.LookupError, match='did you mean "length"'):
        nb.quantity("12 m", "lenght")


@given(
    value=st.floats(min_value=1e-6, max_value=1e6),
    dimension=st.sampled_from([d for d in nb.Dimension if d.name not in ("insolation",)]),
)
def test_what_is_printed_reads_back_to_the_same_double(
    value: float, dimension: nb.Dimension
) -> None:
    text = _core.print_quantity(value, dimension)
    try:
        back = _core.quantity(text, dimension)
    except nb.InputError as refused:
        # Beyond what is plausible for the dimension it is refused, and never misread.
        back = value if refused.problems[0].expected else float("nan")
    assert back == value


def test_show_rounds_and_takes_a_prefix() -> None:
    assert nb.show(0.002314, "resistance") == "2.31 mΩ"
    assert nb.show(1300.0, nb.Dimension.energy) == "1.3 kWh"


@pytest.mark.parametrize("text", ["18 AWG", "4/0 AWG", "2.5 mm²", "250 kcmil", "12 SAE"])
def test_sizes_print_hash_compare_and_pickle(text: str) -> None:
    size = nb.ConductorSize(text)
    assert str(size) == text
    assert size == text
    assert size == nb.ConductorSize(size.system, size.number)
    assert hash(size) == hash(nb.ConductorSize(text))
    assert pickle.loads(pickle.dumps(size)) == size
    assert repr(size) == f"ConductorSize('{text}')"


def test_distinct_size_systems_are_never_equal() -> None:
    assert nb.ConductorSize("12 AWG") != nb.ConductorSize("12 SAE")
    assert nb.ConductorSize("12 AWG") != "12 SAE"
    assert nb.ConductorSize("12 AWG") != "nonsense"


def test_area_by_formula() -> None:
    # ASTM B258: 4/0 AWG is 0.46 in across, 36 AWG 0.005 in.
    assert nb.ConductorSize("4/0 AWG").area_mm2 == pytest.approx(107.219, rel=1e-5)
    assert nb.ConductorSize("2.5 mm2").area_mm2 == 2.5


def test_range_is_a_pair_that_contains() -> None:
    window = nb.Range(9.0, 36.0)
    assert 12.0 in window
    assert 8.9 not in window
    assert tuple(window) == (9.0, 36.0)
    assert pickle.loads(pickle.dumps(window)) == window
    assert hash(window) == hash(nb.Range(9.0, 36.0))
    assert _core.range("8 V to 30 V", nb.Dimension.voltage) == nb.Range(8, 30)
    assert _core.print_range(nb.Range(8, 30), nb.Dimension.voltage) == "8 V to 30 V"
    with pytest.raises(ValueError, match="low <= high"):
        nb.Range(3, 2)


def test_every_dimension_has_a_unit_a_name_and_spellings() -> None:
    for dimension in nb.Dimension:
        assert _core.dimension_name(dimension)
        spellings = _core.unit_spellings(dimension)
        if dimension.name not in ("number",):
            assert _core.inside_unit(dimension) in spellings


def test_near_misses_put_the_best_first() -> None:
    assert _core.near_misses("lenght", ["length", "width"]) == ["length"]
    assert _core.near_misses("zzz", ["length", "width"], most=1) == []


def test_compiled_functions_take_texts_with_units_as_well() -> None:
    rules = nb.catalogue().rule_set("NEC")
    size = nb.ConductorSize("12 AWG")
    assert rules.ampacity(size, "90 °C") == rules.ampacity(size, 90.0)
    assert rules.ambient_factor("122 °F", "90 °C") == rules.ambient_factor(50.0, 90.0)
    assert rules.next_standard_rating("21 A") == rules.next_standard_rating(21)
    assert rules.grouping_factor(6, "24 V") == rules.grouping_factor(6, 24.0)
    form = nb.catalogue().overcurrent_form("mini blade")
    assert form.opening_of("10 A") == form.opening_of(10.0)
    assert form.interrupt_at("14.6 V") == form.interrupt_at(14.6)
    assert nb.Device("mini blade", "10 A") == nb.Device("mini blade", 10.0)
    assert nb.EfficiencyPoint("50 %", "91 %") == nb.EfficiencyPoint(0.5, 0.91)
    with pytest.raises(nb.InputError, match="temperature"):
        rules.ampacity(size, "90 V")
    with pytest.raises(TypeError):
        rules.ampacity(size, None)  # type: ignore[arg-type]


def test_every_public_function_takes_texts_with_units_where_it_takes_a_number() -> None:
    """What counts things (years, threads, rows) is a number and has no unit."""
    counts = {"indent", "most", "years", "seed", "year", "trade_off_points", "threads", "digits"}
    counts |= {"value", "progress"}  # nb.show prints a number; progress is not one
    plain = []
    for name in nb.__all__:
        thing = getattr(nb, name)
        functions = [(name, thing)] if inspect.isfunction(thing) else []
        if inspect.isclass(thing) and thing.__module__ != "nightbus._core":
            functions = inspect.getmembers(thing, inspect.isfunction)
        for path, function in functions:
            for argument in inspect.signature(function).parameters.values():
                kind = str(argument.annotation)
                if re.search(r"\b(?:float|int)\b", kind) and "str" not in kind:
                    plain.append((path, argument.name))
    assert [one for one in plain if one[1] not in counts and not one[0].startswith("_")] == []
    assert ("plan", "year") in plain
