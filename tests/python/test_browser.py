"""The report in a real browser: by keyboard, by rule, by eye's contrast; nothing is asked for."""

from __future__ import annotations

import importlib.util
import json
from typing import TYPE_CHECKING, Any

import pytest
from tests.python.browser import BROWSER, chromium
from tests.python.conftest import small_system

import nightbus as nb

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

pytestmark = [
    pytest.mark.skipif(BROWSER is None, reason="Chromium is not installed"),
    pytest.mark.skipif(
        importlib.util.find_spec("playwright") is None, reason="Playwright is not installed"
    ),
]

WIDTHS = {"desk": 1280, "phone": 390}


@pytest.fixture(scope="module")
def report(demo_plan: nb.Plan, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return demo_plan.report(tmp_path_factory.mktemp("report") / "report.html")


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium() as opened:
        yield opened


class Visit:
    """A page with what it said and what it asked for."""

    def __init__(self, browser: Any, path: Path, width: int = 1280, scheme: str = "light") -> None:
        self.context = browser.new_context(
            viewport={"width": width, "height": 900}, color_scheme=scheme
        )
        self.page = self.context.new_page()
        self.said: list[str] = []
        self.asked: list[str] = []
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(path.as_uri())
        self.address = path.as_uri()

    def __enter__(self) -> Visit:
        return self

    def __exit__(self, *_: object) -> None:
        self.context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("place", WIDTHS)
def test_it_is_quiet_asks_for_nothing_and_fits(
    browser: Any, report: Path, place: str, scheme: str
) -> None:
    with Visit(browser, report, WIDTHS[place], scheme) as visit:
        assert visit.said == []
        assert visit.asked == [visit.address]
        wide = "document.documentElement.scrollWidth <= document.documentElement.clientWidth"
        assert visit.page.evaluate(wide), "the page scrolls sideways"
        # Nothing but its own region cuts off what is wider than the page.
        assert cut_off(visit.page) == []


def cut_off(page: Any) -> list[str]:
    """Texts that are wider than their place."""
    found = page.evaluate(
        """() => [...document.querySelectorAll("main td, main th, main li, main p, main dd")]
            .filter(one => one.offsetParent && one.scrollWidth > one.clientWidth + 1
                    && getComputedStyle(one).display !== "inline"
                    // Headings that a phone does not show are there for screen readers.
                    && getComputedStyle(one.closest("thead") || one).clipPath === "none")
            .map(one => one.textContent)"""
    )
    return [str(one) for one in found]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("place", WIDTHS)
def test_no_rule_of_accessibility_is_broken(
    browser: Any, report: Path, place: str, scheme: str
) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    with Visit(browser, report, WIDTHS[place], scheme) as visit:
        visit.page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
        found = axe.Axe().run(visit.page)
        broken = [
            (one["id"], one["help"], [node["target"] for node in one["nodes"]][:3])
            for one in found.response["violations"]
        ]
        assert broken == [], json.dumps(broken, indent=1)
        assert len(found.response["passes"]) > 15


def test_a_run_is_found_by_typing(browser: Any, report: Path, demo_plan: nb.Plan) -> None:
    with Visit(browser, report) as visit:
        rows = visit.page.locator("#schedule > .cards tbody tr")
        assert rows.count() == len(demo_plan.system.runs)
        visit.page.get_by_label("Find a run").fill("satellite")
        assert rows.locator("visible=true").count() == 1
        assert visit.page.locator("#found").inner_text() == "1 found"
        visit.page.get_by_label("Find a run").fill("no such run")
        assert rows.locator("visible=true").count() == 0
        visit.page.get_by_label("Find a run").fill("")
        assert rows.locator("visible=true").count() == rows.count()


def test_by_keyboard_alone_one_skips_finds_and_unfolds(browser: Any, report: Path) -> None:
    with Visit(browser, report) as visit:
        page, press = visit.page, visit.page.keyboard.press
        focused = "document.activeElement"
        press("Tab")
        assert page.evaluate(f"{focused}.textContent") == "Skip to the plan"
        box = page.locator(".skip").bounding_box()
        assert box is not None
        assert box["x"] >= 0, "the link that is focused cannot be seen"
        press("Enter")
        assert page.evaluate("location.hash") == "#cautions"
        # Everything that can be reached shows that it is.
        seen: list[str] = []
        for _ in range(150):
            press("Tab")
            outline = page.evaluate(f"getComputedStyle({focused}).outlineStyle")
            seen.append(page.evaluate(f"{focused}.tagName"))
            assert outline != "none", seen
            if page.evaluate(f"{focused}.id") == "find-run":
                break
        assert seen[-1] == "INPUT"
        assert {"SUMMARY", "A"} <= set(seen)
        page.keyboard.type("rack feeder")
        assert page.locator("#schedule > .cards tbody tr").locator("visible=true").count() == 1
        # A reason unfolds with Enter and folds with the space bar.
        first = page.locator("#findings details").first
        first.locator("summary").first.focus()
        press("Enter")
        assert first.evaluate("one => one.open")
        assert first.locator("dt", has_text="what to do").is_visible()
        press("Space")
        assert not first.evaluate("one => one.open")


def test_a_link_to_a_finding_unfolds_its_reason(browser: Any, report: Path) -> None:
    with Visit(browser, report) as visit:
        visit.page.locator("#verdict .against a").first.click()
        identity = visit.page.evaluate("location.hash").lstrip("#")
        found = visit.page.locator(f"[id='{identity}']")
        assert found.evaluate("one => one.open")
        assert found.locator("dd").first.is_visible()


def test_it_prints_with_everything_unfolded(browser: Any, report: Path) -> None:
    reader = pytest.importorskip("pypdfium2")
    with Visit(browser, report) as visit:
        printed = visit.page.pdf(prefer_css_page_size=True)
        assert visit.asked == [visit.address]
    pdf = reader.PdfDocument(printed)
    text = " ".join(page.get_textpage().get_text_range() for page in pdf)
    assert pdf[0].get_size() == pytest.approx((841.9, 595.3), abs=1.0)
    assert "what to do" in text
    assert "Find a run" not in text


def test_diagram_and_tables_scroll_in_their_own_frame_by_keyboard(
    browser: Any, report: Path
) -> None:
    with Visit(browser, report, WIDTHS["phone"]) as visit:
        frame = visit.page.locator(".drawing")
        frame.focus()
        for _ in range(5):
            visit.page.keyboard.press("ArrowRight")
        visit.page.wait_for_function("document.querySelector('.drawing').scrollLeft > 0")
        visit.page.locator(".up").click()
        assert visit.page.evaluate("location.hash") == "#contents"


@pytest.mark.parametrize("place", WIDTHS)
def test_names_of_any_kind_break_nothing(browser: Any, tmp_path: Path, place: str) -> None:
    names = {
        "router": "x" * 70,  # one word that no column holds
        "lamp": "שלום مرحبا 日本 \U0001f69a",
        "fan": 'a "b" <i>&amp;</i> \'`${1}',
        "bus": "<script>document.title = 'taken'</script>",
    }
    system = small_system()
    for record in system.points().values():
        record.name = names.get(record.name, record.name)
    for run in system.runs:
        run.name, run.from_, run.to = (names.get(one, one) for one in (run.name, run.from_, run.to))
    system.title = "T" * 120
    path = nb.plan(system).report(tmp_path / "r.html")
    with Visit(browser, path, WIDTHS[place]) as visit:
        assert visit.said == []
        assert visit.asked == [visit.address]
        assert visit.page.title().startswith("TTTT")
        width = visit.page.evaluate("document.documentElement.scrollWidth")
        assert width <= WIDTHS[place]
        assert cut_off(visit.page) == []
        text = visit.page.locator("main").inner_text()
        for name in names.values():
            assert name in text
