"""Builds that the package tests need; ``make test`` has made them, a plain pytest may have not."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def run(*command: str | Path, cwd: Path | None = None) -> str:
    """Run to the end and give back all that was said; a failure shows it."""
    done = subprocess.run(
        [str(word) for word in command], cwd=cwd, text=True, capture_output=True, check=False
    )
    said = done.stdout + done.stderr
    assert done.returncode == 0, f"{command} ended with {done.returncode}:\n{said}"
    return said


def absent(what: str) -> None:
    """Skip where nothing was built, but never in the full run."""
    if os.environ.get("NIGHTBUS_FULL_TEST"):
        pytest.fail(what)
    pytest.skip(f"{what}; `make test` builds it")


@pytest.fixture(scope="session")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The library, installed under a prefix of its own."""
    tree = ROOT / "build" / "release"
    if not (tree / "libnightbus.a").exists():
        absent("there is no Release build of the library")
    prefix = tmp_path_factory.mktemp("prefix")
    run("cmake", "--install", tree, "--prefix", prefix)
    return prefix


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel of the project as it lies here, from the build folder that the install keeps."""
    if not (ROOT / "build" / "python" / "build.ninja").exists():
        absent("there is no Release build of the extension")
    folder = tmp_path_factory.mktemp("wheel")
    pip = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation"]
    # The same settings as the install, or everything would be compiled once more.
    strict = "--config-settings=cmake.define.NIGHTBUS_STRICT=ON"
    run(*pip, strict, "--wheel-dir", folder, ROOT)
    (made,) = folder.glob("nightbus-*.whl")
    return made
