"""Every numbered notebook runs from its first cell to its last and still shows what it showed."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbclient import NotebookClient

HERE = Path(__file__).parent
NOTEBOOKS = sorted(HERE.glob("[0-9]*.ipynb"))


def shown(cell: Any) -> list[str]:
    """Text that a cell gave."""
    return [
        output.get("text") or output.get("data", {}).get("text/plain", "")
        for output in cell.get("outputs", [])
        if output["output_type"] in ("stream", "execute_result")
    ]


def test_there_is_one_for_each_question() -> None:
    assert len(NOTEBOOKS) == 8


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_runs_and_its_stable_cells_are_unchanged(path: Path) -> None:
    kept = nbformat.read(path, as_version=4)
    run = nbformat.read(path, as_version=4)
    client = NotebookClient(
        run, timeout=300, kernel_name="python3", resources={"metadata": {"path": str(HERE)}}
    )
    client.execute()
    stable = 0
    for before, after in zip(kept.cells, run.cells, strict=True):
        if "stable" in before.get("metadata", {}).get("tags", []):
            stable += 1
            assert shown(before), "run `make notebooks` so that outputs are kept"
            assert shown(after) == shown(before)
    titles = [cell.source for cell in run.cells if cell.cell_type == "markdown"]
    assert "licensed person" in titles[0]
    assert stable or path.stem.startswith(("04", "05", "07"))


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_its_outputs_are_kept_and_ask_for_nothing(path: Path) -> None:
    kept = nbformat.read(path, as_version=4)
    for cell in kept.cells:
        if cell.cell_type != "code":
            continue
        assert cell.execution_count is not None, f"run `make notebooks`: {cell.source}"
        for output in cell.outputs:
            for kind, text in output.get("data", {}).items():
                assert "<script" not in text, kind
                assert not re.search(r"(?:src|href)=.https?:", text), kind
                assert "cdn." not in text, kind


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_keeps_neither_times_nor_the_python_that_ran_it(path: Path) -> None:
    kept = nbformat.read(path, as_version=4)
    assert not [cell.id for cell in kept.cells if "execution" in cell.metadata]
    assert "version" not in kept.metadata.language_info
    assert "iopub" not in path.read_text(encoding="utf-8")
