"""A stranger's CMake project builds and runs with nothing but what was installed."""

import json
import math
import re
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


def plan_of(built: Path, system: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([built / "stranger", system], text=True, capture_output=True, check=False)


def awg_area_mm2(number: int) -> float:
    """Area by the formula of ASTM B258: gauge 36 is 0.127 mm across, 4/0 is 11.684 mm."""
    diameter_mm: float = 0.127 * 92 ** ((36 - number) / 39)
    return math.pi / 4 * diameter_mm**2


def test_the_stranger_makes_a_plan(built: Path) -> None:
    done = plan_of(built, STRANGER / "shelter.toml")
    assert done.returncode in (0, 1), done.stderr
    *runs, verdict = done.stdout.splitlines()
    assert verdict == f"verdict: {'danger' if done.returncode else 'care'}" or (
        done.returncode == 0 and verdict == "verdict: good"
    )
    assert len(runs) == 3
    (camera,) = [line for line in runs if "camera" in line]
    size = re.search(r"(\d+) AWG", camera)
    assert size, camera
    # 24 W at 12 V over 14 m and back in copper of 17.24 nΩ·m may lose 3 % of 12 V (the default for
    # a critical load), so the conductor cannot be thinner than this.
    least_mm2 = 17.24e-3 * 28.0 * (24.0 / 12.0) / (0.03 * 12.0)
    # The lead before it and warm copper take their share; two sizes thicker would be waste.
    assert least_mm2 <= awg_area_mm2(int(size[1])) < 3 * least_mm2


def test_the_stranger_is_told_what_is_wrong(built: Path, tmp_path: Path) -> None:
    text = (STRANGER / "shelter.toml").read_text()
    broken = tmp_path / "broken.toml"
    broken.write_text(text.replace('"14 m"', '"14 miles per hour"').replace("typical", "typcal", 1))
    done = plan_of(built, broken)
    assert done.returncode == 2
    for line, word in (
        (text[: text.index("typical")].count("\n") + 1, "typcal"),
        (text[: text.index("14 m")].count("\n") + 1, "14 miles"),
    ):
        assert word in done.stderr
        assert f"broken.toml:{line}:" in done.stderr


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
    (tmp_path / "main.cpp").write_text('#include "nightbus/scenario.hpp"\nint main() {}\n')
    build = tmp_path / "build"
    run("cmake", "-G", "Ninja", "-S", tmp_path, "-B", build, "-DCMAKE_EXPORT_COMPILE_COMMANDS=ON")
    commands = json.loads((build / "compile_commands.json").read_text())
    assert not [entry for entry in commands if "/tests/" in entry["file"]]
    assert not [entry for entry in commands if "-Werror" in entry["command"]]
    (outer,) = [entry for entry in commands if entry["file"].endswith("main.cpp")]
    assert "sanitize" not in outer["command"]
