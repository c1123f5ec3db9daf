"""Shapes of the files that are read and written, for editors and for other programs."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from nightbus import _core


def system_schema() -> dict[str, Any]:
    """Return the JSON Schema of a system file, made from the field table.

    Examples
    --------
    >>> import nightbus as nb
    >>> "load" in nb.system_schema()["properties"]
    True
    """
    schema: dict[str, Any] = json.loads(_core.json_schema())
    return schema


def plan_schema() -> dict[str, Any]:
    """Return the JSON Schema of what ``Plan.to_json`` writes.

    Examples
    --------
    >>> import nightbus as nb
    >>> nb.plan_schema()["title"]
    'A nightbus plan'
    """
    text = files("nightbus.schemas").joinpath("plan.schema.json").read_text(encoding="utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema


def field_reference() -> str:
    """Return the reference of every field of a system file, in Markdown.

    Examples
    --------
    >>> import nightbus as nb
    >>> nb.field_reference().splitlines()[0]
    '# Fields of a system file'
    """
    return _core.field_reference()
