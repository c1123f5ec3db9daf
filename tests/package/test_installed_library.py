"""A stranger's CMake project builds and runs with nothing but what was installed."""

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from .conftest import ROOT, run

STRANGER = Path(__file__).parent / "stranger"


def configure(installed: Path, folder: Path, *options: str) -> subprocess.CompletedProcess[str]:
    """Copy the stranger's project away from our tree and configure it there."""
    project = shutil.copytree(STRANGER, folder / "stranger")
    command = ["cmake", "-G", "Ninja", "-S", project, "-B", folder / "build", *options]
    command += [f"-DCMAKE_PREFIX_PATH={installed}", "-DCMAKE_EXPORT_COMPILE_COMMANDS=ON"]
    return subprocess.run(
        [str(word) for word in command], text=True, capture_output=True, check=False
    )


@pytest.fixture(scope="module")
def built(installed: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("stranger")
    configured = configure(installed, folder)
    assert configured.returncode == 0, configured.stderr
    run("cmake", "--build", folder / "build")
    return folder / "build"


def test_the_stranger_builds_and_gets_right_answers(built: Path) -> None:
    # 12 ft + 2 m = 3.6576 m + 2 m; 4/0 AWG is 107.2 mm² by ASTM B258.
    assert run(built / "stranger", "12 ft", "2 m") == "5.6576 m\n107 mm2\n"


def test_the_stranger_can_show_what_was_wrong(built: Path) -> None:
    done = subprocess.run(
        [built / "stranger", "12 fet"], text=True, capture_output=True, check=False
    )
    assert done.returncode == 1
    assert '"fet"' in done.stderr


def test_the_stranger_sees_nothing_of_our_tree(built: Path) -> None:
    commands = json.loads((built / "compile_commands.json").read_text())
    assert commands
    assert not [entry for entry in commands if str(ROOT) in entry["command"]]


def test_every_public_header_is_installed_and_stands_alone(built: Path, installed: Path) -> None:
    ours = {path.name for path in (ROOT / "cpp/include/nightbus").glob("*.hpp")}
    theirs = {path.name for path in (installed / "include/nightbus").glob("*.hpp")}
    assert theirs == ours
    # The target "alone", built with the rest, compiled each one by itself.
    assert len(list((built / "alone").glob("*.cpp"))) == len(ours)


def test_no_installed_file_names_our_tree(installed: Path) -> None:
    for path in installed.rglob("*"):
        if path.is_file():
            assert str(ROOT).encode() not in path.read_bytes(), path


@pytest.mark.parametrize("version", ["0.2", "99", "0.0.9"])
def test_another_version_is_refused(installed: Path, tmp_path: Path, version: str) -> None:
    configured = configure(installed, tmp_path, f"-DWANTED_VERSION={version}")
    assert configured.returncode != 0
    assert "version" in configured.stderr


def test_the_project_can_be_embedded(tmp_path: Path) -> None:
    """As a subfolder of another project we build no tests and force no warnings on anybody."""
    (tmp_path / "CMakeLists.txt").write_text(
        "cmake_minimum_required(VERSION 3.25)\nproject(outer LANGUAGES CXX)\n"
        f'add_subdirectory("{ROOT}" nightbus)\n'
        "add_executable(outer main.cpp)\ntarget_link_libraries(outer nightbus::nightbus)\n"
    )
    (tmp_path / "main.cpp").write_text('#include "nightbus/quantity.hpp"\nint main() {}\n')
    build = tmp_path / "build"
    run("cmake", "-G", "Ninja", "-S", tmp_path, "-B", build, "-DCMAKE_EXPORT_COMPILE_COMMANDS=ON")
    commands = json.loads((build / "compile_commands.json").read_text())
    assert not [entry for entry in commands if "/tests/" in entry["file"]]
    assert not [entry for entry in commands if "-Werror" in entry["command"]]
    (outer,) = [entry for entry in commands if entry["file"].endswith("main.cpp")]
    assert "sanitize" not in outer["command"]
