"""The first file: commented, small, complete, made from five answers."""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass, replace

import typer

from nightbus import _core
from nightbus._core import Dimension

QUESTIONS = {
    "title": ("What is the system called?", "My system"),
    "place": ("Where does it stand? Latitude, longitude", "52.0, 10.0"),
    "chemistry": ("Which battery: LFP, flooded, AGM or gel?", "LFP"),
    "bank": ("Its voltage and the capacity of one string", "12 V 100 Ah"),
    "solar": ("Watts of solar modules (0 W for none)", "300 W"),
}


@dataclass(frozen=True)
class Answers:
    """What was answered; None where a default stands in."""

    title: str | None = None
    place: str | None = None
    chemistry: str | None = None
    bank: str | None = None
    solar: str | None = None


def ask(given: Answers) -> Answers:
    """Ask for what the flags left open, when somebody sits at the terminal."""
    if not sys.stdin.isatty():
        return given
    for name, (question, default) in QUESTIONS.items():
        if getattr(given, name) is None:
            given = replace(given, **{name: typer.prompt(question, default=default)})
    return given


def _numbers(text: str, option: str) -> tuple[float, float]:
    found = re.findall(r"[-+]?\d+(?:\.\d+)?", text)
    if len(found) != 2:
        raise typer.BadParameter(
            f'expected two numbers such as "58.9, 15.4", found "{text}"', param_hint=option
        )
    return float(found[0]), float(found[1])


def _bank(text: str) -> tuple[float, float]:
    match = re.fullmatch(r"\s*(\S+\s*V)\b[\s,]*(.+)", text)
    if match is None:
        raise typer.BadParameter(
            f'expected voltage and capacity such as "12 V 200 Ah", found "{text}"',
            param_hint="--bank",
        )
    return (
        _core.quantity(match[1], Dimension.voltage),
        _core.quantity(match[2], Dimension.charge),
    )


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", " ") + '"'


def starter(answers: Answers) -> str:
    """Write the file; what was not answered is marked in it."""

    def answer(name: str) -> tuple[str, str]:
        value = getattr(answers, name)
        return (QUESTIONS[name][1], "  # not answered: change it") if value is None else (value, "")

    title, title_mark = answer("title")
    place, place_mark = answer("place")
    chemistry, chemistry_mark = answer("chemistry")
    bank, bank_mark = answer("bank")
    solar, solar_mark = answer("solar")
    latitude, longitude = _numbers(place, "--place")
    voltage, capacity = _bank(bank)
    watts = _core.quantity(solar, Dimension.power)
    size = "AWG"
    array = ""
    if watts > 0:
        amps = max(10, round(watts / voltage * 1.1))
        array = f"""
# --- the sun: modules and their controller; `controller_current` is what it can give --------------

[[array]]
name = "roof array"
power = "{watts:g} W"{solar_mark}
tilt = "30 deg"                  # 0 deg lies flat
controller_current = "{amps} A"
feed = {{ to = "main bus", length = "1.5 m" }}
"""
    return f"""# A nightbus system file. Numbers may carry a unit: "12 ft", "18 AWG", "1.5 mm2".
# Every field: nightbus fields     Problems in this file: nightbus check     Plan: nightbus plan
nightbus = 1
title = {_quoted(title)}{title_mark}

[site]
name = "Where it stands"
latitude = "{latitude:g} deg"{place_mark}
longitude = "{longitude:g} deg"{place_mark}
time_zone = "UTC"                # IANA name, such as "Europe/Stockholm", for schedules
temp_cold = "2 °C"               # coldest and hottest air around bank and gear
temp_hot = "40 °C"
# peak_sun_hours = [1, 2, 3, 4, 5, 5, 5, 4, 3, 2, 1, 1]   # kWh/m² a day, January first, from a
#                                  solar atlas of the place; left out, every day is taken as clear

[rules]
sizes = "{size}"                    # sizes to choose from: see `nightbus tables`
drop_critical = "3 %"
drop_general = "10 %"

# --- the battery ----------------------------------------------------------------------------------

[[bank]]
name = "bank"
chemistry = "{chemistry}"{chemistry_mark}
voltage = "{voltage:g} V"{bank_mark}
capacity = "{capacity:g} Ah"          # one string

# --- where circuits join --------------------------------------------------------------------------

[[bus]]
name = "main bus"

[[run]]                          # no size and no fuse are given: the plan chooses both
name = "bank lead"
from = "bank"
to = "main bus"
length = "0.8 m"                 # one way

# --- the gear: put yours here. `feed` is the cable that leads to it -------------------------------

[[load]]
name = "router"
typical = "10 W"
peak = "18 W"
window = "9 V to 36 V"           # input voltage that it accepts: look at its label
feed = {{ from = "main bus", length = "2 m" }}

[[load]]
name = "switch"
typical = "8 W"
peak = "12 W"
window = "9 V to 32 V"
feed = {{ from = "main bus", length = "2 m" }}

# [[load]]
# name = "camera recorder"
# typical = "15 W"
# schedule = ["06:30-22:00"]     # local time; left out: always
# feed = {{ from = "main bus", length = "3 m", size = "16 AWG", fuse = "5 A" }}   # only checked
{array}"""
