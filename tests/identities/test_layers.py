"""An area includes only areas below it, and a public header only the standard library and us.

The order of the areas is read from the build, which links each test program by the same list.
"""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
INCLUDE = re.compile(r'^\s*#\s*include\s*([<"])([^>"]+)[>"]', re.MULTILINE)
# Public headers that are named after their subject and belong to another area.
ALSO = {"fields": "system"}
# Headers with a folder that are not ours: the libraries we build with and the compiler's own.
FOREIGN = ("toml++/", "nlohmann/", "fmt/", "Eigen/", "sys/")


def area_order(cmake_text: str) -> list[str]:
    """The areas as the build lists them, lowest first."""
    match = re.search(r"set\(NIGHTBUS_AREAS\s+([^)]*)\)", cmake_text)
    assert match, "the build no longer lists its areas"
    return match[1].split()


ORDER = area_order((ROOT / "cpp/cmake/NightbusAreas.cmake").read_text(encoding="utf-8"))


def area_of(name: str) -> str | None:
    """Area of an include path or of a path below cpp/src or cpp/include/nightbus.

    ``nightbus/energy_sky.hpp`` and ``energy/sky.hpp`` both belong to ``energy``.
    """
    name = name.removeprefix("nightbus/")
    folder, _, rest = name.partition("/")
    stem = folder if rest else Path(folder).stem
    stem = stem if rest else ALSO.get(stem, stem)
    fitting = [area for area in ORDER if stem == area or stem.startswith(area + "_")]
    return max(fitting, key=len, default=None)


def violations(path: str, text: str, *, public: bool) -> list[str]:
    """What the includes of one file do against the order; `path` is below its include folder."""
    own = area_of(path)
    if own is None:
        return [f"{path} belongs to no area"]
    found = []
    for bracket, name in INCLUDE.findall(text):
        if bracket == "<":
            if name.startswith("nightbus/"):
                found.append(f'{path}: write "{name}" with quotes')
            elif public and ("/" in name or name.endswith((".h", ".hpp"))):
                found.append(f"{path}: a public header shows <{name}> to every user")
            continue
        if name.startswith(FOREIGN):
            found.append(f"{path}: write <{name}> with angle brackets")
            continue
        other = area_of(name)
        if "/" not in name:
            found.append(f'{path}: "{name}" does not say its area')
        elif other is None:
            found.append(f'{path}: "{name}" belongs to no area')
        elif ORDER.index(other) > ORDER.index(own):
            found.append(f'{path}: {own} lies below {other}, yet includes "{name}"')
        elif public and not name.startswith("nightbus/"):
            found.append(f'{path}: a public header includes the private "{name}"')
        elif not name.startswith("nightbus/") and other != own:
            found.append(f'{path}: "{name}" is private to {other}')
    return found


def files_below(folder: str, *endings: str) -> list[str]:
    base = ROOT / folder
    return sorted(str(p.relative_to(base)) for p in base.rglob("*") if p.suffix in endings)


@pytest.mark.parametrize("path", files_below("cpp/include/nightbus", ".hpp"))
def test_a_public_header_includes_only_areas_below_it(path: str) -> None:
    text = (ROOT / "cpp/include/nightbus" / path).read_text(encoding="utf-8")
    assert violations(path, text, public=True) == []


@pytest.mark.parametrize("path", files_below("cpp/src", ".cpp", ".hpp"))
def test_a_source_file_includes_only_areas_below_it(path: str) -> None:
    text = (ROOT / "cpp/src" / path).read_text(encoding="utf-8")
    assert violations(path, text, public=False) == []


def test_the_order_is_the_agreed_one() -> None:
    # Heat before energy: a simulation of the bank carries the temperatures along.
    agreed = (
        "quantity source finding catalogue system reader network wiring protection thermal "
        "energy scenario"
    )
    assert agreed.split() == ORDER


def test_sources_lie_only_in_area_folders() -> None:
    folders = {path.split("/")[0] for path in files_below("cpp/src", ".cpp", ".hpp")}
    assert folders <= set(ORDER)


# The checker itself: each kind of violation, made up.
@pytest.mark.parametrize(
    ("path", "text", "public", "expected"),
    [
        ("network/a.cpp", '#include "nightbus/scenario.hpp"', False, "lies below scenario"),
        ("network/a.cpp", '  #  include "nightbus/wiring.hpp"', False, "lies below wiring"),
        ("wiring/a.cpp", '#include "protection/fuse.hpp"', False, "lies below protection"),
        ("protection/a.cpp", '#include "wiring/table.hpp"', False, "is private to wiring"),
        ("network/a.cpp", '#include "newton.hpp"', False, "does not say its area"),
        ("network/a.cpp", '#include "helpers/text.hpp"', False, "belongs to no area"),
        ("network/a.cpp", "#include <nightbus/network.hpp>", False, "with quotes"),
        ("network/a.cpp", '#include "toml++/toml.h"', False, "angle brackets"),
        ("helpers/a.cpp", "", False, "belongs to no area"),
        ("thermal.hpp", '#include "nightbus/energy_sky.hpp"', True, "lies below energy"),
        ("energy.hpp", "#include <Eigen/Dense>", True, "shows <Eigen/Dense>"),
        ("energy.hpp", "#include <math.h>", True, "shows <math.h>"),
        ("energy.hpp", '#include "energy/sky.hpp"', True, "includes the private"),
    ],
)
def test_a_made_up_violation_is_found(path: str, text: str, public: bool, expected: str) -> None:
    (found,) = violations(path, text, public=public)
    assert expected in found


@pytest.mark.parametrize(
    ("path", "text", "public"),
    [
        ("network/a.cpp", '#include "network/newton.hpp"\n#include <Eigen/Dense>', False),
        ("network/a.cpp", '#include "nightbus/network.hpp"\n#include <vector>', False),
        ("protection/a.cpp", '#include "nightbus/wiring.hpp"', False),
        ("energy.hpp", '#include <vector>\n#include "nightbus/energy_sky.hpp"', True),
    ],
)
def test_what_is_allowed_is_not_complained_about(path: str, text: str, public: bool) -> None:
    assert violations(path, text, public=public) == []
