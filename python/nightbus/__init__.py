"""DC power and wiring budgets for always-on network gear.

A few nouns and verbs::

    import nightbus as nb

    system = nb.read("hut.toml")              # or nb.System(...) built in code
    system.load("router").typical = "14 W"
    plan = nb.plan(system)                    # wiring, fuses, volts, night, sun, heat
    plan.verdict, plan.findings, plan.runs
    plan.report("report.html")

Every number may be a text with its unit; inside, everything is SI and the unit is the ending of
the name (``typical_w``, ``length_m``).
"""

try:
    from nightbus import _core
except ImportError as error:  # the compiled half is missing or was built for another Python
    raise ImportError(
        "nightbus is not built for this Python: run `pip install .` in its folder "
        f"(the compiler's word: {error})"
    ) from error

from nightbus._core import (
    Array,
    Bank,
    Bus,
    Case,
    Catalogue,
    Charger,
    Compartment,
    ConductorSize,
    Converter,
    Device,
    Dimension,
    EfficiencyPoint,
    Error,
    Fan,
    Finding,
    InputError,
    Load,
    LookupError,
    PoeLink,
    Price,
    Problem,
    Range,
    Rules,
    Run,
    Severity,
    Site,
    Span,
)
from nightbus.comparing import Comparison, compare
from nightbus.explaining import explain
from nightbus.explore import Explorer, explore
from nightbus.measuring import Measured, as_measured, read_readings
from nightbus.planning import Plan, plan
from nightbus.quantities import quantity, show
from nightbus.reading import check, loads, read, write
from nightbus.schema import field_reference, plan_schema, system_schema
from nightbus.simulating import hot_day, simulate
from nightbus.system import System
from nightbus.tables import catalogue
from nightbus.timeseries import tidy, time_series
from nightbus.weather import Weather, WeatherError, read_weather
from nightbus.whatif import Influences, scan, what_if, what_matters
from nightbus.years import Availability, availability, smallest_sizes, what_one_more_buys

__version__ = _core.__version__

__all__ = [
    "Array",
    "Availability",
    "Bank",
    "Bus",
    "Case",
    "Catalogue",
    "Charger",
    "Comparison",
    "Compartment",
    "ConductorSize",
    "Converter",
    "Device",
    "Dimension",
    "EfficiencyPoint",
    "Error",
    "Explorer",
    "Fan",
    "Finding",
    "Influences",
    "InputError",
    "Load",
    "LookupError",
    "Measured",
    "Plan",
    "PoeLink",
    "Price",
    "Problem",
    "Range",
    "Rules",
    "Run",
    "Severity",
    "Site",
    "Span",
    "System",
    "Weather",
    "WeatherError",
    "__version__",
    "as_measured",
    "availability",
    "catalogue",
    "check",
    "compare",
    "explain",
    "explore",
    "field_reference",
    "hot_day",
    "loads",
    "plan",
    "plan_schema",
    "quantity",
    "read",
    "read_readings",
    "read_weather",
    "scan",
    "show",
    "simulate",
    "smallest_sizes",
    "system_schema",
    "tidy",
    "time_series",
    "what_if",
    "what_matters",
    "what_one_more_buys",
    "write",
]


def __dir__() -> list[str]:
    return list(__all__)
