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
        """What to know before anything is built.

        Examples
        --------
        >>> import nightbus as nb
        >>> print(nb.plan("post.toml").cautions[0][:65])
        This is arithmetic, not an inspection. It is no permit and claims
        """
        return list(self.data.cautions)

    @cached_property
    def not_modelled(self) -> list[str]:
        """What the program does not know.

        Examples
        --------
        >>> import nightbus as nb
        >>> print(nb.plan("post.toml").not_modelled[0])
        Alternating current, earthing, lightning and surge protection, bonding against corrosion.
        """
        return list(self.data.not_modelled)

    @cached_property
    def wired(self) -> System:
        """The system with the sizes and devices of the plan written in.

        Examples
        --------
        >>> import nightbus as nb
        >>> wired = nb.plan("post.toml").wired
        >>> str(wired.run("door camera").size), wired.run("door camera").fuse_a
        ('18 AWG', 1.0)
        """
        return System._from(self.data.wired)

    @cached_property
    def finding_list(self) -> list[_core.Finding]:
        """Every finding as an object, worst first.

        Examples
        --------
        >>> import nightbus as nb
        >>> finding = nb.plan("post.toml").finding_list[0]
        >>> finding.code, finding.severity.name, finding.subject
        ('assumed-choice', 'notice', 'bank')
        """
        return list(self.data.findings)

    @cached_property
    def run_plans(self) -> list[_core.RunPlan]:
        """Every run as an object, with all its candidates.

        Examples
        --------
        >>> import nightbus as nb
        >>> [(run.run, str(run.size)) for run in nb.plan("post.toml").run_plans[:3]]
        [('bank lead', '12 AWG'), ('cellular router', '18 AWG'), ('door camera', '18 AWG')]
        """
        return list(self.data.wiring.runs)

    @cached_property
    def case_results(self) -> list[_core.CaseResult]:
        """Every case as an object.

        Examples
        --------
        >>> import nightbus as nb
        >>> case = nb.plan("post.toml").case_results[0]
        >>> case.name, case.status, round(case.balance.load_w, 1)
        ('low, typical, hot', 'solved', 15.0)
        """
        return list(self.data.cases)

    @cached_property
    def devices(self) -> list[Device]:
        """Every device in every case.

        Examples
        --------
        >>> import nightbus as nb
        >>> first = nb.plan("post.toml").devices[0]
        >>> first.name, first.case, round(first.voltage_v, 2)
        ('cellular router', 'low, typical, hot', 12.78)
        """
        return list(devices(self.system, self.case_results))
