"""Tables of the sheets in the report: readings, blocks, terminations, totals, and changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nightbus import sheet_tables, words
from nightbus.report.common import number
from nightbus.report.html import Html, el, join, table

if TYPE_CHECKING:
    from nightbus.planning import Plan


def changes(plan: Plan) -> Html | None:
    """What would make an infeasible plan feasible; nothing when there is nothing to tell."""
    ways = plan.data.wiring.ways
    if not ways:
        return None
    return join(
        el("h3", "What would mend the wiring"),
        el(
            "p",
            "Each way was planned again as a whole and passes what this plan fails. Its changes "
            "belong together; the smallest set comes first.",
            class_="lead",
        ),
        table(
            [("way", "number"), ("change", ""), ("metal then", "number")],
            [
                [str(place), change.words, f"{way.metal_kg:.2f} kg"]
                for place, way in enumerate(ways, start=1)
                for change in way.changes
            ],
            label="What would mend the wiring",
        ),
    )


def readings(plan: Plan) -> Html | None:
    """What a meter shows with nothing on, at typical and at peak draw, with what is accepted."""
    found = sheet_tables.commissioning(plan)
    if not len(found):
        return None

    def figure(value: object, unit: object) -> str:
        known = number(value) or 0.0
        return words.volts(known) if unit == "V" else f"{known:.1f} mV"

    rows = [
        [
            row.at,
            row.what,
            figure(row.nothing_on, row.unit),
            figure(row.typical, row.unit),
            figure(row.peak, row.unit),
            words.amps(number(row.typical_a)),
            words.amps(number(row.peak_a)),
            f"{figure(row.low, row.unit)} to {figure(row.high, row.unit)}",
            Html("&nbsp;"),
        ]
        for row in found.itertuples()
    ]
    return join(
        el("h3", "Readings with nothing on, at typical and at peak draw"),
        el(
            "p",
            "Bank at rest, mild air. Volts between terminals; drop of a run out and back; joint: "
            "across one of them. Accept: at typical draw. A bank within 0.2 V, a drop or joint up "
            "to half as much again: ours and common practice, no source.",
            class_="lead",
        ),
        el(
            "div",
            table(
                [
                    ("at", ""),
                    ("what", ""),
                    ("nothing on", "number"),
                    ("typical", "number"),
                    ("peak", "number"),
                    ("amps", "number"),
                    ("at peak", "number"),
                    ("accept", "number"),
                    ("reading", "blank"),
                ],
                rows,
                label="Readings with accept limits",
            ),
            class_="cards",
        ),
    )


def totals(plan: Plan) -> Html:
    """Metres and mass by size with spare, and what ends on which point."""
    return join(
        el("h3", "Conductor by size"),
        table(
            [
                ("size", ""),
                ("family", ""),
                ("pieces", "number"),
                ("longest", "number"),
                ("total", "number"),
                ("with a tenth more", "number"),
                ("metal", "number"),
            ],
            [
                [
                    row.size,
                    row.family,
                    str(row.pieces),
                    words.metres(number(row.longest_m)),
                    words.metres(number(row.total_m)),
                    words.metres(number(row.with_spare_m)),
                    f"{number(row.metal_kg):.2f} kg",
                ]
                for row in sheet_tables.cut_totals(plan).itertuples()
            ],
            label="Conductor by size",
        ),
        el("h3", "Terminations by point"),
        table(
            [("point", ""), ("pole", ""), ("size", ""), ("number", "number")],
            [
                [row.point, row.pole, row.size, str(row.number)]
                for row in sheet_tables.terminals(plan).itertuples()
            ],
            label="Terminations by point",
        ),
    )


def blocks(plan: Plan) -> Html | None:
    """Each block and bus bar, way by way."""
    found = sheet_tables.block_map(plan)
    if not len(found):
        return None
    return join(
        el("h3", "Blocks and bus bars"),
        table(
            [
                ("bus", ""),
                ("way", ""),
                ("run", ""),
                ("other end", ""),
                ("conductor", ""),
                ("device", ""),
                ("most", "number"),
            ],
            [
                [
                    row.bus,
                    row.way,
                    row.run,
                    row.other_end,
                    row.conductor,
                    f"{number(row.rating_a):g} A {row.device!s}" if row.device else words.NONE,
                    words.amps(number(row.most_a)),
                ]
                for row in found.itertuples()
            ],
            label="Blocks and bus bars",
        ),
    )
