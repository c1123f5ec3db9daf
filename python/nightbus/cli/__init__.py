"""The program ``nightbus``: few verbs, each with ``--json``."""

from __future__ import annotations

import sys


def main() -> None:
    """Run the program; its exit status tells a script how it went."""
    from nightbus.cli.app import app
    from nightbus.cli.outcome import guarded

    sys.exit(guarded(app))
