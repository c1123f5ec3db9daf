"""The one-line diagram as SVG: searchable text, readable in grey, in the colours of its page."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING, Any

from nightbus.report.layout import Edge, Layout, Node, lay_out

if TYPE_CHECKING:
    from collections.abc import Mapping

    from nightbus.system import System

ROW = 30.0
BOX = 190.0
LEAF_BOX = 275.0
HEIGHT = 20.0
TOP = 18.0
LEFT = 12.0

#: Mark of a severity: a letter and a shape, so that it reads without colour.
MARKS = {
    "danger": ("!", "M0 -9 L9 7 L-9 7 Z"),
    "warning": ("?", "M0 -9 L9 0 L0 9 L-9 0 Z"),
}

KIND_WORDS = {
    "bank": "bank",
    "bus": "bus",
    "load": "load",
    "fan": "fan",
    "converter": "converter",
    "poe_link": "PoE device",
    "charger": "charger",
    "array": "solar",
}

STYLE = """
.nb-line{fill:none;stroke:var(--line,#3b4a54);stroke-width:1.4}
.nb-line.poe{stroke-dasharray:5 3}
.nb-line.spare{stroke-dasharray:2 4;opacity:.7}
.nb-line.tie{stroke-dasharray:9 3 2 3}
.nb-line.danger{stroke:var(--danger,#a11d33);stroke-width:2.4}
.nb-line.warning{stroke:var(--warning,#8a5a00);stroke-width:2}
.nb-box{fill:var(--box,#f4f6f5);stroke:var(--line,#3b4a54);stroke-width:1.2}
.nb-bar{fill:var(--ink,#1c262c)}
.nb-name{font-size:12px;font-weight:600;fill:var(--ink,#1c262c)}
.nb-fact{font-size:11px;font-weight:400;fill:var(--soft,#55646d)}
.nb-mark.danger path{fill:var(--danger,#a11d33)}
.nb-mark.warning path{fill:var(--warning,#8a5a00)}
.nb-mark text{font-size:10px;font-weight:700;fill:var(--paper,#fff);text-anchor:middle}
.nb-device{fill:var(--paper,#fff);stroke:var(--line,#3b4a54);stroke-width:1.2}
"""


@dataclass(frozen=True)
class Notes:
    """What the plan adds to the bare system: texts by run and by point, and marks."""

    runs: Mapping[str, str]
    points: Mapping[str, str]
    marks: Mapping[tuple[str, str], str]

    @classmethod
    def none(cls) -> Notes:
        """Nothing but the system itself."""
        return cls({}, {}, {})


def _cut(text: str, width: float, size: float = 5.7) -> str:
    """Shorten to about `width` pixels; `size` is the mean width of a letter."""
    most = max(int(width / size), 2)
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


@dataclass(frozen=True)
class Sheet:
    """Pixels: where each column begins."""

    x_of_column: tuple[float, ...]
    width: float
    height: float

    @classmethod
    def of(cls, layout: Layout, notes: Notes) -> Sheet:
        """Make each gap as wide as the longest text that stands in it."""
        deepest = layout.columns - 1
        boxes = [0.0] * layout.columns
        gaps = [70.0] * layout.columns
        for node in layout.nodes.values():
            if node.kind != "bus":
                wide = LEAF_BOX if node.column == deepest else BOX
                boxes[node.column] = max(boxes[node.column], wide)
        for edge in layout.edges:
            reach = edge.end.column - edge.start.column
            if reach == 1:
                need = 60.0 + _text_width(_edge_label(edge), _run_text(edge, notes))
                gaps[edge.start.column] = max(gaps[edge.start.column], min(need, 275.0))
        places, at = [], LEFT
        for column in range(layout.columns):
            places.append(at)
            at += boxes[column] + (gaps[column] if column < deepest else 0.0)
        return cls(tuple(places), at + LEFT + 10, TOP + layout.rows * ROW + 26)

    def x(self, node: Node) -> float:
        """Left edge of a node."""
        return self.x_of_column[node.column]

    def out_x(self, node: Node) -> float:
        """Where lines leave a node."""
        return self.x(node) + (0.0 if node.kind == "bus" else self.box(node))

    def box(self, node: Node) -> float:
        """Width of a node."""
        return LEAF_BOX if node.column == len(self.x_of_column) - 1 else BOX


def _text_width(name: str, fact: str) -> float:
    return len(name) * 6.9 + len(fact) * 5.8 + (6 if name else 0)


def _y(row: float) -> float:
    return TOP + row * ROW + ROW / 2


def _edge_label(edge: Edge) -> str:
    return edge.name if edge.name not in (edge.end.name, edge.start.name) else ""


def _mark(kind: str, name: str, notes: Notes, x: float, y: float) -> str:
    severity = notes.marks.get((kind, name))
    if severity not in MARKS:
        return ""
    letter, shape = MARKS[severity]
    return (
        f'<g class="nb-mark {severity}" transform="translate({x:.1f} {y:.1f})">'
        f"<title>{severity}: {escape(name)}</title>"
        f'<path d="{shape}"/><text y="4">{letter}</text></g>'
    )


def own_fact(record: Any, kind: str) -> str:
    """One short line about a record from the description alone."""
    match kind:
        case "bank":
            strings = f"{record.strings} × " if record.strings > 1 else ""
            return f"{strings}{record.capacity} {record.chemistry}, {record.voltage}"
        case "bus":
            return str(record.rated or "")
        case "load" | "poe_link":
            count = getattr(record, "count", 1)
            return (f"{count} × " if count > 1 else "") + str(record.typical)
        case "fan":
            return str(record.step_power[-1]) if record.step_power else ""
        case "converter":
            return f"{record.output}, {record.power}"
        case "charger":
            return str(record.current)
        case "array":
            return f"{record.power}, {record.controller_current}"
    return ""


def _run_text(edge: Edge, notes: Notes) -> str:
    if edge.name in notes.runs and not edge.is_poe:
        return notes.runs[edge.name]
    parts = [edge.run.length]
    if edge.is_poe:
        parts.append(edge.run.cable)
    elif edge.run.size is not None:
        parts.append(str(edge.run.size))
    if not edge.is_poe and edge.run.fuse is not None:
        parts.append(edge.run.fuse)
    return " · ".join(parts)


def _edge_svg(edge: Edge, notes: Notes, sheet: Sheet) -> str:
    kind = "poe_link" if edge.is_poe else "run"
    severity = notes.marks.get((kind, edge.name), "")
    classes = ["nb-line"]
    if edge.is_poe:
        classes.append("poe")
    elif edge.run.spare:
        classes.append("spare")
    if severity in MARKS:
        classes.append(severity)
    enters_left = edge in edge.end.sources
    y = _y(edge.start.row if enters_left else edge.end.row)
    x1, x2 = sheet.out_x(edge.start), sheet.x(edge.end)
    text, name = _run_text(edge, notes), _edge_label(edge)
    has_device = not edge.is_poe and (edge.run.overcurrent or edge.run.fuse is not None)
    # The device of a charger's run sits at the bank's side.
    device_x = x2 - 26 if enters_left else x1 + 9
    device = (
        f'<rect class="nb-device" x="{device_x:.1f}" y="{y - 4:.1f}" width="15" height="8" '
        f'rx="2"/><path class="nb-line" d="M{device_x:.1f} {y:.1f} h15"/>'
        if has_device
        else ""
    )
    mark_x = x2 - (40 if enters_left else 14)
    label_x = x1 + (8 if enters_left or not has_device else 30)
    above = f'<tspan class="nb-name">{escape(name)}</tspan> ' if name else ""
    room = x2 - label_x - 16 - (len(name) * 6.9 if name else 0)
    return (
        f'<g class="nb-run" data-run="{escape(edge.name, quote=True)}">'
        f"<title>{escape(edge.name)}: {escape(text)}</title>"
        f'<path class="{" ".join(classes)}" d="M{x1:.1f} {y:.1f} H{x2:.1f}"/>{device}'
        f'<text class="nb-fact" x="{label_x:.1f}" y="{y - 5:.1f}">{above}'
        f"{escape(_cut(text, room))}</text>"
        f"{_mark(kind, edge.name, notes, mark_x, y) if not edge.is_poe else ''}</g>"
    )


def _tie_svg(edge: Edge, notes: Notes, sheet: Sheet) -> str:
    x1, x2 = sheet.out_x(edge.start) + 4, sheet.x(edge.end) - 6
    y1, y2 = _y(edge.start.last) + 10, _y(edge.end.row) + 7
    return (
        f'<g class="nb-run" data-run="{escape(edge.name, quote=True)}">'
        f"<title>{escape(edge.name)}: {escape(_run_text(edge, notes))}</title>"
        f'<path class="nb-line tie" d="M{x1:.1f} {y1:.1f} C{x1 + 60:.1f} {y1 + 14:.1f} '
        f'{x2 - 60:.1f} {y2 + 14:.1f} {x2:.1f} {y2:.1f}"/>'
        f'<text class="nb-fact" x="{(x1 + x2) / 2:.1f}" y="{max(y1, y2) + 12:.1f}">'
        f"{escape(edge.name)}</text></g>"
    )


def _bar(node: Node, x: float) -> str:
    top, bottom = _y(node.first) - 10, _y(node.last) + 10
    return (
        f'<rect class="nb-bar" x="{x - 2.5:.1f}" y="{top:.1f}" width="5" '
        f'height="{bottom - top:.1f}" rx="2.5"/>'
    )


def _node_svg(node: Node, notes: Notes, sheet: Sheet) -> str:
    x, y = sheet.x(node), _y(node.row)
    fact = notes.points.get(node.name) or own_fact(node.record, node.kind)
    title = f"{KIND_WORDS[node.kind]} {node.name}: {fact}"
    if node.kind == "bus":
        mark = _mark(node.kind, node.name, notes, x, _y(node.last) + 17)
        # Its name stands above the bar, where no line runs.
        body = (
            f'{_bar(node, x)}<text class="nb-name" x="{x - 3:.1f}" y="{_y(node.first) - 21:.1f}">'
            f'{escape(_cut(node.name, 190, 6.6))}<tspan class="nb-fact" dx="5">{escape(fact)}'
            "</tspan></text>"
        )
    else:
        box = sheet.box(node)
        # A leaf carries its mark at the far end; elsewhere a line or bar begins there.
        mark = _mark(node.kind, node.name, notes, x + (box if box == LEAF_BOX else 0.0), y)
        below = node.kind == "bank"
        room = box - 20 - (0 if below else len(fact) * 5.7) - (10 if mark else 0)
        name_x = x + (14 if mark and box != LEAF_BOX else 7)
        fact_place = (
            f'x="{x + 2:.1f}" y="{y + 23:.1f}"'
            if below
            else f'x="{x + box - (15 if mark and box == LEAF_BOX else 7):.1f}" y="{y + 4:.1f}" '
            'text-anchor="end"'
        )
        bar = _bar(node, x + box) if len(node.children) > 1 else ""
        body = (
            f'<rect class="nb-box" x="{x:.1f}" y="{y - HEIGHT / 2:.1f}" width="{box:.0f}" '
            f'height="{HEIGHT:.0f}" rx="4"/>{bar}'
            f'<text class="nb-name" x="{name_x:.1f}" y="{y + 4:.1f}">'
            f"{escape(_cut(node.name, room, 7.4))}</text>"
            f'<text class="nb-fact" {fact_place}>{escape(fact)}</text>'
        )
    return f'<g class="nb-point"><title>{escape(title)}</title>{body}{mark}</g>'


def one_line(system: System, notes: Notes | None = None, *, layout: Layout | None = None) -> str:
    """Draw the system.

    Parameters
    ----------
    system : System
        The description.
    notes : Notes, optional
        Sizes, ratings and marks of a plan.

    Returns
    -------
    str
        An ``<svg>`` element that stands alone or inside a page.
    """
    notes = notes or Notes.none()
    layout = layout or lay_out(system)
    sheet = Sheet.of(layout, notes)
    ties = {id(edge) for edge in layout.ties}
    parts = [_edge_svg(edge, notes, sheet) for edge in layout.edges if id(edge) not in ties]
    parts += [_tie_svg(edge, notes, sheet) for edge in layout.ties]
    parts += [_node_svg(node, notes, sheet) for node in layout.nodes.values()]
    size = f'viewBox="0 0 {sheet.width:.0f} {sheet.height:.0f}"'
    return (
        f'<svg class="nb-diagram" xmlns="http://www.w3.org/2000/svg" role="img" '
        f'font-family="system-ui, sans-serif" {size} '
        f'width="{sheet.width:.0f}" height="{sheet.height:.0f}" '
        f'aria-label="One-line diagram of {escape(system.title or "the system", quote=True)}">'
        f"<style>{STYLE}</style>{''.join(parts)}</svg>"
    )
