"""How the program ends: exit statuses, and problems without a traceback.

0   fine: no danger stands
1   a danger stands in the plan
2   the input cannot be used, or the command line is wrong
3   a name that was asked for does not exist, or a file cannot be written
"""

from __future__ import annotations

import json
import os
import sys
from typing import TYPE_CHECKING, Any

import typer

from nightbus import _core

if TYPE_CHECKING:
    from collections.abc import Callable

FINE, DANGER, BAD_INPUT, NOT_FOUND, STOPPED = 0, 1, 2, 3, 130

STATUS_HELP = (
    "Exit status: 0 no danger stands; 1 a danger stands; 2 the input or the command line cannot "
    "be used; 3 a name does not exist or a file cannot be written."
)


# What typer raises for a wrong command line; the class is its own or click's, by its version.
UsageError: Any = next(
    kind for kind in typer.BadParameter.__mro__ if kind.__name__ == "ClickException"
)


def problem_dict(problem: _core.Problem) -> dict[str, Any]:
    """One problem as plain data."""

    def place(span: _core.Span) -> dict[str, Any] | None:
        if not span.known:
            return None
        return {"file": span.file, "line": span.line, "column": span.column, "text": span.text}

    return {
        "code": problem.code,
        "what": problem.what,
        "where": place(problem.where),
        "expected": problem.expected,
        "seen": problem.seen,
        "mend": problem.mend,
        "other": place(problem.other),
    }


def print_json(data: object) -> None:
    """Write JSON to standard output, untouched by any formatting."""
    sys.stdout.write(json.dumps(data, indent=1, ensure_ascii=False) + "\n")


def _complain(text: str, status: int, problems: list[_core.Problem] | None = None) -> int:
    if "--json" in sys.argv:
        print_json(
            {
                "format": 1,
                "error": text.splitlines()[0] if text else "",
                "problems": [problem_dict(problem) for problem in problems or []],
            }
        )
    else:
        sys.stderr.write(text.rstrip() + "\n")
    return status


def guarded(run: Callable[..., Any]) -> int:
    """Run the program and turn what it raises into words and an exit status."""
    try:
        result = run(standalone_mode=False, prog_name="nightbus")
    except _core.InputError as error:
        return _complain(str(error), BAD_INPUT, list(error.problems))
    except _core.LookupError as error:
        return _complain(str(error), NOT_FOUND)
    except _core.Error as error:
        return _complain(str(error), BAD_INPUT)
    except typer.Exit as error:
        return error.exit_code
    except UsageError as error:
        error.show()
        return int(error.exit_code)
    except (KeyboardInterrupt, typer.Abort):
        return STOPPED
    except BrokenPipeError:
        # Whoever read the output has seen enough.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FINE
    except UnicodeDecodeError as error:
        return _complain(f"the file is not UTF-8 text: {error}", BAD_INPUT)
    except OSError as error:
        name = error.filename or ""
        return _complain(f"{name}: {error.strerror}", NOT_FOUND)
    return result if isinstance(result, int) else FINE
