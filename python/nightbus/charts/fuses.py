"""Time and current: when a device opens, and what it must be quick or slow enough for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus import _core, words
from nightbus.charts.style import altair, dressed, palette_of, told_apart

if TYPE_CHECKING:
    import pandas as pd

    from nightbus.planning import Plan

LATEST, EARLIEST = "opens at the latest", "may open from"
DAMAGE, INRUSH = "cable is damaged", "switch-on surge"
INRUSH_LONGEST_S = 0.1


def _band_rows(form: _core.OvercurrentForm, rating_a: float) -> list[dict[str, Any]]:
    rows = []
    for point in form.opening_of(rating_a):
        for side, seconds in ((LATEST, point.most_s), (EARLIEST, point.least_s)):
            if seconds is not None and seconds > 0:
                rows.append({"current_a": point.ratio * rating_a, "time_s": seconds, "line": side})
    return rows


def _surge_rows(run: _core.RunPlan) -> list[dict[str, Any]]:
    """The surge as the plan reckons it: a melting integral, so a line of one I²t."""
    checks = run.choice.checks if run.choice is not None else []
    found = [check.value for check in checks if check.code in ("inrush", "inrush-unknown")]
    integral = next((value for value in found if value), None)
    if integral is None:
        return []
    return [
        {"current_a": (integral / time_s) ** 0.5, "time_s": time_s, "line": INRUSH}
        for time_s in (0.001, 0.003, 0.01, 0.03, INRUSH_LONGEST_S)
    ]


def time_current(plan: Plan, run: str, *, dark: bool = False) -> Any:
    """Draw the overcurrent device of a run in time and current, with what surrounds it.

    Its band, the line on which its wire is damaged, the surge at switch-on (as a line of the
    surge's I²t), its load, and the least and greatest short-circuit current.

    Parameters
    ----------
    plan : Plan
        What to draw.
    run : str
        Name of a run that has an overcurrent device.
    dark : bool
        For a dark page.

    Returns
    -------
    altair.LayerChart
        Both axes logarithmic: amperes, seconds. Without a band when none is published.

    Raises
    ------
    Error
        When the run has no overcurrent device.
    LookupError
        With near misses, when there is no such run.

    Examples
    --------
    >>> import nightbus as nb
    >>> from nightbus import charts
    >>> plan = nb.plan(nb.System("Post", records=[
    ...     nb.Site(latitude="47 deg", longitude="11 deg"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Load(name="router", typical="12 W", window="9 V to 36 V"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="1 m"),
    ... ]), energy=False)
    >>> "seconds" in charts.time_current(plan, "feed").to_json()
    True
    """
    import pandas as pd

    alt, palette = altair(), palette_of(dark)
    chosen = plan.run(run)
    if chosen.device is None:
        raise _core.Error(f'run "{run}" has no overcurrent device')
    form = _core.Catalogue().overcurrent_form(chosen.device.form)
    band = _band_rows(form, chosen.device.rating_a)
    damage = [
        {"current_a": current_a, "time_s": time_s, "line": DAMAGE}
        for current_a, time_s in plan.damage_line(run)
    ]
    surge = _surge_rows(chosen)
    lines = pd.DataFrame([*band, *damage, *surge], columns=["current_a", "time_s", "line"])
    marks = _marks(chosen)
    currents = [*lines["current_a"], *marks["current_a"]]
    times = [*lines["time_s"], 0.01, 100.0]
    x = alt.X(
        "current_a:Q",
        title="amperes",
        scale=alt.Scale(type="log", domain=[min(currents) * 0.7, max(currents) * 1.6]),
    )
    y = alt.Y(
        "time_s:Q",
        title="seconds",
        scale=alt.Scale(type="log", domain=[min(times), max(times)]),
        axis=alt.Axis(format="~g"),
    )
    every = {
        LATEST: (palette.accent, [1, 0]),
        EARLIEST: (palette.accent, [6, 3]),
        DAMAGE: (palette.danger, [12, 3, 2, 3]),
        INRUSH: (palette.soft, [2, 3]),
    }
    kinds = {name: look for name, look in every.items() if name in set(lines["line"])}
    rule = alt.Chart(marks).mark_rule(color=palette.ink, strokeWidth=1).encode(x=x)
    label = (
        alt.Chart(marks)
        .mark_text(align="left", angle=270, dx=6, dy=-9, color=palette.ink)
        .encode(x=x, y=alt.value(400), text="what:N")
    )
    layers = [rule, label]
    if kinds:
        curves = (
            alt.Chart(lines)
            .mark_line(strokeWidth=2.5, point=False)
            .encode(
                x=x, y=y, order=alt.Order("time_s:Q"), detail="line:N",
                **told_apart(alt, "line", kinds),
            )
        )  # fmt: skip
        layers.insert(0, curves)
    note = "The band must lie right of load and surge, and left of and below the damage line."
    if not band:
        note = "No time is published for this form: ask its maker for the curve."
    return dressed(
        alt.layer(*layers).properties(width=560, height=400),
        f"{run}: {words.device(chosen.device)} on {chosen.size}",
        palette,
        note,
    )


def _marks(run: _core.RunPlan) -> pd.DataFrame:
    import pandas as pd

    need = run.need
    marks = [("load", run.current_a)]
    if need.least_fault_a and need.prospective_a and need.prospective_a < 1.1 * need.least_fault_a:
        marks.append(("short circuit", need.least_fault_a))
    else:
        marks += [
            ("short at the far end", need.least_fault_a),
            ("short right behind it", need.prospective_a),
        ]
    rows = [
        {"what": f"{what}, {words.amps(current_a)}", "current_a": current_a}
        for what, current_a in marks
        if current_a
    ]
    return pd.DataFrame(rows, columns=["what", "current_a"])
