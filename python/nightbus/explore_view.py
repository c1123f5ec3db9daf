"""The controls of the explorer; they hold no state besides what is chosen."""

from __future__ import annotations

import re
from datetime import date, timedelta
from html import escape
from math import floor, log10
from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus.explore import USUAL
from nightbus.explore_answers import PICTURES

if TYPE_CHECKING:
    from collections.abc import Callable

    from nightbus.explore import Explorer

#: How far a slider reaches: so many times the value that it began with.
REACH = 3.0
STEPS = 100.0
#: Keys of the file that Python does not take as a name.
RESERVED = {"class", "from"}
SHARES = {"duty", "charge_low", "drop_critical", "drop_general"}


def number_of(text: str) -> tuple[float, str] | None:
    """Split ``"12 W"`` into its number and its unit; None when it is no number.

    Examples
    --------
    >>> from nightbus.explore_view import number_of
    >>> number_of("12 W"), number_of("06:30-22:00")
    ((12.0, 'W'), None)
    """
    found = re.fullmatch(r"([-+]?\d+(?:\.\d+)?)\s*([^\d\s:].*)?", text)
    return None if found is None else (float(found[1]), found[2] or "")


def reach_of(field: str, value: float) -> tuple[float, float, float]:
    """Least, most and step of a slider for a field.

    Examples
    --------
    >>> from nightbus.explore_view import reach_of
    >>> reach_of("typical", 12.0)
    (0.0, 36.0, 0.5)
    """
    if field.startswith("temp") or field in ("ambient", "set_point"):
        return value - 30.0, value + 30.0, 1.0
    if field == "latitude":
        return -65.0, 65.0, 0.5
    if field in ("tilt", "azimuth"):
        return 0.0, 90.0 if field == "tilt" else 360.0, 5.0
    if field in SHARES:
        return 0.0, 100.0, 1.0
    most = round(REACH * abs(value), 6) or 1.0
    power = 10.0 ** floor(log10(most / STEPS))
    step = next(one * power for one in (1, 2, 5, 10) if one * power >= 0.999 * most / STEPS)
    return 0.0, most, round(step, 9)


def fields_of(kind: str) -> list[str]:
    """Every field of a kind of record, as its attribute is called.

    Examples
    --------
    >>> from nightbus.explore_view import fields_of
    >>> fields_of("charger")[0]
    'name'
    """
    entry = next(one for one in _core.field_table() if one["key"] == kind)
    return [
        row["key"] + ("_" if row["key"] in RESERVED else "")
        for row in entry["fields"]
        if row["key"] != "feed"
    ]


class View:
    """Controls left, answers right; below one another where there is no room."""

    def __init__(self, explorer: Explorer, widgets: Any) -> None:
        self.explorer = explorer
        self.widgets = widgets
        self._quiet = False
        wide = {"description_width": "8.5em"}
        self.style = wide
        self.row = widgets.Layout(width="auto")
        self.day = widgets.SelectionSlider(
            options=_days(explorer.conditions.day),
            value=explorer.conditions.day,
            description="night of",
            style=wide,
            layout=self.row,
        )
        self.charge = widgets.IntSlider(
            value=100, min=0, max=100, step=5, description="bank at noon, %", style=wide,
            layout=self.row,
        )  # fmt: skip
        self.sun = widgets.IntSlider(
            value=100, min=0, max=150, step=5, description="sun, % of usual", style=wide,
            layout=self.row,
        )  # fmt: skip
        options = [
            (f"{kind.replace('_', ' ')} {name}".strip(), (kind, name))
            for kind, name in explorer.records()
        ]
        first = next((value for _, value in options if value[0] == "load"), options[0][1])
        self.what = widgets.Dropdown(
            options=options, value=first, description="part", style=wide, layout=self.row
        )
        self.part = widgets.VBox()
        self.field = widgets.Dropdown(description="any other field", style=wide, layout=self.row)
        self.text = widgets.Text(
            description="its value", continuous_update=False, style=wide, layout=self.row
        )
        self.message = widgets.HTML()
        self.choose = widgets.Button(
            description="Choose sizes anew",
            tooltip="Plans the wiring of the system as it stands now; takes up to some seconds",
        )
        self.back = widgets.Button(description="Back to the start")
        self.file = widgets.Text(
            value="changed.toml", description="file", style=wide, layout=self.row
        )
        self.keep = widgets.Button(description="Keep this", tooltip="Writes the changed system")
        self.answers = widgets.HTML()
        self.pictures = [widgets.HTML() for _ in PICTURES]
        self.tabs = widgets.Tab(children=self.pictures, titles=PICTURES)
        self.controls: dict[tuple[str, str, str], Any] = {}
        self._observe()
        self._choose_part()
        self._show()
        self.box = self._laid_out()

    def _laid_out(self) -> Any:
        widgets = self.widgets
        left = widgets.VBox(
            [
                self.day,
                self.charge,
                self.sun,
                self.what,
                self.part,
                self.field,
                self.text,
                self.message,
                widgets.HBox([self.choose, self.back]),
                self.file,
                self.keep,
            ],
            layout=widgets.Layout(width="24em", min_width="20em", flex="0 1 24em"),
        )
        right = widgets.VBox(
            [self.answers, self.tabs], layout=widgets.Layout(flex="1 1 32em", min_width="18em")
        )
        return widgets.HBox([left, right], layout=widgets.Layout(flex_flow="row wrap"))

    def _observe(self) -> None:
        self.day.observe(lambda change: self._condition(day=change["new"]), "value")
        self.charge.observe(lambda change: self._condition(charge=change["new"] / 100), "value")
        self.sun.observe(lambda change: self._condition(sun=change["new"] / 100), "value")
        self.what.observe(self._choose_part, "value")
        self.field.observe(self._choose_field, "value")
        self.text.observe(self._typed, "value")
        self.tabs.observe(self._show_picture, "selected_index")
        self.keep.on_click(self._keep)
        self.back.on_click(self._back)
        self.choose.on_click(lambda _: self._tried(self.explorer.choose_sizes))
        self.explorer._listeners.append(self._show)

    # ---- the part that is wiggled ------------------------------------------------------------

    def _choose_part(self, _: object = None) -> None:
        kind, name = self.what.value
        places = [(kind, name, field) for field in USUAL[kind]]
        feed = self.explorer.feed_of(name) if kind in ("load", "fan", "converter") else None
        if feed is not None:
            places += [("run", feed, field) for field in ("length", "size", "bundle")]
        self.controls = {}
        for place in places:
            control = self._control(*place)
            if control is not None:
                self.controls[place] = control
        self.part.children = list(self.controls.values())
        shown = {field for a, b, field in self.controls if (a, b) == (kind, name)}
        others = [one for one in fields_of(kind) if one not in shown and one != "name"]
        self._quiet = True
        self.field.options = [(one.rstrip("_").replace("_", " "), one) for one in others]
        self._quiet = False
        self._choose_field()

    def _control(self, kind: str, name: str, field: str) -> Any:
        """A slider, menu or line for one field; None when the record does not have it."""
        widgets, style = self.widgets, self.style
        value = getattr(self.explorer.record(kind, name), field, None)
        title = ("cable " if kind == "run" and self.what.value[0] != "run" else "") + field
        title = title.replace("_", " ")
        if kind == "run" and field == "size":
            held = self.explorer._record_of(self.explorer.held, kind, name)
            return self._menu(kind, name, title, str(held.size))
        if value is None and (kind, field) == ("run", "ambient"):
            # Not stated, so the plan reckons it: the slider begins at its hottest case.
            value = f"{self.explorer.hottest_air_c(name):.0f} °C"
        if isinstance(value, bool) or value is None:
            return None
        if isinstance(value, int):
            most = max(10, round(REACH * value))
            made = widgets.IntSlider(value=value, min=1, max=most, description=title, style=style,
                                     layout=self.row)  # fmt: skip
            made.observe(lambda change: self._move(kind, name, field, change["new"]), "value")
            return made
        if isinstance(value, tuple):
            made = widgets.Text(
                value=", ".join(map(str, value)), description=title, style=style, layout=self.row,
                continuous_update=False, placeholder="06:30-22:00, 23:00-23:30",
            )  # fmt: skip
            made.observe(
                lambda change: self._move(
                    kind, name, field, [one.strip() for one in change["new"].split(",") if one]
                ),
                "value",
            )
            return made
        if isinstance(value, float):  # a share that carries no unit
            value = f"{100 * value:g} %"
        found = number_of(str(value))
        if found is None:
            return None
        number, unit = found
        low, high, step = reach_of(field, number)
        made = widgets.FloatSlider(
            value=number, min=min(low, number), max=max(high, number), step=step, style=style,
            description=f"{title}, {unit}" if unit else title, layout=self.row,
            readout_format=f".{max(0, -floor(log10(step) + 1e-9))}f",
        )  # fmt: skip
        made.observe(
            lambda change: self._move(kind, name, field, f"{change['new']:.6g} {unit}".strip()),
            "value",
        )
        return made

    def _menu(self, kind: str, name: str, title: str, held: str) -> Any:
        sizes = self._sizes(held)
        made = self.widgets.Dropdown(
            options=[(one if one != held else f"{one} (held)", one) for one in sizes],
            value=held,
            description=title,
            style=self.style,
            layout=self.row,
        )
        made.observe(lambda change: self._move(kind, name, "size", change["new"]), "value")
        return made

    @staticmethod
    def _sizes(held: str) -> list[str]:
        """Every size of the family that holds this one, thinnest first."""
        for family in _core.Catalogue().conductor_families:
            sizes = sorted(family.conductors, key=lambda one: one.area_mm2)
            names = list(dict.fromkeys(str(one.size) for one in sizes))
            if held in names:
                return names
        return [held]

    # ---- any other field ---------------------------------------------------------------------

    def _choose_field(self, _: object = None) -> None:
        if self._quiet or self.field.value is None:
            return
        kind, name = self.what.value
        value = getattr(self.explorer.record(kind, name), self.field.value)
        self._quiet = True
        self.text.value = (
            ", ".join(map(str, value))
            if isinstance(value, tuple)
            else ""
            if value is None
            else str(value)
        )
        self._quiet = False

    def _typed(self, change: dict[str, Any]) -> None:
        if self._quiet:
            return
        kind, name = self.what.value
        text = str(change["new"]).strip()
        before = getattr(self.explorer.record(kind, name), self.field.value)
        value: Any = text or None
        if isinstance(before, bool):
            value = text.lower() in ("true", "yes", "1")
        elif isinstance(before, int) and text:
            try:
                value = int(text)
            except ValueError:
                self._say("a whole number is needed")
                return
        elif isinstance(before, tuple):
            value = [one.strip() for one in text.split(",") if one.strip()]
        self._move(kind, name, self.field.value, value)

    # ---- moves -------------------------------------------------------------------------------

    def _say(self, text: str) -> None:
        self.message.value = (
            f"<pre role='alert' style='white-space:pre-wrap'>{escape(text)}</pre>" if text else ""
        )

    def _tried(self, move: Callable[[], object]) -> None:
        try:
            move()
            self._say("")
        except (_core.Error, ValueError, TypeError) as error:
            self._say(str(error))

    def _move(self, kind: str, name: str, field: str, value: Any) -> None:
        if not self._quiet:
            self._tried(lambda: self.explorer.set(kind, name, field, value))

    def _condition(self, **wanted: Any) -> None:
        if not self._quiet:
            self._tried(lambda: self.explorer.set_conditions(**wanted))

    def _keep(self, _: object) -> None:
        try:
            path = self.explorer.keep(self.file.value)
        except OSError as error:
            self._say(f"not kept: {error}")
            return
        self._say(f"kept as {path}; sizes that were open are open in it")

    def _back(self, _: object) -> None:
        self._quiet = True
        conditions = self.explorer._start_conditions
        self.day.value, self.charge.value, self.sun.value = (
            conditions.day,
            round(100 * conditions.charge),
            round(100 * conditions.sun),
        )
        self._quiet = False
        self.explorer.reset()
        self._choose_part()
        self._say("")

    # ---- answers -----------------------------------------------------------------------------

    def _show(self) -> None:
        self.answers.value = self.explorer.verdict_html()
        self._show_picture()

    def _show_picture(self, _: object = None) -> None:
        """Only the picture that is looked at is drawn."""
        index = self.tabs.selected_index or 0
        self.pictures[index].value = self.explorer.picture_html(PICTURES[index])


def _days(start: date) -> list[tuple[str, date]]:
    """Three days of each month, and the day it starts with."""
    days = {start}
    for month in range(1, 13):
        days |= {date(start.year, month, 1) + timedelta(days=10 * part) for part in range(3)}
    return [(f"{day.day} {day:%b}", day) for day in sorted(days)]
