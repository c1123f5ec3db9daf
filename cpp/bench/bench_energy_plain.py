"""The plain balance beside the same balance in pure Python and in NumPy.

A year of minutes (525 600 steps) for one bank in pure Python; a thousand banks over a year of
hours and over a week of minutes in NumPy, which walks through time with a vector of scenarios.
All three must agree to 1e-9 before anything is timed. Exit status 1 when an answer differs or a
ratio falls below its goal: 10 times pure Python, 8 times NumPy.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from typing import TYPE_CHECKING, Any

import numpy as np

from nightbus import _core as core

if TYPE_CHECKING:
    from collections.abc import Callable

MINUTE_S = 60.0
YEAR_MINUTES = 525_600
FLOOR, START, EFFICIENCY = 0.2, 1.0, 0.95
GOAL_PYTHON, GOAL_NUMPY = 10.0, 8.0
AGREEMENT = 1e-9
SUMS = ("array_wh", "load_wh", "unmet_wh", "curtailed_wh", "charged_wh", "end_wh", "lowest_share")


def in_python(array_w: list[float], load_w: list[float], capacity_wh: float) -> dict[str, float]:
    """Step through one year, number by number."""
    hours = MINUTE_S / 3600.0
    floor_wh = FLOOR * capacity_wh
    stored = START * capacity_wh
    lowest = stored
    array = load = unmet = curtailed = charged = 0.0
    for given_w, wanted_w in zip(array_w, load_w, strict=True):
        array += given_w * hours
        load += wanted_w * hours
        net = (given_w - wanted_w) * hours
        if net >= 0.0:
            room = (capacity_wh - stored) / EFFICIENCY
            taken = net if net < room else room
            stored += EFFICIENCY * taken
            charged += taken
            curtailed += net - taken
        else:
            have = stored - floor_wh
            drawn = -net if -net < have else have
            stored -= drawn
            unmet += -net - drawn
        lowest = min(lowest, stored)
    return {
        "array_wh": array,
        "load_wh": load,
        "unmet_wh": unmet,
        "curtailed_wh": curtailed,
        "charged_wh": charged,
        "end_wh": stored,
        "lowest_share": lowest / capacity_wh,
    }


def in_numpy(
    array_w: np.ndarray[Any, Any], load_w: float, capacity_wh: Any, scale: Any, step_s: float
) -> dict[str, Any]:
    """Step through a year with all scenarios in one vector."""
    hours = step_s / 3600.0
    floor_wh = FLOOR * capacity_wh
    stored = START * capacity_wh
    lowest = stored.copy()
    unmet, curtailed, charged = (np.zeros_like(stored) for _ in range(3))
    for given_w in array_w:
        net = (given_w * scale - load_w) * hours
        surplus = np.maximum(net, 0.0)
        taken = np.minimum(surplus, (capacity_wh - stored) / EFFICIENCY)
        wanted = np.maximum(-net, 0.0)
        drawn = np.minimum(wanted, stored - floor_wh)
        stored += EFFICIENCY * taken - drawn
        charged += taken
        curtailed += surplus - taken
        unmet += wanted - drawn
        np.minimum(lowest, stored, out=lowest)
    return {
        "array_wh": array_w.sum() * scale * hours,
        "load_wh": np.full_like(stored, load_w * hours * len(array_w)),
        "unmet_wh": unmet,
        "curtailed_wh": curtailed,
        "charged_wh": charged,
        "end_wh": stored,
        "lowest_share": lowest / capacity_wh,
    }


def sun_of(steps: int, step_s: float, seed: int) -> np.ndarray[Any, Any]:
    """Watts of an array: a half sine a day, dimmed by a random cloud an hour."""
    at_h = np.arange(steps) * step_s / 3600.0
    cloud = np.random.default_rng(seed).random(int(at_h[-1]) + 1)
    light = np.maximum(np.sin((at_h % 24.0 - 6.0) / 12.0 * np.pi), 0.0)
    return np.asarray(100.0 * light * cloud[at_h.astype(int)])


def worst_difference(ours: list[dict[str, Any]], other: dict[str, Any]) -> float:
    """Largest difference of any sum, relative to the largest of its kind."""
    worst = 0.0
    for name in SUMS:
        mine = np.array([one[name] for one in ours])
        theirs = np.broadcast_to(other[name], mine.shape)
        scale = max(float(np.abs(theirs).max()), 1.0)
        worst = max(worst, float(np.abs(mine - theirs).max()) / scale)
    return worst


def cpu_s(work: Callable[[], object], rounds: int) -> float:
    """Median of this thread's processor time."""
    spans = []
    for _ in range(rounds):
        before = time.thread_time()
        work()
        spans.append(time.thread_time() - before)
    return statistics.median(spans)


def one_year(rounds: int) -> tuple[float, float]:
    """Ratio to pure Python, and the largest difference, over one year of minutes."""
    array_w = sun_of(YEAR_MINUTES, MINUTE_S, seed=1)
    load_w = np.full(YEAR_MINUTES, 15.0)
    given, wanted = array_w.tolist(), load_w.tolist()
    difference = worst_difference(
        [core.plain_year(array_w, load_w, MINUTE_S, 1280.0, FLOOR, START, EFFICIENCY)],
        in_python(given, wanted, 1280.0),
    )
    ours = cpu_s(
        lambda: core.plain_year(array_w, load_w, MINUTE_S, 1280.0, FLOOR, START, EFFICIENCY), rounds
    )
    theirs = cpu_s(lambda: in_python(given, wanted, 1280.0), min(rounds, 3))
    print(
        f"one year of minutes     ours {1e3 * ours:9.2f} ms   pure Python {1e3 * theirs:9.2f} ms"
        f"   {theirs / ours:6.1f} x   difference {difference:.1e}"
    )
    return theirs / ours, difference


def thousand(steps: int, step_s: float, rounds: int, name: str) -> tuple[float, float]:
    """Ratio to NumPy, and the largest difference, over a thousand scenarios on one thread."""
    array_w = sun_of(steps, step_s, seed=2)
    random = np.random.default_rng(3)
    capacity_wh = random.uniform(300.0, 5000.0, 1000)
    scale = random.uniform(0.5, 3.0, 1000)
    load_w = np.array([15.0])

    def ours() -> list[dict[str, Any]]:
        return core.plain_years(
            array_w, load_w, step_s, steps, capacity_wh, scale, FLOOR, START, EFFICIENCY, threads=1
        )

    other = in_numpy(array_w, 15.0, capacity_wh, scale, step_s)
    difference = worst_difference(ours(), other)
    # The work of one thread started by the library does not count as this thread's: elapsed time
    # for both.
    spans = []
    for work in (ours, lambda: in_numpy(array_w, 15.0, capacity_wh, scale, step_s)):
        rows = []
        for _ in range(rounds):
            before = time.perf_counter()
            work()
            rows.append(time.perf_counter() - before)
        spans.append(min(rows))
    print(
        f"{name}  ours {1e3 * spans[0]:9.2f} ms   NumPy       {1e3 * spans[1]:9.2f} ms"
        f"   {spans[1] / spans[0]:6.1f} x   difference {difference:.1e}"
    )
    return spans[1] / spans[0], difference


def main() -> int:
    """Print the table; 1 when an answer differs or a goal is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=5)
    rounds = parser.parse_args().rounds
    python_ratio, a = one_year(rounds)
    hours_ratio, b = thousand(8760, 3600.0, rounds, "1000 years of hours   ")
    minutes_ratio, c = thousand(10_080, MINUTE_S, rounds, "1000 weeks of minutes ")
    failures = []
    if max(a, b, c) > AGREEMENT:
        failures.append(f"an answer differs by {max(a, b, c):.1e}")
    if python_ratio < GOAL_PYTHON:
        failures.append(f"{python_ratio:.1f} times pure Python, the goal is {GOAL_PYTHON:.0f}")
    if min(hours_ratio, minutes_ratio) < GOAL_NUMPY:
        failures.append(
            f"{min(hours_ratio, minutes_ratio):.1f} times NumPy, the goal is {GOAL_NUMPY:.0f}"
        )
    for failure in failures:
        print(f"FAILED: {failure}")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
