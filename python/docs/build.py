"""Builds the documentation: hand-written pages and the references that the program writes itself.

    python python/docs/build.py out/docs

Plain HTML that asks the network for nothing. A link that leads nowhere is an error.
"""

from __future__ import annotations

import inspect
import json
import re
import sys
from html import escape
from pathlib import Path

from markdown_it import MarkdownIt
from typer.testing import CliRunner

import nightbus as nb
from nightbus import _core
from nightbus.cli.app import app

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
ORDER = [
    "index",
    "tutorial",
    "questions",
    "fields",
    "findings",
    "tables",
    "commands",
    "python",
    "json",
    "theory",
]

STYLE = """
:root{color-scheme:light dark;--paper:#fbfaf6;--ink:#1b252c;--soft:#53626b;--hair:#d8dcd8;
--box:#f1f3ef;--accent:#1f5a60}
@media (prefers-color-scheme:dark){:root{--paper:#11171b;--ink:#e7ecee;--soft:#a5b4bc;
--hair:#2f3c44;--box:#1f2a31;--accent:#8fd0cf}}
body{margin:0;background:var(--paper);color:var(--ink);font:1rem/1.55 system-ui,sans-serif}
nav,main{max-width:60rem;margin:0 auto;padding:.8rem 1rem}
nav{display:flex;flex-wrap:wrap;gap:.2rem 1.1rem;border-bottom:1px solid var(--hair)}
a{color:var(--accent)}h1{font-size:1.7rem}h2{font-size:1.25rem;margin-top:2.2rem}
h3{font-size:1.05rem}a:focus-visible{outline:3px solid var(--accent)}
.wide{overflow-x:auto}table{border-collapse:collapse;font-size:.93rem}
th,td{text-align:left;vertical-align:top;padding:.3rem .7rem;border-bottom:1px solid var(--hair)}
th{color:var(--soft)}code{background:var(--box);padding:.05rem .25rem;border-radius:.2rem}
pre{background:var(--box);padding:.8rem;overflow-x:auto}pre code{padding:0}
blockquote{border-left:6px solid #9a6a10;margin:1rem 0;padding:.1rem 1rem}
"""


def cell(text: object) -> str:
    """Text for a cell of a Markdown table."""
    return re.sub(r"\s+", " ", str(text)).replace("|", "\\|").replace("<", "&lt;").strip()


def rows(heads: list[str], lines: list[list[object]]) -> str:
    """Write a Markdown table."""
    out = ["| " + " | ".join(heads) + " |", "|" + "---|" * len(heads)]
    out += ["| " + " | ".join(cell(one) for one in line) + " |" for line in lines]
    return "\n".join(out) + "\n"


def findings() -> str:
    """Every kind of finding, from the table that the program makes them with."""
    text = "# Findings\n\nWhat a plan can say, by code. `nightbus explain FILE CODE` tells more.\n"
    for severity in ("danger", "warning", "notice"):
        text += f"\n## {severity.capitalize()}\n"
        for kind in _core.finding_kinds():
            if kind.severity.name == severity:
                text += f"\n### {kind.title}\n\n`{kind.code}`: {cell(kind.help)}\n\n"
                text += f"What to do: {cell(kind.mend)}\n" if kind.mend else ""
    return text


def tables() -> str:
    """Every built-in table: what for, from where, how sure, and its rows."""
    every = list(nb.catalogue().tables)
    text = (
        "# Tables\n\nPublished figures that the program stands on. *How sure* says whether the "
        "document itself was seen. None of it is a permit.\n\n"
    )
    text += rows(
        ["table", "source", "how sure"],
        [[t.pedigree.id, t.pedigree.cite(), t.pedigree.confidence] for t in every],
    )
    for one in every:
        pedigree = one.pedigree
        text += f"\n## {pedigree.id}\n\n{cell(pedigree.purpose)}. {cell(pedigree.cite())}. "
        text += f"{cell(pedigree.source)} ({cell(pedigree.confidence)}).\n\n"
        text += f"{cell(pedigree.limits)}\n\n" if pedigree.limits else ""
        heads = [
            f"{name} [{unit}]" if unit else str(name)
            for name, unit in zip(pedigree.columns, pedigree.units, strict=False)
        ]
        text += rows(heads, [list(line) for line in one.rows]) if heads else ""
    return text


def commands() -> str:
    """Help of every verb, as the program prints it."""
    runner = CliRunner(env={"COLUMNS": "90", "NO_COLOR": "1"})
    text = "# Command line\n"
    verbs = sorted(command.name or command.callback.__name__ for command in app.registered_commands)  # type: ignore[union-attr]
    for verb in ["", *verbs]:
        words = [verb, "--help"] if verb else ["--help"]
        shown = runner.invoke(app, words, prog_name="nightbus").stdout
        text += f"\n## nightbus {verb}\n\n```\n{shown.rstrip()}\n```\n"
    return text


def python() -> str:
    """Every public name with its signature and its docstring."""
    text = "# Python\n\nEverything is reached from `import nightbus as nb`.\n"
    for name in sorted(nb.__all__):
        thing = getattr(nb, name)
        if name.startswith("__"):
            continue
        text += f"\n## nb.{name}\n\n"
        text += f"```\n{inspect.getdoc(thing)}\n```\n"
        if not inspect.isclass(thing) or thing.__module__.startswith("nightbus._core"):
            continue
        for member, value in inspect.getmembers(thing):
            doc = inspect.getdoc(value)
            if not member.startswith("_") and doc and callable(value):
                text += f"\n### nb.{name}.{member}\n\n```\n{member}{inspect.signature(value)}\n\n"
                text += f"{doc}\n```\n"
    return text


def pages() -> dict[str, str]:
    """Markdown of every page."""
    written = {path.stem: path.read_text(encoding="utf-8") for path in HERE.glob("*.md")}
    shape = ROOT / "cpp" / "src" / "scenario" / "json_format.md"
    made = {
        "fields": nb.field_reference(),
        "findings": findings(),
        "tables": tables(),
        "commands": commands(),
        "python": python(),
        "json": shape.read_text(encoding="utf-8"),
    }
    return {name: {**written, **made}[name] for name in ORDER}


def title_of(text: str) -> str:
    """First heading of a page."""
    return text.splitlines()[0].lstrip("# ").replace("`", "")


def build(target: Path) -> list[Path]:
    """Write every page, the schema and the tables as data.

    Raises
    ------
    ValueError
        When a link leads nowhere, naming page and link.
    """
    target.mkdir(parents=True, exist_ok=True)
    texts = pages()
    broken = [
        f"{name}.md: {link}"
        for name, text in texts.items()
        for link in re.findall(r"\]\(([^)#]+)\)", text)
        if link.removesuffix(".md") not in texts
    ]
    if broken:
        raise ValueError("links that lead nowhere: " + ", ".join(broken))
    markdown = MarkdownIt("commonmark").enable("table")
    written = []
    for name, text in texts.items():
        links = "".join(
            f'<a href="{other}.html"{" aria-current=page" if other == name else ""}>'
            f"{escape(title_of(texts[other]))}</a>"
            for other in ORDER
        )
        body = re.sub(r'href="([a-z]+)\.md"', r'href="\1.html"', markdown.render(text))
        body = body.replace("<table>", '<div class="wide" tabindex="0"><table>')
        body = body.replace("</table>", "</table></div>")
        path = target / f"{name}.html"
        path.write_text(
            '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
            '<meta name="viewport" content="width=device-width, initial-scale=1">'
            f"<title>{escape(title_of(text))}: nightbus</title><style>{STYLE}</style></head>"
            f'<body><nav aria-label="Pages">{links}</nav><main>{body}</main></body></html>\n',
            encoding="utf-8",
        )
        written.append(path)
    schema = target / "system.schema.json"
    schema.write_text(json.dumps(nb.system_schema(), indent=1) + "\n", encoding="utf-8")
    return [*written, schema]


if __name__ == "__main__":
    for made in build(Path(sys.argv[1])):
        print(f"   {made}")
