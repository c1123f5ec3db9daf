"""The wheel holds what a user needs, no more, and its extension leans on the system alone."""

import re
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

from .conftest import ROOT, run

# What every Linux with a C++ runtime has; the dynamic loader itself may be named too.
ALLOWED = re.compile(r"lib(stdc\+\+|c|m|gcc_s|pthread|dl|rt)\.so(\.\d+)?|ld-linux.*\.so\.\d+")


@pytest.fixture(scope="module")
def names(wheel: Path) -> list[str]:
    return zipfile.ZipFile(wheel).namelist()


@pytest.fixture(scope="module")
def stranger(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new virtual environment with the wheel in it; our dependencies are lent by this one."""
    folder = tmp_path_factory.mktemp("venv")
    run(sys.executable, "-m", "venv", "--without-pip", folder)
    python = folder / "bin" / "python"
    run(sys.executable, "-m", "pip", "--python", python, "install", "-q", "--no-deps", wheel)
    site = run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))").strip()
    # Added behind its own site-packages, and without its .pth files: the wheel comes first.
    Path(site, "lent.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return folder


def test_the_wheel_is_for_this_python_and_names_the_version(wheel: Path) -> None:
    version = re.search(
        r"VERSION ([\d.]+)", (ROOT / "CMakeLists.txt").read_text().split("\n", 1)[1]
    )
    assert version
    python = f"cp{sys.version_info.major}{sys.version_info.minor}"
    assert wheel.name.startswith(f"nightbus-{version[1]}-{python}-")


def test_the_wheel_holds_the_package_typed(names: list[str]) -> None:
    package = {
        str(p.relative_to(ROOT / "python")) for p in (ROOT / "python/nightbus").rglob("*.py")
    }
    assert package <= set(names)
    assert "nightbus/py.typed" in names
    assert "nightbus/_core.pyi" in names
    assert [name for name in names if re.fullmatch(r"nightbus/_core\..*so", name)]


def test_the_wheel_holds_nothing_else(names: list[str]) -> None:
    strange = [n for n in names if not re.match(r"nightbus/|nightbus-[\d.]+\.dist-info/", n)]
    assert strange == []
    code = [n for n in names if re.search(r"\.(cpp|hpp|h|a|cmake|toml)$|__pycache__|test", n)]
    assert code == []


def test_the_extension_needs_only_the_system(wheel: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        (name,) = [n for n in archive.namelist() if n.endswith(".so")]
        extension = archive.extract(name, tmp_path)
    dynamic = run("readelf", "--dynamic", "--wide", extension)
    needed = re.findall(r"\(NEEDED\).*\[(.+)\]", dynamic)
    assert "libstdc++.so.6" in needed
    assert [library for library in needed if not ALLOWED.fullmatch(library)] == []
    assert "RUNPATH" not in dynamic
    assert "RPATH" not in dynamic


def test_the_wheel_works_away_from_our_tree(stranger: Path, tmp_path: Path) -> None:
    where = run(
        stranger / "bin/python",
        "-c",
        "import nightbus, nightbus._core as c; print(nightbus.__file__); print(c.__file__)",
        cwd=tmp_path,
    ).split()
    assert all(path.startswith(str(stranger)) for path in where), where


def test_the_program_is_installed(stranger: Path, tmp_path: Path) -> None:
    done = subprocess.run(
        [stranger / "bin/nightbus", "--help"],
        cwd=tmp_path,
        text=True,
        capture_output=True,
        check=False,
        env={"PATH": "/usr/bin:/bin", "LC_ALL": "C"},
    )
    assert done.returncode == 0, done.stderr
    assert "plan" in done.stdout
