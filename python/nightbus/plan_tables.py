"""What a plan holds, as tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nightbus._core import inside_unit
from nightbus.frames import frame, percent, text_of, unit_of
from nightbus.plan_cases import CaseTables

if TYPE_CHECKING:
    import pandas as pd
    import xarray as xr


class PlanTables(CaseTables):
    """The tables of a plan, made anew at each call from its own data.

    The unit of a column is the ending of its name, and in ``frame.attrs["units"]``.
    """

    @property
    def findings(self) -> pd.DataFrame:
        """Every finding: severity, code, subject, what, value, limit, rule, what to do.

        Examples
        --------
        >>> import nightbus as nb
        >>> plan = nb.plan("post.toml")
        >>> bool((plan.findings["severity"] == "danger").any())
        False
        >>> plan.findings.loc[0, ["severity", "code", "subject"]].to_list()
        ['notice', 'assumed-choice', 'bank']
        """
        return frame(
            (
                {
                    "severity": finding.severity.name,
                    "code": finding.code,
                    "kind": finding.subject_kind,
                    "subject": finding.subject,
                    "what": finding.sentence,
                    "value": finding.value,
                    "limit": finding.limit,
                    "unit": inside_unit(finding.dimension),
                    "case": finding.case_name,
                    "rule": finding.rule,
                    "advice": finding.advice,
                    "place": finding.where.place if finding.where.known else "",
                }
                for finding in self.finding_list
            ),
            "severity code kind subject what value limit unit case rule advice place",
        )

    @property
    def assumptions(self) -> pd.DataFrame:
        """Every default that was taken because the description says nothing.

        Examples
        --------
        >>> import nightbus as nb
        >>> taken = nb.plan("post.toml").assumptions
        >>> taken.loc[taken["field"] == "drop_critical", ["kind", "value"]].values.tolist()
        [['rules', '3 %']]
        """
        return frame(
            (
                {
                    "kind": assumption.kind,
                    "field": assumption.key,
                    "value": assumption.value,
                    "names": ", ".join(assumption.names),
                    "meaning": assumption.help,
                }
                for assumption in self.data.assumptions
            ),
            ["kind", "field", "value", "names", "meaning"],
        )

    @property
    def runs(self) -> pd.DataFrame:
        """The wiring schedule: one row for each run.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.plan("post.toml").runs[["run", "size", "rating_a", "drop_v"]].round(2)
                       run    size  rating_a  drop_v
        0        bank lead  12 AWG      30.0    0.25
        1  cellular router  18 AWG       2.0    0.13
        2      door camera  18 AWG       1.0    0.28
        3       roof array   6 AWG      35.0    0.27
        """
        worst_drop = self._worst_drop_ratio()
        return frame(
            (
                {
                    "run": run.run,
                    "from": described.from_,
                    "to": described.to,
                    "length_m": run.length_m,
                    "size": text_of(run.size),
                    "return_size": text_of(run.return_size),
                    "family": run.family,
                    "current_a": run.current_a,
                    "ampacity_a": run.ampacity_a,
                    "use_percent": percent(run.current_a / run.ampacity_a)
                    if run.ampacity_a > 0
                    else None,
                    "drop_v": run.drop_v,
                    "drop_percent": percent(worst_drop.get(index)),
                    "conductor_c": run.conductor_c,
                    "loss_w": run.loss_w,
                    "device": "" if run.device is None else run.device.form,
                    "rating_a": None if run.device is None else run.device.rating_a,
                    "governed_by": run.governing_code,
                    "case": run.governing_case or run.current_case,
                    "rule": run.governing_rule or run.ampacity_rule,
                    "given": run.size_given,
                    "spare": run.spare,
                    "fits": run.feasible,
                }
                for index, (run, described) in enumerate(
                    zip(self.run_plans, self.system.runs, strict=True)
                )
            ),
            "run from to length_m size return_size family current_a ampacity_a "
            "use_percent drop_v drop_percent conductor_c loss_w device rating_a "
            "governed_by case rule given spare fits",
        )

    def _worst_drop_ratio(self) -> dict[int, float]:
        worst: dict[int, float] = {}
        for case in self.case_results:
            for index, run in enumerate(case.runs):
                worst[index] = max(worst.get(index, 0.0), run.drop_ratio)
        return worst

    @property
    def fuses(self) -> pd.DataFrame:
        """Overcurrent devices: what each is, and what it must be able to do.

        Examples
        --------
        >>> import nightbus as nb
        >>> fuses = nb.plan("post.toml").fuses
        >>> fuses[["run", "rating_a", "prospective_a", "least_fault_a"]].round(0)
                       run  rating_a  prospective_a  least_fault_a
        0        bank lead      30.0         1813.0          591.0
        1  cellular router       2.0          750.0           88.0
        2      door camera       1.0          750.0           24.0
        3       roof array      35.0          750.0          355.0
        """
        return frame(
            (
                {
                    "run": run.run,
                    "form": run.device.form,
                    "kind": run.device.kind.name,
                    "rating_a": run.device.rating_a,
                    "given": run.device.given,
                    "carries_a": run.current_a,
                    "prospective_a": run.need.prospective_a,
                    "must_break_a": run.need.interrupt_a,
                    "at_v": run.need.interrupt_v,
                    "least_fault_a": run.need.least_fault_a,
                    "opens_in_s": run.need.opens_in_s,
                    "within_m": run.need.within_m,
                    "holder_a": run.need.holder_a,
                    "end": "far" if run.need.at_far_end else "source",
                }
                for run in self.run_plans
                if run.device is not None
            ),
            "run form kind rating_a given carries_a prospective_a must_break_a at_v "
            "least_fault_a opens_in_s within_m holder_a end",
        )

    @property
    def rules(self) -> pd.DataFrame:
        """Every rule set or table that had a say, and the rows it was asked for.

        Examples
        --------
        >>> import nightbus as nb
        >>> list(nb.plan("post.toml").rules["rule_set"].unique())[:4]
        ['33 CFR 183', 'AWG', 'LFP', 'glass cartridge 32 V']
        """
        return frame(
            (
                {"rule_set": use.name, "citation": citation, "limits": use.limits}
                for use in self.data.rules
                for citation in (use.citations or [""])
            ),
            ["rule_set", "citation", "limits"],
        )

    @property
    def changes(self) -> pd.DataFrame:
        """What would make an infeasible plan feasible: one row for each change.

        Rows of one `way` belong together; the smallest set of changes is way 1. Each way was
        planned again and passes what the plan fails. Empty when the plan is feasible, or when
        nothing that is known here mends it.

        Examples
        --------
        >>> import nightbus as nb
        >>> len(nb.plan("post.toml").changes)
        0
        """
        return frame(
            (
                {
                    "way": number,
                    "kind": change.kind,
                    "subject": change.run,
                    "what": change.words,
                    "before": change.from_,
                    "after": change.amount,
                    "unit": inside_unit(change.dimension),
                    "metal_kg": way.metal_kg,
                    "mends": ", ".join(way.mends),
                }
                for number, way in enumerate(self.data.wiring.ways, start=1)
                for change in way.changes
            ),
            "way kind subject what before after unit metal_kg mends",
        )

    def tables(self) -> dict[str, pd.DataFrame]:
        """Return every table by its name.

        Examples
        --------
        >>> import nightbus as nb
        >>> list(nb.plan("post.toml").tables())[:6]
        ['findings', 'assumptions', 'runs', 'fuses', 'loads', 'volts']
        """
        return {
            "findings": self.findings,
            "assumptions": self.assumptions,
            "runs": self.runs,
            "fuses": self.fuses,
            "loads": self.loads,
            "volts": self.volts,
            "cases": self.cases,
            "heat": self.heat,
            "months": self.months,
            "energy": self.energy,
            "rules": self.rules,
            "changes": self.changes,
        }

    def to_xarray(self) -> xr.Dataset:
        """Return volts, amperes and watts over device × case, and drops over run × case.

        Examples
        --------
        >>> import nightbus as nb
        >>> data = nb.plan("post.toml").to_xarray()
        >>> dict(data.sizes)
        {'device': 2, 'case': 7, 'run': 4}
        >>> float(data["voltage_v"].sel(device="door camera").min().round(2))
        12.57
        """
        case_names = [case.name for case in self.case_results]
        volts = self.volts.set_index(["name", "case"])
        data = volts[["voltage_v", "current_a", "power_w"]].to_xarray()
        data = data.rename({"name": "device"}).reindex(case=case_names)
        data["run_current_a"] = (
            ("run", "case"),
            [
                [case.runs[i].current_a for case in self.case_results]
                for i in range(len(self.system.runs))
            ],
        )
        data["run_drop_v"] = (
            ("run", "case"),
            [
                [case.runs[i].drop_v for case in self.case_results]
                for i in range(len(self.system.runs))
            ],
        )
        data = data.assign_coords(run=self.system.runs.names())
        for name, variable in data.data_vars.items():
            variable.attrs["units"] = unit_of(str(name))
        return data
