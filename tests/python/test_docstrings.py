"""Every public name is documented, with an example, and every example gives what it shows.

Public is what stands in `nightbus.__all__` and `nightbus.charts.__all__`, methods and properties of
those classes, and the compiled classes that these hand out. The fields of a compiled class need
a sentence each; its example uses them.
"""

from __future__ import annotations

import ast
import doctest
import enum
import importlib
import inspect
import pkgutil
import re
import subprocess
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import pytest
from tests.python.conftest import ROOT

import nightbus
from nightbus import _core, charts

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

FLAGS = doctest.NORMALIZE_WHITESPACE | doctest.ELLIPSIS
MODULES = sorted(
    module.name
    for module in pkgutil.walk_packages(nightbus.__path__, "nightbus.")
    if not module.name.endswith("_core")
)


@dataclass(frozen=True)
class Name:
    """One public name."""

    path: str
    text: str
    needs_example: bool


def text_of(thing: Any) -> str:
    """Its own docstring; one that every object has by itself is none."""
    if isinstance(thing, classmethod | staticmethod):
        thing = thing.__func__
    found = inspect.getdoc(thing) or ""
    return "" if found == inspect.getdoc(object) else found


def returned() -> dict[str, set[str]]:
    """For each compiled class, the compiled classes that its members give, by the stub."""
    stub = ast.parse((ROOT / "python" / "nightbus" / "_core.pyi").read_text(encoding="utf-8"))
    classes = [node for node in stub.body if isinstance(node, ast.ClassDef)]
    names = {node.name for node in classes}
    found: dict[str, set[str]] = {}
    for node in classes:
        given = [
            member.returns
            for member in node.body
            if isinstance(member, ast.FunctionDef)
            and member.returns is not None
            and not member.name.startswith("_")
        ]
        words = [word for answer in given for word in ast.walk(answer)]
        found[node.name] = {
            word.id for word in words if isinstance(word, ast.Name) and word.id in names
        }
    return found


def members(cls: type) -> Iterator[tuple[str, Any]]:
    """Public members that nightbus itself gives a class."""
    seen = set()
    for base in cls.__mro__:
        if not base.__module__.startswith("nightbus"):
            continue
        for key, value in vars(base).items():
            if not key.startswith("_") and key not in seen:
                seen.add(key)
                yield key, value


def names_of_class(path: str, cls: type) -> Iterator[Name]:
    compiled = cls.__module__ == "nightbus._core"
    yield Name(path, text_of(cls), True)
    if issubclass(cls, enum.Enum):
        return
    for key, value in members(cls):
        if isinstance(value, property):
            yield Name(f"{path}.{key}", inspect.cleandoc(value.__doc__ or ""), not compiled)
        elif callable(value) or isinstance(value, classmethod | staticmethod):
            yield Name(f"{path}.{key}", text_of(value), True)
        elif hasattr(value, "func"):  # a cached property
            yield Name(f"{path}.{key}", text_of(value.func), True)


def public_names() -> list[Name]:
    found: list[Name] = []
    given = returned()
    todo: list[str] = []
    for package, prefix in ((nightbus, "nb"), (charts, "charts")):
        for key in package.__all__:
            thing = getattr(package, key)
            if key.startswith("__") or not (inspect.isclass(thing) or callable(thing)):
                continue
            answers = [thing]
            if inspect.isclass(thing):
                found += names_of_class(f"{prefix}.{key}", thing)
                answers = [value for _, value in members(thing)]
            else:
                found.append(Name(f"{prefix}.{key}", text_of(thing), True))
            todo += [key] if key in given else []
            for answer in answers:
                function = getattr(answer, "fget", None) or getattr(answer, "func", answer)
                if inspect.isfunction(function):
                    said = str(function.__annotations__.get("return", ""))
                    todo += re.findall(r"_core\.(\w+)", said)
    reached: set[str] = set()
    while todo:
        key = todo.pop()
        if key in given and key not in reached:
            reached.add(key)
            todo += given[key]
    for key in sorted(reached - set(nightbus.__all__)):
        found += names_of_class(f"_core.{key}", getattr(_core, key))
    return found


NAMES = public_names()


@pytest.fixture
def beside_the_post(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder with the system file of the README, which the examples read."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    found = re.search(r"^```toml\n(.*?)^```$", readme, re.MULTILINE | re.DOTALL)
    assert found is not None
    (tmp_path / "post.toml").write_text(found[1], encoding="utf-8")
    monkeypatch.chdir(tmp_path)


def failures_of(name: str, text: str) -> str:
    """Run one docstring's examples; what they gave instead of what they show."""
    test = doctest.DocTestParser().get_doctest(text, {}, name, None, None)
    said: list[str] = []
    doctest.DocTestRunner(optionflags=FLAGS).run(test, out=said.append)
    return "".join(said)


def test_the_walk_reaches_what_users_reach() -> None:
    paths = {name.path for name in NAMES}
    assert len(paths) == len(NAMES)
    assert {
        "nb.plan",
        "nb.Plan.why_not",
        "nb.Plan.cautions",
        "nb.System.copy",
        "nb.Load.replace",
        "nb.Load.typical_w",
        "_core.RunPlan.drop_v",
        "_core.RuleSet.ampacity",
        "charts.night",
    } <= paths


@pytest.mark.parametrize("name", NAMES, ids=lambda name: name.path)
def test_every_public_name_is_told_with_an_example(name: Name) -> None:
    told = [line for line in name.text.splitlines() if not re.match(r"\w+\(.*\) -> ", line)]
    assert any(re.search(r"\w{3}", line) for line in told), "nothing is said of it"
    assert not name.needs_example or ">>> " in name.text, "it has no example"


@pytest.mark.usefixtures("beside_the_post")
@pytest.mark.parametrize(
    "name",
    [name for name in NAMES if ">>> " in name.text],
    ids=lambda name: name.path,
)
def test_its_example_gives_what_it_shows(name: Name) -> None:
    assert not failures_of(name.path, name.text)


@pytest.mark.usefixtures("beside_the_post")
@pytest.mark.parametrize("module", MODULES)
def test_examples_elsewhere_give_what_they_show(module: str) -> None:
    known = {name.text for name in NAMES}
    for test in doctest.DocTestFinder().find(importlib.import_module(module)):
        if inspect.cleandoc(test.docstring or "") not in known:
            assert not failures_of(test.name, test.docstring or "")


def test_an_example_that_is_wrong_is_noticed() -> None:
    assert "Expected:\n    3" in failures_of("sum", "Add.\n\n>>> 1 + 1\n3\n")


def test_import_does_not_wait_for_pandas() -> None:
    code = (
        "import sys, nightbus; from nightbus.cli.app import app; "
        "print(sorted({'pandas', 'xarray', 'altair', 'weasyprint'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
