"""What a plan holds, as lists of objects."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from nightbus.frames import Device, devices
from nightbus.system import System

if TYPE_CHECKING:
    from nightbus import _core


class PlanParts:
    """A plan's own data, and its parts as objects."""

    def __init__(self, data: _core.PlanData, system: System) -> None:
        self.data = data
        self.system = system

    # ---- what must be read first -----------------------------------------------------------

    @cached_property
    def cautions(self) -> list[str]:
        """What to know before anything is built."""
        return list(self.data.cautions)

    @cached_property
    def not_modelled(self) -> list[str]:
        """What the program does not know."""
        return list(self.data.not_modelled)

    @cached_property
    def wired(self) -> System:
        """The system with the sizes and devices of the plan written in."""
        return System._from(self.data.wired)

    @cached_property
    def finding_list(self) -> list[_core.Finding]:
        """Every finding as an object, worst first."""
        return list(self.data.findings)

    @cached_property
    def run_plans(self) -> list[_core.RunPlan]:
        """Every run as an object, with all its candidates."""
        return list(self.data.wiring.runs)

    @cached_property
    def case_results(self) -> list[_core.CaseResult]:
        """Every case as an object."""
        return list(self.data.cases)

    @cached_property
    def devices(self) -> list[Device]:
        """Every device in every case."""
        return list(devices(self.system, self.case_results))
