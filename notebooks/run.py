"""Run notebooks from the first cell to the last and keep what they show, without when and on what.

``python notebooks/run.py [FILE ...]``: all that are numbered when none is named.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import nbformat
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError

HERE = Path(__file__).parent


def without_noise(notebook: Any) -> Any:
    """Take out what differs from run to run though nothing changed: times, the Python at hand."""
    for cell in notebook.cells:
        cell.metadata.pop("execution", None)
    notebook.metadata.get("language_info", {}).pop("version", None)
    return notebook


def run(path: Path) -> None:
    """Execute one notebook in its own folder and write it back."""
    notebook = nbformat.read(path, as_version=4)
    client = NotebookClient(
        notebook,
        timeout=600,
        kernel_name="python3",
        record_timing=False,
        resources={"metadata": {"path": str(path.parent)}},
    )
    client.execute()
    nbformat.write(without_noise(notebook), path)


def main() -> int:
    """Stop at the first notebook that does not run."""
    for path in [Path(one) for one in sys.argv[1:]] or sorted(HERE.glob("[0-9]*.ipynb")):
        print(f"   {path.name}", flush=True)
        try:
            run(path)
        except CellExecutionError as error:
            print(f"{path} stopped with an error\n{error}", file=sys.stderr)
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
