"""Where everything stands on the one-line diagram: bank left, loads right.

The system is laid out as a tree from its banks. Every leaf has a row of its own; what joins several
circuits is a bar as tall as the rows behind it. What fills a bank gets a row too and enters from
the left. A run that would close a loop is kept aside and drawn as a tie.

    column 0      column 1        column 2            last column
    [ bank ]───────║──────────────[ converter ]─║─────[ camera ]
    [ array ]──────║                            ║─────[ radio ]
                   ║─────────────────────────────────[ router ]
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from nightbus.system import System

SOURCE_KINDS = ("charger", "array")
LEAF_KINDS = ("load", "fan", "poe_link")
BUS_NAME_ROWS = 0.9  # above a bar, for its name


@dataclass
class Node:
    """A point on the sheet; rows count from 0 at the top, columns from 0 at the left."""

    name: str
    kind: str
    record: Any
    column: int = 0
    row: float = 0.0
    first: float = 0.0
    last: float = 0.0
    children: list[Edge] = field(default_factory=list)
    sources: list[Edge] = field(default_factory=list)
    feed: Edge | None = None


@dataclass
class Edge:
    """A run (or the cable of a PoE link) between two nodes."""

    name: str
    start: Node
    end: Node
    run: Any
    is_poe: bool = False


@dataclass
class Layout:
    """The whole sheet."""

    nodes: dict[str, Node]
    edges: list[Edge]
    ties: list[Edge]
    rows: float
    columns: int


def _nodes(system: System) -> dict[str, Node]:
    nodes: dict[str, Node] = {}
    for name, record in system.points().items():
        nodes[name] = Node(name, type(record).record_kind, record)
    return nodes


def _edges(system: System, nodes: dict[str, Node]) -> list[Edge]:
    runs = [
        Edge(run.name, nodes[run.from_], nodes[run.to], run)
        for run in system.runs
        if run.from_ in nodes and run.to in nodes
    ]
    cables = [
        Edge(link.name, nodes[link.from_], nodes[link.name], link, is_poe=True)
        for link in system.poe_links
        if link.from_ in nodes
    ]
    return runs + cables


def lay_out(system: System) -> Layout:
    """Give every point its column and row."""
    nodes = _nodes(system)
    edges = _edges(system, nodes)
    leaving: dict[str, list[Edge]] = {name: [] for name in nodes}
    for edge in edges:
        leaving[edge.start.name].append(edge)

    ties: list[Edge] = []
    reached: set[str] = set()
    placed: set[int] = set()

    def grow(root: Node) -> None:
        reached.add(root.name)
        queue = [root]
        while queue:
            node = queue.pop(0)
            for edge in leaving[node.name]:
                if id(edge) in placed:
                    continue
                placed.add(id(edge))
                if edge.end.name in reached:
                    ties.append(edge)
                    continue
                reached.add(edge.end.name)
                edge.end.column = node.column + 1
                edge.end.feed = edge
                node.children.append(edge)
                queue.append(edge.end)

    roots = [node for node in nodes.values() if node.kind == "bank"]
    # Each further bank of the same bus enters from the left like any source.
    mains: list[Node] = []
    for root in roots:
        shares_a_bus = (
            mains
            and leaving[root.name]
            and all(edge.end.name in reached for edge in leaving[root.name])
        )
        if shares_a_bus:
            reached.add(root.name)
            for edge in leaving[root.name]:
                placed.add(id(edge))
                edge.end.sources.append(edge)
            continue
        mains.append(root)
        grow(root)
    for node in nodes.values():
        if node.kind in SOURCE_KINDS and node.name not in reached:
            joined = [edge for edge in leaving[node.name] if edge.end.name in reached]
            if joined:
                reached.add(node.name)
                placed.update(id(edge) for edge in joined)
                joined[0].end.sources.append(joined[0])
                ties += joined[1:]
    for node in nodes.values():
        if node.name not in reached:
            mains.append(node)
            grow(node)

    _keep_small_branches_first(mains)
    rows = _rows(mains)
    deepest = max((node.column for node in nodes.values()), default=0)
    for node in nodes.values():
        if node.kind in LEAF_KINDS and not node.children:
            node.column = deepest
        for edge in node.sources:
            edge.start.column = max(node.column - 1, 0)
    return Layout(nodes, edges, ties, rows, deepest + 1)


def _keep_small_branches_first(roots: list[Node]) -> None:
    """Leaves before branches, so that long lines do not cross bars."""

    def depth(node: Node) -> int:
        return 1 + max((depth(edge.end) for edge in node.children), default=0)

    def order(node: Node) -> None:
        node.children.sort(key=lambda edge: depth(edge.end) > 1)
        for edge in node.children:
            order(edge.end)

    for root in roots:
        order(root)


def _rows(roots: list[Node]) -> float:
    """Assign rows depth first; a bar spans the rows behind it."""
    next_row = 0.0

    def place(node: Node) -> None:
        nonlocal next_row
        own: list[float] = []
        if node.kind == "bus":
            next_row += BUS_NAME_ROWS
        for edge in node.children:
            place(edge.end)
            own.append(edge.end.row)
        for edge in node.sources:
            edge.start.row = edge.start.first = edge.start.last = next_row
            own.append(edge.start.row)
            next_row += 1
        if not own:
            own.append(next_row)
            next_row += 1
        node.first, node.last = min(own), max(own)
        # Fed at the row of its first child: straight lines read best.
        node.row = own[0] if node.children else node.first

    for root in roots:
        place(root)
    return next_row
