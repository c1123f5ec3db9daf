"""Markup in which text is escaped unless it says that it is markup."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

VOID = frozenset({"br", "hr", "meta", "input", "col"})


class Html(str):
    """Text that is already markup."""

    __slots__ = ()


Child = "str | Html | Iterable[Child] | None"


def _render(child: object) -> str:
    if child is None:
        return ""
    if isinstance(child, Html):
        return str(child)
    if isinstance(child, str):
        return escape(child, quote=True)
    if isinstance(child, Iterable):
        return "".join(_render(part) for part in child)
    raise TypeError(f"not markup: {child!r}")


def el(name: str, /, *children: object, **attributes: str | bool | None) -> Html:
    """Make an element; a trailing underscore of an attribute goes, others become hyphens.

    Examples
    --------
    >>> from nightbus.report.html import el
    >>> print(el("td", "5 < 6", class_="number", data_label="drop"))
    <td class="number" data-label="drop">5 &lt; 6</td>
    """
    parts = [name]
    for key, value in attributes.items():
        if value is None or value is False:
            continue
        written = key.rstrip("_").replace("_", "-")
        parts.append(written if value is True else f'{written}="{escape(value, quote=True)}"')
    opening = "<" + " ".join(parts) + ">"
    if name in VOID:
        return Html(opening)
    return Html(f"{opening}{_render(children)}</{name}>")


def join(*children: object) -> Html:
    """Put children one after another."""
    return Html(_render(children))


#: Rows that stay on one sheet of paper, together with their heading.
SHORT = 14


def table(
    columns: list[tuple[str, str]],
    rows: Iterable[Iterable[object]],
    *,
    label: str,
    row_classes: list[str] | None = None,
) -> Html:
    """Make a table that scrolls on its own and becomes cards on a narrow screen.

    Parameters
    ----------
    columns : list of (heading, class)
        The class ``number`` aligns to the right; the first column heads its row.
    rows : iterable of iterables
        Cells, text or markup.
    label : str
        What a screen reader calls it.
    row_classes : list of str, optional
        One class for each row.
    """
    head = el("tr", [el("th", title, scope="col", class_=kind or None) for title, kind in columns])
    body = []
    for index, row in enumerate(rows):
        cells = []
        for position, (cell, (title, kind)) in enumerate(zip(row, columns, strict=True)):
            if position == 0:
                cells.append(el("th", cell, scope="row", class_=kind or None))
            else:
                cells.append(el("td", cell, class_=kind or None, data_label=title))
        name = row_classes[index] if row_classes else ""
        body.append(el("tr", cells, class_=name or None))
    return el(
        "div",
        el("table", el("caption", label), el("thead", head), el("tbody", body)),
        class_="scroll short" if len(body) <= SHORT else "scroll",
        role="region",
        aria_label=f"{label}, table",
        tabindex="0",
    )
