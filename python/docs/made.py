"""The parts of the documents that the program writes itself, as Markdown.

A page asks for one with ``<!-- made: findings -->``, or with a word more, as in
``<!-- made: headers network -->``.
"""

from __future__ import annotations

import inspect
import io
import json
import re
from collections import Counter
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree

from typer.testing import CliRunner

import nightbus as nb
from nightbus import _core, charts
from nightbus.cli.app import app
from nightbus.report.diagram import one_line
from nightbus.report.opening import diagram_notes

if TYPE_CHECKING:
    from collections.abc import Iterable

ROOT = Path(__file__).parents[2]
#: Where doxygen put what it read; set by conf.py before any page is read.
headers_read = Path()
MARK = re.compile(r"^<!-- made: (\w+) ?(.*?) -->$", re.MULTILINE)


def cell(text: object) -> str:
    """Text for a cell of a Markdown table."""
    flat = re.sub(r"\s+", " ", str(text)).strip()
    return re.sub(r"([|<$*_\[\]])", r"\\\1", flat)


def table(heads: list[str], lines: Iterable[Iterable[object]]) -> str:
    """Write a Markdown table."""
    out = ["| " + " | ".join(heads) + " |", "|" + "---|" * len(heads)]
    out += ["| " + " | ".join(cell(one) for one in line) + " |" for line in lines]
    return "\n".join(out) + "\n"


def fields() -> str:
    """Every field of a system file, from the table that reads it; without its title."""
    return nb.field_reference().split("\n", 1)[1]


def findings() -> str:
    """Every kind of finding, from the table that the program makes them with."""
    text = ""
    for severity in ("danger", "warning", "notice"):
        kinds = [kind for kind in _core.finding_kinds() if kind.severity.name == severity]
        text += f"\n## {severity.capitalize()}: {len(kinds)} kinds\n"
        for kind in kinds:
            text += f"\n({kind.code})=\n### {kind.title}\n\n`{kind.code}` {cell(kind.help)}\n"
            text += f"\n*What to do:* {cell(kind.mend)}\n" if kind.mend else ""
    return text


def rules() -> str:
    """Every rule set: what it is for, and what it does not cover."""
    return table(
        ["rule set", "also called", "for", "what it does not cover"],
        (
            (one.name, ", ".join(one.aliases), one.purpose, one.limits)
            for one in nb.catalogue().rule_sets
        ),
    )


def tables() -> str:
    """Every built-in table: what for, from where, how sure, and its rows."""
    every = list(nb.catalogue().tables)
    text = table(
        ["table", "source", "how sure"],
        ((t.pedigree.id, t.pedigree.cite(), t.pedigree.confidence) for t in every),
    )
    for one in every:
        pedigree = one.pedigree
        text += f"\n## {pedigree.id}\n\n{cell(pedigree.purpose)}. {cell(pedigree.cite())}. "
        text += f"{cell(pedigree.source)} ({cell(pedigree.confidence)}).\n\n"
        text += f"{cell(pedigree.limits)}\n\n" if pedigree.limits else ""
        heads = [
            f"{name} in {unit}" if unit else str(name)
            for name, unit in zip(pedigree.columns, pedigree.units, strict=False)
        ]
        text += table([cell(head) for head in heads], one.rows) if heads else ""
    return text


def verbs() -> list[str]:
    """Names of the verbs, in the order of the program's own help."""
    return [str(one.name or one.callback.__name__) for one in app.registered_commands]  # type: ignore[union-attr]


def commands() -> str:
    """Help of every verb, as the program prints it."""
    runner = CliRunner(env={"COLUMNS": "80", "NO_COLOR": "1"})
    text = ""
    for verb in ["", *verbs()]:
        words = [verb, "--help"] if verb else ["--help"]
        shown = runner.invoke(app, words, prog_name="nightbus").stdout
        text += f"\n## {'nightbus ' + verb if verb else 'All verbs'}\n\n"
        text += f"```text\n{shown.strip()}\n```\n"
    return text


def statuses() -> str:
    """Exit statuses, as every help text ends with them."""
    from nightbus.cli.outcome import STATUS_HELP

    said = STATUS_HELP.removeprefix("Exit status: ").rstrip(".").split("; ")
    return table(["status", "means"], (one.split(" ", 1) for one in said))


def shape_of(schema: dict[str, Any]) -> str:
    """The type of a value of the plan's JSON, in words."""
    if "$ref" in schema:
        return schema["$ref"].rsplit("/", 1)[1]
    if "const" in schema:
        return json.dumps(schema["const"])
    if "enum" in schema:
        return ", ".join(json.dumps(one) for one in schema["enum"])
    if "anyOf" in schema or "oneOf" in schema:
        return " or ".join(shape_of(one) for one in schema.get("anyOf", schema.get("oneOf")))
    kind = schema.get("type", "anything")
    if isinstance(kind, list):
        return " or ".join(kind)
    if kind == "array":
        return f"list of {shape_of(schema.get('items', {}))}"
    return str(kind)


def keys_of(schema: dict[str, Any], before: str = "") -> list[tuple[str, str, str]]:
    """Key, type and meaning, with the keys of plain objects inside."""
    found = []
    for key, value in schema.get("properties", {}).items():
        found.append((f"{before}{key}", shape_of(value), value.get("description", "")))
        if "properties" in value:
            found += keys_of(value, f"{before}{key}.")
        elif "properties" in value.get("items", {}):
            found += keys_of(value["items"], f"{before}{key}[].")
    return found


def shape() -> str:
    """Every key of the plan's JSON, from the schema that the tests hold plans against."""
    schema = nb.plan_schema()
    text = "\n## The plan\n\n" + table(["key", "type", "what"], keys_of(schema))
    for name, part in schema["$defs"].items():
        text += f"\n## {name}\n\n" + table(["key", "type", "what"], keys_of(part))
    return text


def json_notes() -> str:
    """What stands beside the code that writes the plan's JSON; without its title."""
    path = ROOT / "cpp" / "src" / "scenario" / "json_format.md"
    return path.read_text(encoding="utf-8").split("\n", 1)[1]


def not_modelled() -> str:
    """What no plan looks at, as every plan says it."""
    least = [
        nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="50 Ah"),
        nb.Load(name="router", typical="9 W", window="9 V to 36 V"),
        nb.Run(name="feed", from_="bank", to="router", length="1 m"),
    ]
    plan = nb.plan(nb.System("Least", records=least), energy=False)
    return "".join(f"- {cell(one)}\n" for one in plan.not_modelled)


@cache
def hut() -> nb.Plan:
    """The plan of a demo system, for pictures."""
    return nb.plan(ROOT / "notebooks" / "systems" / "rescue-hut-after.toml")


@cache
def post() -> nb.Plan:
    """The plan of the README's system, for a diagram that fits a page of text."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    text = readme.split("```toml\n", 1)[1].split("```", 1)[0]
    return nb.plan(nb.loads(text, "post.toml"))


def picture(name: str) -> str:
    """A picture drawn now: the one-line diagram of a small system, or a chart of the rescue hut."""
    if name == "one_line":
        svg = one_line(post().system, diagram_notes(post()))
        said = "One-line diagram of the post in the README"
    else:
        drawn = io.StringIO()
        getattr(charts, name)(hut()).save(drawn, format="svg")
        svg, said = drawn.getvalue(), f"charts.{name} of the rescue hut in notebooks/systems"
    svg = re.sub(r"\n\s*", " ", svg)
    return (
        f"```{{raw}} html\n<figure class='picture' tabindex='0'>{svg}"
        f"<figcaption>{said}</figcaption></figure>\n```\n"
    )


def directive(kind: str, name: str, *options: str) -> str:
    """Write a directive that MyST hands on as it is."""
    lines = [f".. {kind}:: {name}", *(f"   {option}" for option in options)]
    return "```{eval-rst}\n" + "\n".join(lines) + "\n```\n"


def record_names() -> list[str]:
    """Types of the records of a system file."""
    return [entry["type"] for entry in _core.field_table()]


def names() -> str:
    """Every name of the package that is neither a record nor an error: first verbs, then nouns."""
    taken = record_names()
    rest = [name for name in nb.__all__ if name not in taken and not name.startswith("__")]
    text = "\n## Verbs\n"
    for name in rest:
        if not inspect.isclass(getattr(nb, name)):
            text += f"\n### nb.{name}\n\n" + directive("autofunction", f"nightbus.{name}")
    text += "\n## Nouns\n"
    for name in rest:
        thing = getattr(nb, name)
        if inspect.isclass(thing):
            text += f"\n### nb.{name}\n\n"
            options = [":members:", ":inherited-members: object"]
            if issubclass(thing, Exception):
                options = [":members:"]
            text += directive("autoclass", f"nightbus.{name}", *options)
    return text


def records() -> str:
    """Every record that a system is built of, with its fields."""
    text = ""
    for name in record_names():
        text += f"\n## nb.{name}\n\n" + directive("autoclass", f"nightbus.{name}(**fields)")
    return text


def module(name: str) -> str:
    """Everything public of one module."""
    return directive("automodule", name, ":members:")


def declarations(header: str) -> list[tuple[int, str]]:
    """What a header declares in the namespace: its line, and the directive that shows it."""
    found = []
    file = ElementTree.parse(headers_read / f"{xml_name(header)}.xml").getroot()
    for inner in file.iter("innerclass"):
        name = str(inner.text)
        own = ElementTree.parse(headers_read / f"{inner.get('refid')}.xml").getroot()
        place = own.find("compounddef/location")
        if name.count("::") == 1 and place is not None and place.get("file", "").endswith(header):
            kind = str(inner.get("refid")).split("night")[0]
            found.append((int(place.get("line", 0)), directive(f"doxygen{kind}", name)))
    space = ElementTree.parse(headers_read / "namespacenightbus.xml").getroot()
    members = list(space.iter("memberdef"))
    counts = Counter(member.findtext("name") for member in members)
    for member in members:
        place = member.find("location")
        name, kind = member.findtext("qualifiedname"), member.get("kind")
        if place is None or not place.get("file", "").endswith(f"/{header}"):
            continue
        if kind == "function" and counts[member.findtext("name")] > 1:
            name = f"{name}{member.findtext('argsstring')}"
        found.append((int(place.get("line", 0)), directive(f"doxygen{kind}", str(name))))
    return sorted(found)


def xml_name(header: str) -> str:
    """Doxygen's name for the page of a header."""
    return header.replace("_", "__").replace(".", "_8")


def headers(patterns: str) -> str:
    """The public headers of one area, by doxygen and breathe, in the order of the headers."""
    folder = ROOT / "cpp" / "include" / "nightbus"
    text = ""
    for pattern in patterns.split():
        for path in sorted(folder.glob(f"{pattern}.hpp")):
            text += f"\n## nightbus/{path.name}\n\n"
            text += "\n".join(shown for _, shown in declarations(path.name))
    return text


PARTS = {
    "fields": fields,
    "findings": findings,
    "rules": rules,
    "tables": tables,
    "commands": commands,
    "statuses": statuses,
    "shape": shape,
    "json": json_notes,
    "not_modelled": not_modelled,
    "names": names,
    "picture": picture,
    "records": records,
    "module": module,
    "headers": headers,
}


def written(page: str) -> str:
    """Return the page with what its marks ask for."""
    return MARK.sub(lambda mark: PARTS[mark[1]](*([mark[2]] if mark[2] else [])), page)
