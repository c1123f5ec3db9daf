"""An explorer for notebooks: wiggle a figure, see what breaks first.

Works offline, with nothing but ipywidgets. Every move plans the system anew, without the year of
sun, so that the answer is there at once.
"""

from __future__ import annotations

import time
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any

from nightbus import _core, words
from nightbus.planning import Plan, plan
from nightbus.report import opening, pictures
from nightbus.report.diagram import one_line
from nightbus.system import KINDS, System

if TYPE_CHECKING:
    from collections.abc import Callable

#: Fields that people wiggle, by kind; anything else is reached through the list of all.
USUAL = {
    "load": ("typical", "peak", "count", "duty"),
    "poe_link": ("typical", "length"),
    "fan": ("set_point", "lowest_step"),
    "run": ("length", "size", "ambient", "bundle"),
    "bank": ("capacity", "strings", "charge_low", "resistance"),
    "array": ("power", "tilt"),
    "charger": ("current",),
    "compartment": ("conductance", "solar_gain"),
    "site": ("temp_hot", "temp_cold", "latitude"),
    "rules": ("drop_critical", "drop_general", "load_margin"),
}

STYLE = """
.nb-explore{--ink:inherit;font:14px/1.45 system-ui,sans-serif}
.nb-explore table{border-collapse:collapse}.nb-explore td{padding:1px 10px 1px 0}
.nb-explore .danger{color:#b3203a;font-weight:700}
.nb-explore .warning{color:#8a5a00;font-weight:700}
.nb-explore .care{color:#8a5a00;font-weight:700}.nb-explore .good{color:#23643a;font-weight:700}
.nb-explore svg{max-width:100%;height:auto}
"""
COLOURS = (
    "--paper:#fff;--raised:#fff;--box:#f1f3ef;--ink:#1b252c;--soft:#53626b;--line:#44535c;"
    "--hair:#d8dcd8;--danger:#a0182f;--warning:#7d5200;--accent:#1f5a60;--window:#cfe0dc;"
    "background:#fff;color:#1b252c;padding:6px 10px"
)


class Explorer:
    """What :func:`explore` shows; usable without a screen as well.

    Attributes
    ----------
    start : Plan
        The plan of the system as it came.
    system : System
        The system as it stands now.
    plan : Plan
        Its plan, without day and night.
    seconds : float
        How long the last answer took.
    """

    def __init__(self, system: System) -> None:
        self.system = system.copy()
        self._original = system.copy()
        self.start = self._planned(self.system)
        self.plan = self.start
        self.seconds = 0.0
        self.view: Any = None
        self._listeners: list[Callable[[], None]] = []

    @staticmethod
    def _planned(system: System) -> Plan:
        return plan(system, energy=False, margins=False, size_ups=False)

    def records(self) -> list[tuple[str, str]]:
        """Return (kind, name) of everything with a field to wiggle."""
        found = [("site", ""), ("rules", "")]
        for attribute, (kind, _) in KINDS.items():
            if kind in USUAL:
                found += [(kind, name) for name in getattr(self.system, attribute).names()]
        return found

    def record(self, kind: str, name: str) -> Any:
        """Return the record as it stands now."""
        if kind in ("site", "rules"):
            return getattr(self.system, kind)
        attribute = next(a for a, (k, _) in KINDS.items() if k == kind)
        return getattr(self.system, attribute)[name]

    def set(self, kind: str, name: str, field: str, value: Any) -> Plan:
        """Change one field and plan anew; a refused value changes nothing.

        Raises
        ------
        InputError
            When the field does not take the value, or the system cannot be used with it.
        """
        before = self.system.copy()
        begun = time.perf_counter()
        try:
            setattr(self.record(kind, name), field, value)
            self.plan = self._planned(self.system)
        except _core.Error:
            self.system = before
            raise
        self.seconds = time.perf_counter() - begun
        for listener in self._listeners:
            listener()
        return self.plan

    def reset(self) -> Plan:
        """Go back to the system as it came."""
        self.system = self._original.copy()
        self.plan = self.start
        for listener in self._listeners:
            listener()
        return self.plan

    def changes(self) -> list[tuple[str, str, str, Any, Any]]:
        """Return what differs from the system as it came."""
        return self._original.differences(self.system)

    def keep(self, path: str | Path) -> Path:
        """Write the system as it stands now."""
        target = Path(path)
        self.system.write(target)
        return target

    # ---- what is shown -----------------------------------------------------------------------

    def verdict_html(self) -> str:
        """Verdict now beside the verdict at the start, changes, and the worst findings."""
        now, then = self.plan, self.start
        rows = "".join(
            f"<tr><td>{label}</td><td class='{p.verdict}'>{p.verdict}</td>"
            f"<td>{escape(words.findings_counted(p))}</td></tr>"
            for label, p in (("as it came", then), ("now", now))
        )
        known = {(f.code, f.subject, f.sentence) for f in then.finding_list}
        items = "".join(
            f"<li><span class='{f.severity.name}'>{f.severity.name}</span> {escape(f.sentence)}"
            f"{'' if (f.code, f.subject, f.sentence) in known else ' <b>(new)</b>'}</li>"
            for f in now.finding_list
            if f.severity.name in ("danger", "warning")
        )
        changed = "".join(
            f"<li>{escape(f'{kind} {name}'.strip())}: {escape(field)} "
            f"{escape(str(before))} → {escape(str(after))}</li>"
            for kind, name, field, before, after in self.changes()
        )
        return (
            f"<style>{STYLE}</style><div class='nb-explore'><table>{rows}</table>"
            f"<p>{escape(now.cautions[0]) if now.cautions else ''}</p>"
            f"<ul>{changed}</ul><ul>{items or '<li>nothing stands against it</li>'}</ul>"
            f"<small>{1000 * self.seconds:.0f} ms</small></div>"
        )

    def picture_html(self) -> str:
        """The voltage ladders and the diagram as they stand now."""
        ladders = "".join(str(picture) for _, picture in pictures.voltage_ladders(self.plan))
        drawing = one_line(self.system, opening.diagram_notes(self.plan))
        return f"<div class='nb-explore' style='{COLOURS}'>{ladders}{drawing}</div>"

    def widget(self) -> Any:
        """Build the controls; needs ipywidgets."""
        try:
            import ipywidgets as widgets  # type: ignore[import-untyped]
        except ImportError as error:
            raise _core.Error(
                "the explorer needs ipywidgets: pip install 'nightbus[notebook]'"
            ) from error
        return _View(self, widgets).box

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.widget())  # type: ignore[no-untyped-call]


class _View:
    """Controls and pictures; holds no state of its own besides what is chosen."""

    def __init__(self, explorer: Explorer, widgets: Any) -> None:
        self.explorer = explorer
        self.widgets = widgets
        options = [
            (f"{kind.replace('_', ' ')} {name}".strip(), (kind, name))
            for kind, name in explorer.records()
        ]
        first = next(value for _, value in options if value[0] == "load")
        self.what = widgets.Dropdown(options=options, value=first, description="what")
        self.field = widgets.Dropdown(description="figure")
        self.text = widgets.Text(description="value", continuous_update=False)
        self.slider = widgets.FloatSlider(
            description="share", min=0.1, max=3.0, step=0.05, value=1.0, readout_format=".2f"
        )
        self.slider.tooltip = "times the value as it came"
        self.message = widgets.HTML()
        self.verdict = widgets.HTML()
        self.picture = widgets.HTML()
        self.file = widgets.Text(value="changed.toml", description="file")
        self.keep = widgets.Button(description="Keep this", icon="save")
        self.back = widgets.Button(description="Back to the start")
        self._quiet = False
        self.what.observe(self._choose_what, "value")
        self.field.observe(self._choose_field, "value")
        self.text.observe(self._typed, "value")
        self.slider.observe(self._slid, "value")
        self.keep.on_click(self._keep)
        self.back.on_click(self._back)
        explorer._listeners.append(self._show)
        self._choose_what()
        self._show()
        controls = widgets.VBox(
            [
                self.what,
                self.field,
                self.text,
                self.slider,
                self.message,
                widgets.HBox([self.back]),
                self.file,
                self.keep,
                self.verdict,
            ],
            layout=widgets.Layout(width="38%"),
        )
        self.box = widgets.HBox(
            [controls, widgets.Box([self.picture], layout=widgets.Layout(width="62%"))]
        )

    def _choose_what(self, _: object = None) -> None:
        kind, _name = self.what.value
        self.field.options = USUAL[kind]
        self.field.value = USUAL[kind][0]
        self._choose_field()

    def _choose_field(self, _: object = None) -> None:
        if self.field.value is None:
            return
        kind, name = self.what.value
        value = getattr(self.explorer.record(kind, name), self.field.value)
        self._quiet = True
        self.text.value = "" if value is None else str(value)
        self.slider.value = 1.0
        self._quiet = False
        self._base = self.text.value
        self.slider.disabled = self._number() is None

    def _number(self) -> tuple[float, str] | None:
        """Split "12 W" into its number and the rest."""
        head, _, unit = self._base.partition(" ")
        try:
            return float(head), unit
        except ValueError:
            return None

    def _apply(self, value: Any) -> None:
        kind, name = self.what.value
        try:
            self.explorer.set(kind, name, self.field.value, value)
            self.message.value = ""
        except _core.Error as error:
            self.message.value = f"<pre>{escape(str(error))}</pre>"

    def _typed(self, change: dict[str, Any]) -> None:
        if self._quiet:
            return
        text = str(change["new"]).strip()
        self._base = text
        value: Any = text or None
        kind, name = self.what.value
        if isinstance(getattr(self.explorer.record(kind, name), self.field.value), int):
            try:
                value = int(text)
            except ValueError:
                self.message.value = "<pre>a whole number</pre>"
                return
        self._apply(value)

    def _slid(self, change: dict[str, Any]) -> None:
        number = self._number()
        if self._quiet or number is None:
            return
        scaled = number[0] * float(change["new"])
        kind, name = self.what.value
        if isinstance(getattr(self.explorer.record(kind, name), self.field.value), int):
            self._apply(max(1, round(scaled)))
        else:
            self._apply(f"{scaled:.4g} {number[1]}".strip())

    def _keep(self, _: object) -> None:
        path = self.explorer.keep(self.file.value)
        self.message.value = f"<pre>kept as {escape(str(path))}</pre>"

    def _back(self, _: object) -> None:
        self.explorer.reset()
        self._choose_field()

    def _show(self) -> None:
        self.verdict.value = self.explorer.verdict_html()
        self.picture.value = self.explorer.picture_html()


def explore(system: System | str | Path) -> Explorer:
    """Open the explorer on a system; in Jupyter it shows itself.

    Parameters
    ----------
    system : System, str or Path
        The system, or its file. It is not changed.

    Returns
    -------
    Explorer
        Whose `set`, `reset` and `keep` do in code what the controls do by hand.
    """
    from nightbus.reading import read

    return Explorer(read(system) if isinstance(system, str | Path) else system)
