"""Every example of every docstring runs, and every public name has one."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil

import pytest

import nightbus

MODULES = sorted(
    module.name
    for module in pkgutil.walk_packages(nightbus.__path__, "nightbus.")
    if not module.name.endswith(("_core", "weather"))
)


@pytest.mark.parametrize("name", MODULES)
def test_examples_give_what_they_show(name: str) -> None:
    module = importlib.import_module(name)
    flags = doctest.NORMALIZE_WHITESPACE | doctest.ELLIPSIS
    assert doctest.testmod(module, optionflags=flags).failed == 0


@pytest.mark.parametrize("name", [n for n in nightbus.__all__ if not n.startswith("__")])
def test_every_public_name_is_documented(name: str) -> None:
    thing = getattr(nightbus, name)
    assert inspect.getdoc(thing)


def test_import_does_not_wait_for_pandas() -> None:
    import subprocess
    import sys

    code = (
        "import sys, nightbus; from nightbus.cli.app import app; "
        "print(sorted({'pandas', 'xarray', 'altair', 'weasyprint'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
