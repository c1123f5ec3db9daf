"""Pictures of a plan for notebooks and papers, made with Altair: ``chart.save("x.svg")`` works too.

Each function takes a plan and returns a chart that can be changed further. Nothing is fetched: in a
notebook they show as SVG, unless another of Altair's renderers was chosen.
Shape, dash and lightness carry the meaning, so the pictures read in grey and for colour-blind eyes;
``dark=True`` draws them for a dark page.
"""

from nightbus.charts.days import heat, hot_day, lock_outs, night
from nightbus.charts.energy import energy_flow, months
from nightbus.charts.fuses import time_current
from nightbus.charts.influence import what_matters
from nightbus.charts.style import DARK, LIGHT, Palette
from nightbus.charts.volts import voltage_ladder
from nightbus.charts.wiring import ampacity, copper_against_drop

__all__ = [
    "DARK",
    "LIGHT",
    "Palette",
    "ampacity",
    "copper_against_drop",
    "energy_flow",
    "heat",
    "hot_day",
    "lock_outs",
    "months",
    "night",
    "time_current",
    "voltage_ladder",
    "what_matters",
]
