"""As measured, from Python: what a table of readings says about a plan."""

from __future__ import annotations

import json
import math
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

import nightbus as nb
from nightbus.cli.app import app

if TYPE_CHECKING:
    from pathlib import Path

#: A meter of 0.5 % + 2 digits: 10 mV and 10 mA, and 0.1 mV on its lowest range.
ACCURACY = "0.5 % + 2 digits"
DIGITS = {"volts": 2, "drop": 4, "amps": 2}


@cache
def post() -> nb.Plan:
    """A bank, a block, a router and a switch."""
    return nb.plan(
        nb.System("Post")
        .add(nb.Rules(terminal="75 °C"))
        .add(
            nb.Bank(
                name="bank",
                chemistry="LFP",
                voltage="12 V",
                capacity="100 Ah",
                resistance="6 mOhm",
            )
        )
        .add(nb.Bus(name="block"))
        .add(nb.Run(name="feed", from_="bank", to="block", length="3 m"))
        .add(
            nb.Load(name="router", typical="60 W"),
            feed={"name": "router feed", "from_": "block", "length": "4 m"},
        )
        .add(
            nb.Load(name="switch", typical="24 W"),
            feed={"name": "switch feed", "from_": "block", "length": "2 m"},
        ),
        energy=False,
    )


@cache
def built(
    joint_ohm: float = 0.0, draw: float = 1.0, longer: float = 1.0
) -> tuple[dict[tuple[str, str], float], str]:
    """Volts and amps of the post as it was built, by planning what was built.

    The wiring is the plan's, so that only what is said here differs from it.
    """
    plan = post()
    system = plan.wired.copy()
    system.run("router feed").joint_ohm = system.run("router feed").joint_ohm + joint_ohm / (
        2 * system.run("router feed").joints
    )
    system.run("router feed").length_m *= longer
    system.load("router").typical_w *= draw
    made = nb.plan(system, energy=False)
    name = nb.as_measured(plan, [row("volts", "bank", 12.0)], bank_sigma_v=100.0).case
    case = next(one for one in made.case_results if one.name == name)
    runs, loads = system.runs.names(), system.loads.names()
    return {
        ("volts", "bank"): case.banks[0].voltage_v,
        ("volts", "router"): case.loads[loads.index("router")].voltage_v,
        **{("drop", run): case.runs[runs.index(run)].drop_v for run in runs},
        **{("amps", load): case.loads[loads.index(load)].current_a for load in loads},
    }, name


def row(kind: str, at: str, value: float) -> dict[str, object]:
    unit = "A" if kind == "amps" else "V"
    return {
        "kind": kind,
        "at": at,
        "value": f"{value:.{DIGITS[kind]}f} {unit}",
        "accuracy": ACCURACY,
    }


def sigma(kind: str, value: float) -> float:
    return 0.005 * abs(value) + 2 * 10.0 ** -DIGITS[kind]


SIX = [
    ("volts", "bank"),
    ("drop", "feed"),
    ("drop", "router feed"),
    ("drop", "switch feed"),
    ("amps", "router"),
    ("amps", "switch"),
]


def read_by(
    truth: dict[tuple[str, str], float], seed: int | None, places: list[tuple[str, str]] = SIX
) -> list[dict[str, object]]:
    """Six readings; with a seed, each off by what its meter may be."""
    noise = (
        np.zeros(len(places))
        if seed is None
        else np.random.default_rng(seed).normal(size=len(places))
    )
    return [
        row(kind, at, truth[kind, at] + n * sigma(kind, truth[kind, at]))
        for (kind, at), n in zip(places, noise, strict=True)
    ]


def alike(found: nb.Measured) -> set[tuple[str, str]]:
    table = found.explanations
    return set(zip(table[table["alike"]]["kind"], table[table["alike"]]["subject"], strict=True))


@pytest.mark.parametrize("seed", range(20))
def test_a_bad_crimp_of_15_milliohms_is_found_from_six_ordinary_readings(seed: int) -> None:
    truth, _ = built(joint_ohm=0.015)
    found = nb.as_measured(post(), read_by(truth, seed))
    assert not found.healthy
    assert ("joint", "router feed") in alike(found)
    assert found.suspects[0].subject == "router feed"


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.lists(st.floats(-1.0, 1.0), min_size=6, max_size=6))
def test_a_healthy_system_is_not_accused_whatever_its_meters_within_one_sigma_say(
    noise: list[float],
) -> None:
    # Six readings one sigma off have a chi-square of six at most (ordinary spread only takes
    # away from it); the rounding of the last digit adds half a digit of two. At level 0.01 six
    # degrees of freedom may have 16.8.
    truth, _ = built()
    rows = [
        row(kind, at, truth[kind, at] + n * sigma(kind, truth[kind, at]))
        for (kind, at), n in zip(SIX, noise, strict=True)
    ]
    assert nb.as_measured(post(), rows).healthy


def test_a_healthy_system_is_accused_no_more_often_than_the_level_says() -> None:
    truth, _ = built()
    trials, level = 500, 0.01
    accused = sum(
        not nb.as_measured(post(), read_by(truth, seed), level=level).healthy
        for seed in range(trials)
    )
    # Binomial: more than this once in a thousand series. Only meters differ here, and the spread
    # that is granted besides makes accusations rarer still.
    most, below = 0, (1 - level) ** trials
    while 1 - below > 1e-3:
        most += 1
        below += math.comb(trials, most) * level**most * (1 - level) ** (trials - most)
    assert accused <= most


def test_a_load_that_draws_more_is_told_as_that_load() -> None:
    truth, _ = built(draw=1.4)
    found = nb.as_measured(post(), read_by(truth, None))
    assert not found.healthy
    assert (found.suspects[0].kind, found.suspects[0].subject) == ("load", "router")
    assert found.suspects[0].low <= 0.4 <= found.suspects[0].high


def test_a_run_longer_than_drawn_and_a_bad_joint_in_it_cannot_be_told_apart() -> None:
    truth, _ = built(longer=1.5)
    found = nb.as_measured(post(), read_by(truth, None))
    assert not found.healthy
    assert {("run", "router feed"), ("joint", "router feed")} <= alike(found)
    table = found.explanations
    longer = table[(table["kind"] == "run") & (table["subject"] == "router feed")].iloc[0]
    assert longer["low"] <= 0.5 <= longer["high"]
    # The same readings at both ends of a run: only millivolts across its joints part the two.
    assert found.next is None
    assert any("millivolts across each joint" in line for line in found.sentences)


def test_the_next_reading_parts_what_these_leave_alike() -> None:
    truth, _ = built(joint_ohm=0.2)
    ends = [("volts", "bank"), ("volts", "router")]
    rows = [
        {"kind": kind, "at": at, "value": truth[kind, at], "accuracy": "10 mV"} for kind, at in ends
    ]
    found = nb.as_measured(post(), rows, bank_sigma_v=0.01)
    assert {("joint", "router feed"), ("joint", "feed")} <= alike(found)
    assert found.next is not None
    decided = nb.as_measured(
        post(),
        [*rows, {"kind": "drop", "at": "feed", "value": truth["drop", "feed"], "accuracy": "1 mV"}],
        bank_sigma_v=0.01,
    )
    assert ("joint", "router feed") in alike(decided)
    assert ("joint", "feed") not in alike(decided)


def test_a_frame_a_list_and_a_file_say_the_same(tmp_path: Path) -> None:
    import pandas as pd

    truth, name = built(joint_ohm=0.015)
    rows = read_by(truth, 1)
    table = pd.DataFrame(rows)
    path = tmp_path / "readings.csv"
    table.to_csv(path, index=False)
    answers = [nb.as_measured(post(), source, case=name) for source in (rows, table, path)]
    assert len({answer.data.chi_square for answer in answers}) == 1
    assert answers[0].readings.attrs["units"] == {}
    assert list(answers[0].readings["unit"]) == ["V", "V", "V", "V", "A", "A"]


def test_its_numbers_may_be_texts_and_errors_name_them() -> None:
    rows = [{"kind": "volts", "at": "bank", "value": "12.9 V", "accuracy": "10 mV"}]
    plain = nb.as_measured(post(), rows, level=0.02, bank_sigma_v=0.3, load_spread=0.1)
    text = nb.as_measured(post(), rows, level="2 %", bank_sigma_v="300 mV", load_spread="10 %")
    assert text.data == plain.data
    for argument, value in (("level", "2 V"), ("bank_sigma_v", "1 A"), ("run_spread", -1.0)):
        with pytest.raises(ValueError, match=f"^{argument}: "):
            nb.as_measured(post(), rows, **{argument: value})  # type: ignore[arg-type]


def test_every_bad_row_is_named_at_once() -> None:
    rows = read_by(built()[0], None)
    rows[0]["kind"] = "ohms"
    rows[1]["accuracy"] = "good"
    with pytest.raises(nb.InputError) as caught:
        nb.as_measured(post(), rows)
    assert len(caught.value.problems) == 2
    misnamed = read_by(built()[0], None)
    misnamed[1]["at"] = "fed"
    with pytest.raises(nb.InputError, match="feed"):
        nb.as_measured(post(), misnamed)
    with pytest.raises(nb.LookupError):
        nb.as_measured(post(), read_by(built()[0], None), case="noon")
    with pytest.raises(ValueError, match="last digit"):
        nb.as_measured(
            post(), [{"kind": "amps", "at": "feed", "value": 5.0, "accuracy": "2 digits"}]
        )


def test_what_was_assumed_stands_in_every_form_of_the_answer() -> None:
    found = nb.as_measured(post(), read_by(built()[0], None))
    assert any("no source, ours" in line for line in found.assumptions)
    assert "no source, ours" in found._repr_html_()
    data = json.loads(found.to_json())
    assert data["assumed"] == {
        "level": 0.01,
        "bank_sigma_v": 0.2,
        "load_spread": 0.05,
        "run_spread": 0.02,
    }
    assert "no proof of health" in " ".join(found.sentences)


def test_the_command_reads_a_file_and_says_so_by_its_status(tmp_path: Path) -> None:
    import pandas as pd

    system = tmp_path / "post.toml"
    post().wired.write(system)
    for joint, status in ((0.0, 0), (0.05, 1)):
        truth, name = built(joint_ohm=joint)
        table = tmp_path / "readings.csv"
        pd.DataFrame(read_by(truth, None)).to_csv(table, index=False)
        asked = ["measured", str(system), str(table), "--case", name]
        result = CliRunner().invoke(app, asked, standalone_mode=False)
        assert result.return_value == status, result.output
        assert "no source, ours" in " ".join(result.output.split())
        told = CliRunner().invoke(app, [*asked, "--json"], standalone_mode=False)
        assert json.loads(told.output)["healthy"] is (status == 0)
