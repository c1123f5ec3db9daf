"""Tables of a plan about days: heat, months, who uses the energy."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nightbus.frames import frame, percent
from nightbus.plan_parts import PlanParts

if TYPE_CHECKING:
    import pandas as pd


class DayTables(PlanParts):
    """Heat, months and energy."""

    @property
    def heat(self) -> pd.DataFrame:
        """One row for each compartment and case: watts, air, fan step.

        Examples
        --------
        >>> import nightbus as nb
        >>> from_code = nb.read("post.toml").add(nb.Compartment(name="box", conductance="4 W/K"))
        >>> from_code.load("cellular router").compartment = "box"
        >>> heat = nb.plan(from_code).heat
        >>> heat.loc[heat["hottest"], ["compartment", "total_w", "air_c"]].round(1)
          compartment  total_w  air_c
        1         box     14.1   41.5
        """
        rows = []
        for compartment in self.data.heat.compartments:
            for index, case in enumerate(compartment.cases):
                rows.append(
                    {
                        "compartment": compartment.name,
                        "case": case.case_name,
                        "hottest": index == compartment.hottest,
                        "outside_c": case.outside_c,
                        "air_c": case.temp_c,
                        "limit_c": compartment.limit_c,
                        "fan_step": case.fan_step,
                        "devices_w": case.heat.devices_w,
                        "converters_w": case.heat.converters_w,
                        "cables_w": case.heat.cables_w,
                        "banks_w": case.heat.banks_w,
                        "fans_w": case.heat.fans_w,
                        "sun_w": case.heat.sun_w,
                        "total_w": case.heat.total_w,
                    }
                )
        return frame(
            rows,
            "compartment case hottest outside_c air_c limit_c fan_step devices_w "
            "converters_w cables_w banks_w fans_w sun_w total_w",
        )

    @property
    def months(self) -> pd.DataFrame:
        """Day, night and sun of a mean day of each month.

        Examples
        --------
        >>> import nightbus as nb
        >>> months = nb.plan("post.toml").months
        >>> months.loc[months["hardest"], ["month", "night_h", "night_ah", "to_full_h"]].round(1)
            month  night_h  night_ah  to_full_h
        11     12     15.5      17.5        4.8
        """
        rows = []
        for index, month in enumerate(self.data.energy.months):
            rows.append(
                {
                    "month": month.month,
                    "hardest": index == self.data.energy.hardest,
                    "outside_c": month.outside_c,
                    "sunset": month.sunset_local,
                    "sunrise": month.sunrise_local,
                    "night_h": month.night_h,
                    "night_wh": month.night_wh,
                    "night_ah": month.night_ah,
                    "charge_sunset_percent": percent(month.charge_sunset),
                    "charge_sunrise_percent": percent(month.charge_sunrise),
                    "lowest_v": month.lowest_v,
                    "to_full_h": month.hours_to_full,
                    "to_full_days": month.days_to_full,
                    "never_full": month.never_full,
                    "load_wh": month.load_wh,
                    "sun_wh": month.sun_wh,
                    "charger_wh": month.charger_wh,
                    "surplus_wh": month.surplus_wh,
                    "to_reserve_days": month.days_to_reserve,
                    "to_dark_days": month.days_to_dark,
                }
            )
        return frame(
            rows,
            "month hardest outside_c sunset sunrise night_h night_wh night_ah "
            "charge_sunset_percent charge_sunrise_percent lowest_v to_full_h to_full_days "
            "never_full load_wh sun_wh charger_wh surplus_wh to_reserve_days to_dark_days",
        )

    @property
    def energy(self) -> pd.DataFrame:
        """Who uses the day and the night in the hardest month, at the device and at the bank.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.plan("post.toml").energy[["name", "day_wh", "night_wh"]].head(2).round(0)
                      name  day_wh  night_wh
        0  cellular router   216.0     139.0
        1      door camera   120.0      77.0
        """
        return frame(
            (
                {
                    "kind": share.kind,
                    "name": share.name,
                    "day_wh": share.day_wh,
                    "night_wh": share.night_wh,
                    "day_at_bank_wh": share.day_at_bank_wh,
                    "night_at_bank_wh": share.night_at_bank_wh,
                    "day_ah": share.day_ah,
                    "night_ah": share.night_ah,
                }
                for share in [*self.data.energy.loads, *self.data.energy.buses]
            ),
            "kind name day_wh night_wh day_at_bank_wh night_at_bank_wh day_ah night_ah",
        )
