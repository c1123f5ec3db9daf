"""The documentation builds, is whole, leads nowhere wrong, and its examples run."""

from __future__ import annotations

import importlib.util
import re
from html import unescape
from typing import TYPE_CHECKING, Any

import pytest
from tests.python.conftest import ROOT

import nightbus as nb
from nightbus import _core

if TYPE_CHECKING:
    from pathlib import Path

SOURCES = ROOT / "python" / "docs"


def builder() -> Any:
    spec = importlib.util.spec_from_file_location("docs_build", SOURCES / "build.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("docs")
    builder().build(folder)
    return folder


def text_of(page: Path) -> str:
    return unescape(re.sub(r"<[^>]+>", "", page.read_text(encoding="utf-8")))


def test_every_link_leads_somewhere_and_nothing_is_asked_of_the_network(built: Path) -> None:
    for page in built.glob("*.html"):
        html = page.read_text(encoding="utf-8")
        for link in re.findall(r'(?:href|src)="([^"]+)"', html):
            assert (built / link.split("#")[0]).exists(), f"{page.name}: {link}"
        assert "<script" not in html


def test_every_field_finding_table_verb_and_name_is_there(built: Path) -> None:
    fields = text_of(built / "fields.html")
    for entry in _core.field_table():
        for row in entry["fields"]:
            assert row["key"] in fields
    findings = text_of(built / "findings.html")
    for kind in _core.finding_kinds():
        assert f"{kind.code}: " in findings
    tables = text_of(built / "tables.html")
    for table in nb.catalogue().tables:
        assert table.pedigree.id in tables
        assert table.pedigree.confidence in tables
    python = text_of(built / "python.html")
    for name in nb.__all__:
        assert name.startswith("__") or f"nb.{name}" in python
    commands = text_of(built / "commands.html")
    for verb in ("plan", "check", "explain", "compare", "tables", "fields", "new", "watch", "day"):
        assert f"nightbus {verb} [OPTIONS]" in commands


def test_the_first_page_opens_with_the_caution(built: Path) -> None:
    assert "licensed person" in text_of(built / "index.html")[:1500]


def test_a_broken_link_ends_the_build(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    module = builder()
    real = module.pages()
    monkeypatch.setattr(module, "pages", lambda: {**real, "index": "# X\n[a](nowhere.md)\n"})
    with pytest.raises(ValueError, match=r"index\.md: nowhere\.md"):
        module.build(tmp_path)


@pytest.mark.parametrize("page", sorted(SOURCES.glob("*.md")), ids=lambda page: page.stem)
def test_its_examples_run_one_after_the_other(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    names: dict[str, Any] = {}
    blocks = re.findall(r"^```python\n(.*?)^```", page.read_text(encoding="utf-8"), re.M | re.S)
    for code in blocks:
        exec(compile(code, str(page), "exec"), names)
    if page.stem == "tutorial":
        assert blocks
        assert names["plan"].verdict == "good"
        assert not names["drawer"].feasible
        assert (tmp_path / "hill.html").exists()
