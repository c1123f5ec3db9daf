"""Tables as Arrow, with their units, for programs that are not pandas."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus import _core

if TYPE_CHECKING:
    from collections.abc import Mapping

    import pandas as pd


def arrow_tables(tables: Mapping[str, pd.DataFrame]) -> dict[str, Any]:
    """Turn data frames into Arrow tables; the unit of a column is in its field's metadata.

    Parameters
    ----------
    tables : mapping of name to DataFrame
        Such as ``plan.tables()``.

    Returns
    -------
    dict of name to pyarrow.Table
        ``table.schema.field("drop_v").metadata[b"unit"]`` is ``b"V"``.

    Raises
    ------
    Error
        When pyarrow is not installed.

    Examples
    --------
    >>> import nightbus as nb
    >>> from nightbus.exchange import arrow_tables
    >>> runs = arrow_tables({"runs": nb.plan("post.toml").runs})["runs"]
    >>> runs.schema.field("drop_v").metadata[b"unit"]
    b'V'
    """
    try:
        import pyarrow
    except ImportError as error:
        raise _core.Error("Arrow needs pyarrow: pip install 'nightbus[arrow]'") from error
    made = {}
    for name, frame in tables.items():
        table = pyarrow.Table.from_pandas(frame, preserve_index=False)
        units = frame.attrs.get("units", {})
        fields = [
            field.with_metadata({"unit": units[field.name]}) if field.name in units else field
            for field in table.schema
        ]
        # pandas' own note names its types, and would keep two equal plans from being alike.
        made[name] = table.cast(pyarrow.schema(fields))
    return made
