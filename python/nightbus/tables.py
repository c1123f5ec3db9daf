"""The tables that the program knows, each with where it comes from."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from nightbus import _core
from nightbus.frames import frame

if TYPE_CHECKING:
    import pandas as pd


def catalogue(*files: str | Path) -> _core.Catalogue:
    """Return the built-in catalogue, with the user's own tables if any.

    Parameters
    ----------
    *files : str or Path
        TOML files in the format of the built-in tables. A table may not silently replace another.

    Raises
    ------
    InputError
        With every problem of a file.

    Examples
    --------
    >>> import nightbus as nb
    >>> rules = nb.catalogue().rule_set("NEC")
    >>> found = rules.ampacity(nb.ConductorSize("12 AWG"), 90.0)
    >>> found.value
    30.0
    """
    found = _core.Catalogue()
    for file in files:
        path = Path(file)
        found = found.with_tables(path.read_text(encoding="utf-8"), str(path))
    return found


def tables(of: _core.Catalogue | None = None) -> pd.DataFrame:
    """Return one row for each table: what it is, from where, how sure.

    Examples
    --------
    >>> from nightbus.tables import tables
    >>> known = tables()
    >>> known.loc[known["id"] == "NEC/terminals", ["cite", "rows"]].values.tolist()
    [['NFPA 70 (2023) 110.14(C)(1)', 2]]
    """
    return frame(
        (
            {
                "id": table.pedigree.id,
                "cite": table.pedigree.cite(),
                "purpose": table.pedigree.purpose,
                "confidence": table.pedigree.confidence,
                "rows": len(table.rows),
                "limits": table.pedigree.limits,
            }
            for table in (of or _core.Catalogue()).tables
        ),
        ["id", "cite", "purpose", "confidence", "rows", "limits"],
    )


def table(name: str, of: _core.Catalogue | None = None) -> pd.DataFrame:
    """Return one table as it was written; its pedigree is in ``attrs``.

    Examples
    --------
    >>> from nightbus.tables import table
    >>> table("Heat/fans").attrs["cite"]
    'common practice, no source'
    """
    found = (of or _core.Catalogue()).table(name)
    rows = frame(
        (dict(zip(found.pedigree.columns, row, strict=False)) for row in found.rows),
        list(found.pedigree.columns),
    )
    rows.attrs = {
        "units": {
            column: unit
            for column, unit in zip(found.pedigree.columns, found.pedigree.units, strict=False)
            if unit
        },
        "cite": found.pedigree.cite(),
        "limits": found.pedigree.limits,
    }
    return rows
