"""The report: whole, alone, escaped, labelled."""

from __future__ import annotations

import itertools
import re
from html.parser import HTMLParser
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree as ET

import pytest
from tests.python.conftest import SYSTEMS, small_system

import nightbus as nb
from nightbus.report.diagram import one_line
from nightbus.report.html import Html, el, table
from nightbus.report.layout import lay_out
from nightbus.report.opening import diagram_notes, sheet_for
from nightbus.report.page import CONTENTS, page
from nightbus.report.pictures import ticks

if TYPE_CHECKING:
    from pathlib import Path

VOID = {"meta", "br", "hr", "input", "link", "img", "col"}
HOSTILE = "\"><script>alert(1)</script><img src=x onerror=alert(2)> & ' </title>"


class Page(HTMLParser):
    """Checks nesting and gathers what the tests ask about."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] not in ("style", "script"):
            self.text += data + " "


def parsed(html: str) -> Page:
    result = Page()
    result.feed(html)
    result.close()
    assert result.open == []
    return result


@pytest.fixture(scope="module")
def html(demo_plan: nb.Plan) -> str:
    return page(demo_plan)


def test_it_is_well_nested_and_every_id_is_unique_and_every_link_lands(html: str) -> None:
    result = parsed(html)
    ids = [attributes["id"] for _, attributes in result.elements if attributes.get("id")]
    assert len(ids) == len(set(ids))
    links = [a["href"] for tag, a in result.elements if tag == "a"]
    assert links
    for link in links:
        assert link is not None
        assert link.startswith("#")
        assert link[1:] in ids


def test_it_asks_for_nothing(html: str) -> None:
    result = parsed(html)
    for tag, attributes in result.elements:
        assert tag not in ("link", "img", "iframe", "object", "embed", "base")
        for name, value in attributes.items():
            assert name not in ("src", "srcset", "data", "action", "formaction", "ping")
            if name in ("href", "xlink:href"):
                assert str(value).startswith("#")
            assert not name.startswith("on")
    addresses = set(re.findall(r"https?://[^\s\"'<>]+", html))
    assert addresses <= {"http://www.w3.org/2000/svg"}
    assert "url(" not in html
    assert "@import" not in html
    assert any(
        "default-src 'none'" in str(attributes.get("content")) for _, attributes in result.elements
    )


def test_sections_come_in_the_order_in_which_they_are_read(html: str) -> None:
    places = [html.index(f'<section id="{name}"') for name, _ in CONTENTS]
    assert places == sorted(places)
    assert html.index('id="cautions"') < html.index('id="verdict"')


def test_every_run_device_and_finding_stands_in_it(demo_plan: nb.Plan, html: str) -> None:
    text = parsed(html).text
    for name in [*demo_plan.system.runs.names(), *demo_plan.system.points()]:
        assert name in text
    for finding in demo_plan.finding_list:
        if finding.severity.name != "passed":
            assert finding.sentence in text
            assert finding.advice in text
    for caution in demo_plan.cautions:
        assert caution in text


def test_regions_tables_and_pictures_are_labelled(html: str) -> None:
    result = parsed(html)
    for tag, attributes in result.elements:
        if tag == "svg":
            assert attributes["aria-label"]
            assert attributes["role"] == "img"
        if attributes.get("role") == "region":
            assert attributes["aria-label"]
            assert attributes["tabindex"] == "0"
        if tag == "th":
            assert attributes["scope"] in ("row", "col")
        if tag == "section":
            assert attributes["aria-labelledby"]
    assert html.count("<caption>") == html.count("<table>")
    assert '<html lang="en">' in html
    assert html.count("<h1>") == 1


def test_what_a_user_wrote_is_escaped_everywhere() -> None:
    system = small_system()
    system.title = system.note = system.site.name = HOSTILE
    names = {"router": HOSTILE, "bus": "b " + HOSTILE, "cupboard": "c " + HOSTILE}
    for record in system.points().values():
        record.note = HOSTILE
        record.name = names.get(record.name, record.name)
    for compartment in system.compartments:
        compartment.name = names[compartment.name]
    for run in system.runs:
        run.name, run.note = f"{run.name} {HOSTILE}", HOSTILE
        run.from_, run.to = names.get(run.from_, run.from_), names.get(run.to, run.to)
    for record in [*system.loads, *system.fans, *system.converters, *system.buses]:
        for field in ("compartment", "cools"):
            if getattr(record, field, ""):
                setattr(record, field, names[getattr(record, field)])
    plan = nb.plan(system)
    for html in (page(plan), plan._repr_html_(), system._repr_html_()):
        result = parsed(html) if html.startswith("<!doctype") else None
        assert "<script>alert" not in html
        assert "<img" not in html
        assert "onerror=alert(2)>" not in html.replace("onerror=alert(2)&gt;", "")
        if result is not None:
            assert sum(tag == "script" for tag, _ in result.elements) == 1


def test_on_paper_nothing_folds_and_every_finding_is_still_told(demo_plan: nb.Plan) -> None:
    html = page(demo_plan, paper=True)
    result = parsed(html)
    assert all("open" in attributes for tag, attributes in result.elements if tag == "details")
    for finding in demo_plan.finding_list:
        if finding.severity.name == "passed":
            assert finding.title in result.text
        else:
            assert finding.sentence in result.text
            assert finding.advice in result.text
    for run in demo_plan.run_plans:
        for check in run.choice.checks if run.choice is not None else []:
            assert check.passed or check.title in result.text
    ids = {attributes["id"] for _, attributes in result.elements if attributes.get("id")}
    links = [str(a["href"]) for tag, a in result.elements if tag == "a"]
    assert all(link[1:] in ids for link in links)


def text_of(sheet: Any) -> str:
    return str(sheet.get_textpage().get_text_range()).lstrip()


def pages_of(pdf: Any) -> list[list[tuple[str, tuple[float, float, float, float]]]]:
    """Characters of each page with their boxes: left, bottom, right, top, in points."""
    found = []
    for sheet in pdf:
        text = sheet.get_textpage()
        found.append(
            [(text.get_text_range(i, 1), text.get_charbox(i)) for i in range(text.count_chars())]
        )
    return found


def test_the_pdf_is_a4_numbered_and_cuts_nothing_off(demo_plan: nb.Plan, tmp_path: Path) -> None:
    pytest.importorskip("weasyprint")
    reader = pytest.importorskip("pypdfium2")
    pdf = reader.PdfDocument(demo_plan.report(tmp_path / "r.pdf").read_bytes())
    assert len(pdf) <= 45
    headings = {title for _, title in CONTENTS} | {"Reasons, run by run", "Cut list"}
    headings |= {"One-line diagram", "Wiring schedule", "The system file"}
    everything = ""
    for number, (sheet, chars) in enumerate(zip(pdf, pages_of(pdf), strict=True), start=1):
        width, height = sheet.get_size()
        # ISO 216: A4 lying; the diagram may take A3.
        paper = (1190.6, 841.9) if text_of(sheet).startswith("One-line diagram") else (841.9, 595.3)
        if width < 842.0:
            paper = (841.9, 595.3)
        assert (width, height) == pytest.approx(paper, abs=0.5)
        drawn = [(sign, box) for sign, box in chars if sign.strip()]
        for sign, (left, bottom, right, top) in drawn:
            assert 0 <= left <= right <= width + 0.5, (number, sign)
            assert -0.5 <= bottom <= top <= height, (number, sign)
            assert top - bottom < 40.0, (number, sign)
        text = sheet.get_textpage().get_text_range()
        everything += text
        assert f"{number} of {len(pdf)}" in text
        body = [
            line.strip()
            for line in text.splitlines()
            if line.strip() and line.strip() not in (f"{number} of {len(pdf)}",)
            and line.strip() != demo_plan.system.title
        ]  # fmt: skip
        assert body[-1] not in headings, f"page {number} ends with a heading"
    for run in demo_plan.system.runs.names():  # searchable, in the diagram too
        assert run in everything.replace("\r\n", " ")


def test_pictures_keep_their_colours_on_paper(shed_plan: nb.Plan) -> None:
    from nightbus.report.page import _in_print_colours

    html = _in_print_colours(page(shed_plan, paper=True))
    drawings = re.findall(r"<svg.*?</svg>", html, re.DOTALL)
    assert drawings
    assert not any("var(" in drawing for drawing in drawings)


def test_the_system_file_in_the_report_reads_back(demo_plan: nb.Plan, html: str) -> None:
    section = html[html.index('<section id="system"') :]
    code = Page()
    code.feed(section[section.index("<code>") + 6 : section.index("</code>")])
    import html as markup

    raw = markup.unescape(section[section.index("<code>") + 6 : section.index("</code>")])
    assert nb.loads(raw) == demo_plan.system


def test_it_is_written_as_html_and_as_pdf(shed_plan: nb.Plan, tmp_path: Path) -> None:
    assert shed_plan.report(tmp_path / "r.html").read_text(encoding="utf-8") != ""
    pytest.importorskip("weasyprint")
    pdf = shed_plan.report(tmp_path / "r.pdf").read_bytes()
    assert pdf.startswith(b"%PDF")
    assert len(pdf) > 20_000


def test_escaping_is_the_default_of_every_element() -> None:
    assert (
        el("td", "5 < 6", class_="a", data_x='"') == '<td class="a" data-x="&quot;">5 &lt; 6</td>'
    )
    assert el("p", Html("<b>x</b>"), None, ["a", "b"]) == "<p><b>x</b>ab</p>"
    assert el("input", disabled=True, hidden=False) == "<input disabled>"
    with pytest.raises(TypeError):
        el("p", 3)
    assert '<th scope="row">a</th>' in table([("x", "")], [["a"]], label="T")


@pytest.mark.parametrize("path", SYSTEMS, ids=lambda path: path.stem)
def test_the_diagram_holds_every_point_and_run_as_text(path: Path) -> None:
    system = nb.read(path)
    svg = one_line(system)
    root = ET.fromstring(svg)
    titles = " ".join(
        element.text or "" for element in root.iter() if element.tag.endswith("title")
    )
    for name in [*system.points(), *system.runs.names()]:
        assert name in titles


@pytest.mark.parametrize("path", SYSTEMS, ids=lambda path: path.stem)
def test_no_two_points_of_the_diagram_share_a_place(path: Path) -> None:
    layout = lay_out(nb.read(path))
    places = [(node.column, node.row) for node in layout.nodes.values() if node.kind != "bus"]
    assert len(places) == len(set(places))
    # Rows are at least one apart, so that texts do not meet.
    by_column: dict[int, list[float]] = {}
    for column, row in places:
        by_column.setdefault(column, []).append(row)
    for rows in by_column.values():
        rows.sort()
        assert all(b - a > 0.99 for a, b in itertools.pairwise(rows))


def big_system(loads: int) -> nb.System:
    system = small_system()
    for index in range(loads):
        system.add(
            nb.Load(name=f"sensor {index}", typical="2 W"),
            feed={"from_": "bus", "length": "4 m"},
        )
    return system


def test_sixty_loads_still_have_a_row_each() -> None:
    layout = lay_out(big_system(60))
    leaves = [node for node in layout.nodes.values() if node.kind in ("load", "fan", "poe_link")]
    assert len({node.row for node in leaves}) == len(leaves) >= 63


@pytest.mark.parametrize(("loads", "sheet"), [(0, "a4"), (60, "a3-tall")])
def test_the_diagram_prints_on_one_sheet_that_can_be_read(
    loads: int, sheet: str, tmp_path: Path
) -> None:
    pytest.importorskip("weasyprint")
    reader = pytest.importorskip("pypdfium2")
    plan = nb.plan(big_system(loads), energy=False, margins=False, size_ups=False)
    pdf = reader.PdfDocument(plan.report(tmp_path / "r.pdf").read_bytes())
    chosen, wide_mm, tall_mm = sheet_for(one_line(plan.system, diagram_notes(plan)))
    assert chosen == sheet
    texts = [page.get_textpage().get_text_range() for page in pdf]
    mine = [i for i, text in enumerate(texts) if text.lstrip().startswith("One-line diagram")]
    assert len(mine) == 1
    page, text = pdf[mine[0]], texts[mine[0]].replace("\r\n", " ")
    for name in plan.system.points():  # all of it on this sheet, and searchable
        assert name in text, name
    width_mm, height_mm = (25.4 / 72 * length for length in page.get_size())
    paper = {"a4": (297, 210), "a3-tall": (297, 420)}[sheet]  # ISO 216
    assert (width_mm, height_mm) == pytest.approx(paper, abs=0.5)
    assert wide_mm < width_mm
    assert tall_mm < height_mm
    # No letter is smaller than five and a half points: 1.9 mm.
    chars = page.get_textpage()
    tall = [chars.get_charbox(i)[3] - chars.get_charbox(i)[1] for i in range(chars.count_chars())]
    sizes = sorted(one for one in tall if one > 0.0)
    assert sizes[len(sizes) // 2] * 25.4 / 72 > 1.0


def test_loops_islands_and_strangers_are_drawn_too() -> None:
    system = small_system()
    system.add(
        nb.Bus(name="other"),
        nb.Run(name="first", from_="bus", to="other", length="2 m"),
        nb.Run(name="second", from_="bank", to="other", length="2 m"),
        nb.Bus(name="island"),
        nb.Bank(name="spare bank", chemistry="LFP", voltage="12 V", capacity="50 Ah"),
        nb.Run(name="joined", from_="spare bank", to="bus", length="2 m"),
        nb.Run(name="nowhere", from_="bus", to="nobody", length="2 m"),
    )
    layout = lay_out(system)
    assert [tie.name for tie in layout.ties] == ["first"] or [t.name for t in layout.ties] == [
        "second"
    ]
    assert "island" in one_line(system)
    assert one_line(nb.System()) != ""


def test_ticks_are_round_and_inside() -> None:
    assert ticks(9.2, 14.8) == [10.0, 11.0, 12.0, 13.0, 14.0]
    assert ticks(0, 0.3) == [0.0, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3]
    assert ticks(5, 5) == [5]
