"""Pictures of the wiring: what each run carries, and what metal buys."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus import _core, words
from nightbus.charts.style import altair, dressed, palette_of

if TYPE_CHECKING:
    import pandas as pd

    from nightbus.planning import Plan


def _governs(run: _core.RunPlan) -> str:
    """What holds the size of a run, or what stands against it, in a few words."""
    failure = run.choice.first_failure if run.choice is not None else None
    if failure is not None:
        return failure.title
    return "size given" if run.size_given else f"held by: {words.governed(run)}"


def ampacity(plan: Plan, *, dark: bool = False) -> Any:
    """Draw the current of each run in per cent of what it may carry, and what governs its size.

    Parameters
    ----------
    plan : Plan
        What to draw; runs laid for later are left out.
    dark : bool
        For a dark page.

    Returns
    -------
    altair.LayerChart
        Can be changed further; ``save("x.svg")`` works without a browser.

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
    >>> "feed" in charts.ampacity(plan).to_json()
    True
    """
    import pandas as pd

    alt, palette = altair(), palette_of(dark)
    rows = []
    for run in plan.run_plans:
        if run.spare or run.ampacity_a <= 0:
            continue
        rating = run.device.rating_a if run.device is not None else None
        rows.append(
            {
                "run": run.run,
                "may": 100.0,
                "carries": 100.0 * run.current_a / run.ampacity_a,
                "rating": None if rating is None else 100.0 * rating / run.ampacity_a,
                "figures": f"{words.amps(run.current_a)} of {words.amps(run.ampacity_a)}",
                "device": words.device(run.device),
                "size": str(run.size),
                "fits": run.feasible,
                "why": f"{run.size} · {words.device(run.device)} · {_governs(run)}",
            }
        )
    columns = "run may carries rating figures device size fits why".split()
    data = pd.DataFrame(rows, columns=columns)
    data["rating"] = data["rating"].astype(float)
    bad = list(data.loc[~data["fits"].astype(bool), "run"])
    most = max([110.0, *data["carries"], *data["rating"].dropna()])
    # Far beyond, an arrow's worth is enough: it stands at the edge, its figure in the text.
    edge = min(most, 180.0) * 1.04
    data["rating"] = data["rating"].clip(upper=edge * 0.99)
    data["carries"] = data["carries"].clip(upper=edge)
    scale = alt.Scale(domain=[0, edge])
    y = alt.Y("run:N", sort=None, title=None)
    base = alt.Chart(data)
    band = base.mark_bar(color=palette.window, height=16).encode(
        y=y, x=alt.X("may:Q", scale=scale, title="% of what the run may carry")
    )
    bar = base.mark_bar(color=palette.accent, height=7).encode(
        y=y, x="carries:Q", tooltip=["run", "figures", "size"]
    )
    tick = (
        alt.Chart(data[data["rating"].notna()])
        .mark_tick(color=palette.ink, thickness=3, size=17)
        .encode(y=y, x="rating:Q", tooltip=["run", "device"])
    )
    texts = []
    for field, at, limit in (("figures", 668, 130), ("why", 790, 430)):
        texts.append(
            base.mark_text(align="left", baseline="middle", limit=limit).encode(
                y=y,
                x=alt.value(at),
                text=f"{field}:N",
                color=alt.condition(
                    alt.FieldOneOfPredicate("run", bad),
                    alt.value(palette.danger),
                    alt.value(palette.ink),
                ),
            )
        )
    return dressed(
        alt.layer(band, bar, tick, *texts).properties(width=650, height=alt.Step(21)),
        "What each run carries, of what it may carry",
        palette,
        "Band: may carry (100 %). Bar: carries in its worst case. Tick: rating of its overcurrent "
        "device; the rules say how far beyond the band it may lie.",
    )


def _sparse(points: pd.DataFrame) -> list[str]:
    """Name only points that stand apart."""
    wide = max(points["drop_percent"].max() - points["drop_percent"].min(), 1e-9)
    tall = max(points["metal_kg"].max() - points["metal_kg"].min(), 1e-9)
    labels: list[str] = []
    named: list[tuple[float, float]] = []
    for drop, metal, text in zip(
        points["drop_percent"], points["metal_kg"], points["limits"], strict=True
    ):
        near = any(abs(drop - x) / wide < 0.12 and abs(metal - y) / tall < 0.06 for x, y in named)
        labels.append("" if near else text)
        if not near:
            named.append((drop, metal))
    return labels


def copper_against_drop(plan: Plan, *, dark: bool = False) -> Any:
    """Draw what looser or tighter drop limits would cost in metal.

    Parameters
    ----------
    plan : Plan
        Made with ``trade_off_points``.
    dark : bool
        For a dark page.

    Returns
    -------
    altair.LayerChart
        Each point is a whole choice of wiring under drop limits of so many times those asked for.

    Raises
    ------
    Error
        When the plan holds no curve.

    Examples
    --------
    >>> import nightbus as nb
    >>> from nightbus import charts
    >>> plan = nb.plan(nb.System("Post", records=[
    ...     nb.Site(latitude="47 deg", longitude="11 deg"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Load(name="router", typical="12 W", window="9 V to 36 V"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="9 m"),
    ... ]), energy=False, trade_off_points=4)
    >>> "kg" in charts.copper_against_drop(plan).to_json()
    True
    """
    import pandas as pd

    alt, palette = altair(), palette_of(dark)
    points = [
        {
            "metal_kg": point.metal_kg,
            "drop_percent": 100 * point.worst_drop_ratio,
            "limits": f"× {point.limit_share:.2g}",
            "share": point.limit_share,
        }
        for point in plan.data.wiring.trade_off
        if point.feasible
    ]
    if not points:
        raise _core.Error("the plan holds no curve: make it with trade_off_points=12")
    data = pd.DataFrame(points).sort_values("share")
    # Limits in a row that give the same wiring are one point.
    merged = (
        data.groupby(["metal_kg", "drop_percent"], sort=False)["limits"]
        .agg(lambda group: group.iloc[0] if len(group) == 1 else f"{group.iloc[0]} to "
             f"{group.iloc[-1]}")
        .reset_index()
    )  # fmt: skip
    merged["label"] = _sparse(merged)
    alone = len(merged) == 1
    spread = alt.Scale(zero=False, padding=24)
    x = alt.X("drop_percent:Q", title="worst drop of any device, %", scale=spread)
    y = alt.Y("metal_kg:Q", title="conductor metal, kg", scale=spread)
    base = alt.Chart(merged)
    line = base.mark_line(color=palette.accent, strokeWidth=2, interpolate="linear").encode(
        x=x, y=y, order="drop_percent:Q"
    )
    dots = base.mark_point(filled=True, color=palette.ink, size=55, opacity=1).encode(
        x=x, y=y, tooltip=["limits", alt.Tooltip("drop_percent", format=".2f"),
                           alt.Tooltip("metal_kg", format=".2f")]
    )  # fmt: skip
    text = base.mark_text(align="left", dx=8, dy=-7, color=palette.ink).encode(
        x=x, y=y, text="label:N"
    )
    note = "Each point is a whole choice of wiring; × 1 is the limits asked for."
    if alone:
        note = "One point: every size is given, or no limit of drop governs. Nothing to trade."
    return dressed(
        alt.layer(line, dots, text).properties(width=520, height=300),
        "Metal against drop, all drop limits moved alike",
        palette,
        note,
    )
