"""How Sphinx builds the documents; `make docs` calls it.

Pages under reference/ are short texts with marks such as ``<!-- made: findings -->``; what the
program itself knows is written there while the page is read, so nothing made is ever kept. The C++
headers go through doxygen and breathe. Formulas become MathML, which browsers draw by themselves:
no built page asks the network for anything.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from docutils.nodes import SkipNode
from docutils.utils.math import MathError
from docutils.utils.math.latex2mathml import tex2mathml
from sphinx.util import logging

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
sys.path.insert(0, str(HERE))

import made  # noqa: E402

import nightbus  # noqa: E402

if TYPE_CHECKING:
    from docutils.nodes import math, math_block
    from sphinx.application import Sphinx
    from sphinx.writers.html5 import HTML5Translator

logger = logging.getLogger(__name__)

project = "nightbus"
author = "The nightbus authors"
project_copyright = "the nightbus authors"
version = release = nightbus.__version__

extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon", "breathe"]
exclude_patterns = ["_build"]
primary_domain = "py"
toc_object_entries = False
myst_enable_extensions = ["colon_fence", "dollarmath"]
myst_heading_anchors = 3

autodoc_member_order = "bysource"
autodoc_typehints = "none"
autoclass_content = "class"
napoleon_numpy_docstring = True
napoleon_use_param = False
napoleon_use_rtype = False
napoleon_preprocess_types = False

breathe_default_project = "nightbus"
breathe_default_members = ("members",)
breathe_show_include = False
breathe_show_enumvalue_initializer = False

html_theme = "furo"
html_title = "nightbus"
html_static_path = ["style.css"]
html_css_files = ["style.css"]
html_math_renderer = "mathml"
html_show_sphinx = False
html_copy_source = False
html_show_search_summary = False  # it would fetch pages, which a browser refuses to local files
html_last_updated_fmt = None
html_theme_options = {
    "light_css_variables": {
        "color-brand-primary": "#1f5a60",
        "color-brand-content": "#1f5a60",
        "color-brand-visited": "#3d4f77",
        "color-api-name": "#1f5a60",
        "color-api-pre-name": "#53626b",
        "color-background-primary": "#fbfaf6",
        "color-background-secondary": "#f1f3ef",
        "color-foreground-primary": "#1b252c",
    },
    "dark_css_variables": {
        "color-brand-primary": "#8fd0cf",
        "color-brand-content": "#8fd0cf",
        "color-brand-visited": "#b3bfe6",
        "color-api-name": "#8fd0cf",
        "color-api-pre-name": "#a5b4bc",
        "color-background-primary": "#11171b",
        "color-background-secondary": "#171f25",
        "color-foreground-primary": "#e7ecee",
    },
}


def read_headers(app: Sphinx) -> None:
    """Let doxygen read the public headers, beside the other things that Sphinx keeps."""
    target = Path(app.doctreedir).parent / "headers"
    target.mkdir(parents=True, exist_ok=True)
    settings = f"""
        INPUT = {ROOT / "cpp" / "include"}
        OUTPUT_DIRECTORY = {target}
        STRIP_FROM_PATH = {ROOT / "cpp" / "include"}
        RECURSIVE = YES
        GENERATE_HTML = NO
        GENERATE_LATEX = NO
        GENERATE_XML = YES
        XML_PROGRAMLISTING = NO
        EXTRACT_ALL = YES
        QUIET = YES
        WARNINGS = NO
        MACRO_EXPANSION = YES
    """
    try:
        subprocess.run(["doxygen", "-"], input=settings, text=True, check=True)
    except FileNotFoundError:
        sys.exit("doxygen is missing: apt-get install doxygen")
    made.headers_read = target / "xml"
    app.config.breathe_projects = {"nightbus": str(target / "xml")}


def write_made(app: Sphinx, name: str, source: list[str]) -> None:
    """Put what the program knows in the place of the marks of a page."""
    source[0] = made.written(source[0])


def drawn(node: math | math_block, as_block: bool) -> str:
    """Return the formula as MathML; one that cannot be read is a warning."""
    try:
        return str(tex2mathml(node.astext(), as_block=as_block))
    except MathError as error:
        logger.warning("formula %s: %s", node.astext(), error, location=node)
        return ""


def inline_formula(writer: HTML5Translator, node: math) -> None:
    """Write a formula within a line."""
    writer.body.append(drawn(node, as_block=False))
    raise SkipNode


def block_formula(writer: HTML5Translator, node: math_block) -> None:
    """Write a formula on lines of its own, which a narrow screen may scroll."""
    writer.body.append(f'<div class="formula" tabindex="0">{drawn(node, as_block=True)}</div>')
    raise SkipNode


#: What a screen reader and a keyboard miss in the theme's pages, and what they get instead.
MENDED = {
    '<p class="caption" role="heading">': '<p class="caption" role="heading" aria-level="2">',
    '<aside class="sidebar-drawer">': '<aside class="sidebar-drawer" aria-label="Pages">',
    '<aside class="toc-drawer">': '<aside class="toc-drawer" aria-label="On this page">',
    "<pre>": '<pre tabindex="0">',
}


def mend(app: Sphinx, error: Exception | None) -> None:
    """Mend the pages that were written."""
    for page in Path(app.outdir).rglob("*.html") if error is None else ():
        text = page.read_text(encoding="utf-8")
        for seen, wanted in MENDED.items():
            text = text.replace(seen, wanted)
        page.write_text(text, encoding="utf-8")


def setup(app: Sphinx) -> None:
    """Join the pieces."""
    app.connect("builder-inited", read_headers)
    app.connect("source-read", write_made)
    app.connect("build-finished", mend)
    app.add_html_math_renderer("mathml", (inline_formula, None), (block_formula, None))
