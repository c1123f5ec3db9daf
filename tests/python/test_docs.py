"""The documents build without a warning, are whole, ask the network for nothing, and run."""

from __future__ import annotations

import re
import subprocess
import sys
from html import unescape
from html.parser import HTMLParser
from typing import TYPE_CHECKING, Any

import pytest
from tests.python.browser import BROWSER, chromium
from tests.python.conftest import ROOT

import nightbus as nb
from nightbus import _core

if TYPE_CHECKING:
    from pathlib import Path

SOURCES = ROOT / "python" / "docs"
PAGES = sorted(SOURCES.rglob("*.md"))
WITH_CODE = ("tutorial.md", "questions.md", "theory/network.md", "theory/bank.md")
LOADING = {"script": "src", "img": "src", "iframe": "src", "link": "href", "source": "src"}


def sphinx(source: Path, target: Path) -> subprocess.CompletedProcess[str]:
    """Build as `make docs` does, with its settings."""
    words = ["--quiet", "--fail-on-warning", "--keep-going", "--jobs", "2"]
    words += ["--conf-dir", str(SOURCES), "--doctree-dir", str(target.parent / "doctrees")]
    return subprocess.run(
        [sys.executable, "-m", "sphinx", *words, str(source), str(target)],
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("docs") / "html"
    done = sphinx(SOURCES, target)
    assert done.returncode == 0, done.stderr[-4000:]
    return target


class Page(HTMLParser):
    """What a page loads, and the ids it has."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.loads: list[str] = []
        self.links: list[str] = []
        self.ids: set[str] = set()
        self.feed(path.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {key: value or "" for key, value in attrs}
        self.ids |= {told[key] for key in ("id", "name") if key in told}
        if tag == "a" and "href" in told:
            self.links.append(told["href"])
        if tag in LOADING and LOADING[tag] in told:
            self.loads.append(told[LOADING[tag]])


def text_of(page: Path) -> str:
    text = unescape(re.sub(r"<[^>]+>", "", page.read_text(encoding="utf-8")))
    return text.replace("’", "'")


def test_nothing_is_asked_of_the_network(built: Path) -> None:
    pages = list(built.rglob("*.html"))
    assert len(pages) > len(PAGES)
    for path in pages:
        for link in Page(path).loads:
            if link == "#":
                continue
            assert "//" not in link, f"{path.name}: {link}"
            assert (path.parent / link.split("?")[0]).exists(), f"{path.name}: {link}"
    for path in built.rglob("*.css"):
        styles = path.read_text(encoding="utf-8")
        assert not re.search(r"@import|url\(\s*['\"]?(https?:)?//", styles), path.name


def test_every_link_within_leads_to_a_place(built: Path) -> None:
    pages = {path: Page(path) for path in built.rglob("*.html")}
    for path, page in pages.items():
        for link in page.links:
            if link == "#" or re.match(r"[a-z]+:", link):
                continue
            file, _, place = link.partition("#")
            target = (path.parent / file).resolve() if file else path
            assert target in pages, f"{path.name}: {link}"
            assert not place or place in pages[target].ids, f"{path.name}: {link}"


def test_every_field_finding_table_verb_and_name_is_there(built: Path) -> None:
    reference = built / "reference"
    fields = text_of(reference / "fields.html")
    for entry in _core.field_table():
        for row in entry["fields"]:
            assert row["key"] in fields
    findings = text_of(reference / "findings.html")
    for kind in _core.finding_kinds():
        assert f"{kind.code} " in findings
    tables = text_of(reference / "tables.html")
    for table in nb.catalogue().tables:
        assert table.pedigree.id in tables
        assert table.pedigree.confidence in tables
    python = text_of(reference / "python.html") + text_of(reference / "records.html")
    for name in nb.__all__:
        assert name.startswith("__") or f"nb.{name}" in python
    commands = text_of(reference / "commands.html")
    for verb in ("plan", "check", "explain", "compare", "tables", "fields", "new", "watch", "day"):
        assert f"nightbus {verb} [OPTIONS]" in commands
    shape = text_of(reference / "json.html")
    for key in nb.plan_schema()["properties"]:
        assert key in shape


def test_every_public_header_is_there_with_its_functions(built: Path) -> None:
    text = "".join(text_of(page) for page in (built / "reference" / "cpp").glob("*.html"))
    for header in (ROOT / "cpp" / "include" / "nightbus").glob("*.hpp"):
        assert f"nightbus/{header.name}" in text
    for name in ("read_system_file(", "plan_wiring(", "make_plan(", "solve(", "sun_times("):
        assert f"nightbus::{name}" in text


def test_formulas_are_drawn_by_the_browser_alone(built: Path) -> None:
    path = built / "theory" / "network.html"
    assert path.read_text(encoding="utf-8").count("<math") > 20
    assert not [link for link in Page(path).loads if "math" in link.lower()]


@pytest.mark.skipif(BROWSER is None, reason="Chromium is not installed")
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_rule_of_accessibility_is_broken(built: Path, scheme: str) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    with chromium() as browser:
        page = browser.new_page(viewport={"width": 1280, "height": 900}, color_scheme=scheme)
        for name in ("index", "tutorial", "theory/network", "reference/fields", "reference/charts"):
            page.goto((built / f"{name}.html").as_uri())
            found = axe.Axe().run(page)
            broken = [(one["id"], one["help"]) for one in found.response["violations"]]
            assert not broken, name
            assert len(found.response["passes"]) > 15


@pytest.mark.skipif(BROWSER is None, reason="Chromium is not installed")
@pytest.mark.parametrize("width", [1280, 390], ids=["desk", "phone"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_browser_shows_them_alone(built: Path, width: int, scheme: str) -> None:
    asked: list[str] = []
    said: list[str] = []
    with chromium() as browser:
        page = browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
        page.on("request", lambda request: asked.append(request.url))
        page.on("console", lambda message: said.append(f"{message.type}: {message.text}"))
        page.on("pageerror", lambda error: said.append(f"error: {error}"))
        for name in ("index", "theory/network", "reference/python", "reference/cpp/thermal"):
            page.goto((built / f"{name}.html").as_uri())
            wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
            assert wide <= 0, f"{name} is {wide} px too wide"
        page.goto((built / "theory" / "network.html").as_uri())
        assert page.locator("math").first.bounding_box()["height"] > 8
        lightness = page.evaluate(
            "getComputedStyle(document.body).backgroundColor.match(/\\d+/g).map(Number)[0]"
        )
        assert (lightness > 128) == (scheme == "light")
        page.goto((built / "search.html").as_uri() + "?q=selectivity")
        page.wait_for_selector("#search-results li a")
    assert asked
    assert all(url.startswith(("file:", "data:")) for url in asked)
    assert not [line for line in said if line.startswith("error")]


def test_the_first_page_opens_with_the_caution(built: Path) -> None:
    html = (built / "index.html").read_text(encoding="utf-8")
    opening = html[html.index("<article") :][:1500]
    assert "licensed person" in opening


@pytest.mark.parametrize(
    ("page", "said"),
    [
        ("# X\n\n[a](nowhere.md)\n", "nowhere.md"),
        ("# X\n\n```{eval-rst}\n.. autofunction:: nightbus.nothing\n```\n", "nothing"),
        ("# X\n\n$\\nonsense$\n", "nonsense"),
    ],
    ids=["a link that leads nowhere", "a name that is not there", "a formula that is none"],
)
def test_a_slip_ends_the_build(tmp_path: Path, page: str, said: str) -> None:
    source = tmp_path / "source"
    source.mkdir()
    (source / "index.md").write_text(page, encoding="utf-8")
    done = sphinx(source, tmp_path / "html")
    assert done.returncode != 0
    assert said in done.stderr


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(SOURCES).as_posix())
def test_its_examples_run_one_after_the_other(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    post = re.search(r"^```toml\n(.*?)^```", readme, re.M | re.S)
    assert post is not None
    (tmp_path / "post.toml").write_text(post[1], encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    names: dict[str, Any] = {}
    blocks = re.findall(r"^```python\n(.*?)^```", page.read_text(encoding="utf-8"), re.M | re.S)
    for code in blocks:
        exec(compile(code, str(page), "exec"), names)
    assert blocks or page.relative_to(SOURCES).as_posix() not in WITH_CODE
    if page.stem == "tutorial":
        assert names["plan"].verdict == "good"
        assert not names["drawer"].feasible
        assert (tmp_path / "hill.html").exists()
