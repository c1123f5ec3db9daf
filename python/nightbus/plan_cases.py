"""Tables of a plan by case: volts at every device, and how far each case is from the edge."""

from __future__ import annotations

from typing import TYPE_CHECKING

from nightbus.frames import Device, frame, percent
from nightbus.plan_days import DayTables

if TYPE_CHECKING:
    import pandas as pd


class CaseTables(DayTables):
    """Devices and cases."""

    @property
    def volts(self) -> pd.DataFrame:
        """Volts, amperes and watts of every device in every case.

        Examples
        --------
        >>> import nightbus as nb
        >>> volts = nb.plan("post.toml").volts
        >>> volts.loc[volts["name"] == "door camera", ["case", "voltage_v"]].head(2).round(2)
                        case  voltage_v
        1  low, typical, hot      12.68
        3     low, peak, hot      12.57
        """
        return frame(
            (
                {
                    "kind": device.kind,
                    "name": device.name,
                    "case": device.case,
                    "state": device.state,
                    "voltage_v": device.voltage_v,
                    "current_a": device.current_a,
                    "power_w": device.power_w,
                    "drop_v": device.drop_v,
                    "drop_percent": percent(device.drop_ratio),
                    "window_low_v": device.window_low_v,
                    "window_high_v": device.window_high_v,
                }
                for device in self.devices
            ),
            "kind name case state voltage_v current_a power_w drop_v drop_percent "
            "window_low_v window_high_v",
        )

    @property
    def loads(self) -> pd.DataFrame:
        """What each device sees: lowest and highest volts of all cases, against its window.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.plan("post.toml").loads[["name", "lowest_v", "window_low_v", "margin_v"]].round(2)
                      name  lowest_v  window_low_v  margin_v
        0  cellular router     12.72           9.0      3.72
        1      door camera     12.57          10.5      0.62
        """
        by_device: dict[tuple[str, str], list[Device]] = {}
        for device in self.devices:
            by_device.setdefault((device.kind, device.name), []).append(device)
        limits = {(end.kind, end.name): end for end in self.data.wiring.ends}
        rows = []
        for (kind, name), answers in by_device.items():
            low = min(answers, key=lambda answer: answer.voltage_v)
            high = max(answers, key=lambda answer: answer.voltage_v)
            end = limits.get((kind, name))
            margins = [a.above_low_v for a in answers if a.above_low_v is not None]
            margins += [a.below_high_v for a in answers if a.below_high_v is not None]
            rows.append(
                {
                    "kind": kind,
                    "name": name,
                    "lowest_v": low.voltage_v,
                    "lowest_case": low.case,
                    "highest_v": high.voltage_v,
                    "highest_case": high.case,
                    "window_low_v": low.window_low_v,
                    "window_high_v": low.window_high_v,
                    "margin_v": min(margins) if margins else None,
                    "drop_percent": percent(end.drop_ratio) if end else None,
                    "limit_percent": percent(end.limit_ratio) if end else None,
                    "drop_case": end.drop_case if end else "",
                }
            )
        return frame(
            rows,
            "kind name lowest_v lowest_case highest_v highest_case window_low_v "
            "window_high_v margin_v drop_percent limit_percent drop_case",
        )

    @property
    def cases(self) -> pd.DataFrame:
        """One row for each case: how it solved, what flows, how far from the edge.

        Examples
        --------
        >>> import nightbus as nb
        >>> cases = nb.plan("post.toml").cases
        >>> cases[["case", "status", "load_w", "first_device"]].head(2).round(1)
                        case  status  load_w first_device
        0  low, typical, hot  solved    15.0  door camera
        1     low, peak, hot  solved    22.5  door camera
        """
        rows = []
        for case in self.case_results:
            margins = case.margins
            rows.append(
                {
                    "case": case.name,
                    "status": case.status,
                    "outside_c": case.inputs.outside_c,
                    "bank_v": min((bank.voltage_v for bank in case.banks), default=None),
                    "bank_a": sum(bank.current_a for bank in case.banks),
                    "supplied_w": case.balance.supplied_w,
                    "load_w": case.balance.load_w,
                    "loss_w": case.balance.loss_w,
                    "gap_w": case.balance.gap_w,
                    "collapse_times": margins.collapse_multiplier if margins else None,
                    "first_device_times": margins.first_window_multiplier if margins else None,
                    "first_device": margins.first_window_device if margins else "",
                }
            )
        return frame(
            rows,
            "case status outside_c bank_v bank_a supplied_w load_w loss_w gap_w "
            "collapse_times first_device_times first_device",
        )
