"""Where the text of the program goes: as wide as a page, colour only where somebody looks."""

from __future__ import annotations

import os
import re
import sys
import threading
from contextlib import contextmanager
from typing import IO, TYPE_CHECKING, cast

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from nightbus import _core

WIDTH = 100  # of prose, and of everything when piped
WIDEST = 132  # of tables on a wide terminal
NARROWEST = 60

STYLES = {
    "danger": "bold red",
    "warning": "yellow",
    "notice": "cyan",
    "passed": "green",
    "care": "bold yellow",
    "good": "bold green",
}


class _Trimmed:
    """Standard output without the blanks that pad a table."""

    def write(self, text: str) -> int:
        sys.stdout.write(re.sub(r" +\n", "\n", text))
        return len(text)

    def flush(self) -> None:
        sys.stdout.flush()


def console() -> Console:
    """Standard output: the terminal's width within reason; piped, 100 or ``COLUMNS``, no colour."""
    plain = Console(highlight=False, soft_wrap=False)
    if plain.is_terminal:
        width = max(NARROWEST, min(plain.width, WIDEST))
        return Console(highlight=False, width=width, emoji=False, markup=False)
    asked = os.environ.get("COLUMNS", "")
    width = max(NARROWEST, min(int(asked), WIDEST)) if asked.isdecimal() else WIDTH
    piped = cast("IO[str]", _Trimmed())
    return Console(file=piped, highlight=False, width=width, emoji=False, markup=False)


@contextmanager
def patience(what: str) -> Iterator[None]:
    """Say what takes so long, once it has taken a second; on a terminal only."""
    errors = Console(stderr=True, highlight=False)
    if not errors.is_terminal:
        yield
        return
    status = errors.status(what)
    timer = threading.Timer(1.0, status.start)
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        status.stop()


def heading(out: Console, text: str) -> None:
    """Print a heading, one empty line before it."""
    out.print()
    out.print(Text(text, style="bold underline"))


def bullet(out: Console, text: str, mark: str = "·", style: str = "") -> None:
    """Print one item of a list, its lines aligned."""
    grid = Table.grid(padding=(0, 1, 0, 0))
    grid.add_column(width=1)
    grid.add_column()
    grid.add_row(Text(mark, style=style), Text(text))
    out.print(Padding(grid, (0, 0, 0, 2)), width=min(out.width, WIDTH))


def paragraph(out: Console, text: Text | str, style: str = "", indent: int = 2) -> None:
    """Print text that keeps its indent on every line."""
    line = text if isinstance(text, Text) else Text(text, style=style)
    out.print(Padding(line, (0, 0, 0, indent)), width=min(out.width, WIDTH))


def table(columns: list[tuple[str, str]], *, title: str | None = None) -> Table:
    """A table without a frame: ``>`` aligns right, ``w`` and ``c`` wrap between words.

    Neither is ever narrower than a word. A ``k`` column keeps to one line, whole.
    """
    made = Table(
        box=None,
        pad_edge=False,
        padding=(0, 2, 0, 0),
        title=title,
        title_justify="left",
        header_style="dim",
        show_edge=False,
    )
    for name, kind in columns:
        made.add_column(
            name,
            justify="right" if ">" in kind else "left",
            no_wrap=kind not in ("w", "c"),
            overflow="fold" if kind in ("w", "c") else "ellipsis",
            min_width={"w": 13, "c": 12}.get(kind, len(name)),
        )
    return made


def severity_text(severity: str) -> Text:
    """Return the word in its colour."""
    return Text(severity, style=STYLES.get(severity, ""))


MOST = 4  # findings of a kind told in full, unless they are dangers


def grouped(findings: list[_core.Finding], *, everything: bool = True) -> Table:
    """Findings of one kind stand together; advice that they share is given once.

    Without `everything`, of many alike that are no dangers the first are told in full and the rest
    by name.
    """
    groups: dict[tuple[str, str], list[_core.Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.severity.name, finding.code), []).append(finding)
    grid = Table.grid(padding=(0, 2, 0, 0))
    grid.add_column(width=7)
    grid.add_column()
    for (severity, _), members in groups.items():
        block = Table.grid()
        if len(members) > 1:
            block.add_row(Text(members[0].title, style="bold"))
            items = Table.grid(padding=(0, 1, 0, 0))
            most = MOST if severity != "danger" and not everything else len(members)
            if len(members) == most + 1:
                most += 1
            for finding in members[:most]:
                items.add_row("·", Text(finding.sentence))
            if members[most:]:
                rest = ", ".join(dict.fromkeys(one.subject for one in members[most:]))
                items.add_row("·", Text(f"and as well: {rest}"))
            block.add_row(items)
        else:
            block.add_row(Text(members[0].sentence))
        for advice in dict.fromkeys(finding.advice for finding in members if finding.advice):
            hint = Table.grid(padding=(0, 1, 0, 0))
            hint.add_row(Text("→", style="dim"), Text(advice, style="dim"))
            block.add_row(hint)
        grid.add_row(severity_text(severity), block)
    return grid


def write_err(text: str) -> None:
    """One line on standard error."""
    sys.stderr.write(text + "\n")
