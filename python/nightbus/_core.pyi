# Made by tests/python/test_stubs.py; do not edit.
# ruff: noqa
"""
The compiled half of nightbus; use the names in nightbus itself.
"""
from __future__ import annotations
import builtins
import collections.abc
import enum
import numpy
import numpy.typing
import os
import typing
__all__: list[str] = ['Ampacity', 'Array', 'Assumption', 'AutonomyReport', 'AvailabilityReport', 'Balance', 'Bank', 'BankInputs', 'BankRecord', 'BankResult', 'Batch', 'BatchResult', 'BatteryChemistry', 'Bus', 'Candidate', 'Case', 'CaseInputs', 'CaseMargins', 'CaseResult', 'Catalogue', 'Change', 'ChangeOf', 'ChangeSet', 'Charger', 'ChargerResult', 'Circuit', 'CircuitBuilder', 'Citation', 'ClearSkyModel', 'Comparison', 'Compartment', 'CompartmentCase', 'CompartmentPlan', 'Conductor', 'ConductorFamily', 'ConductorSize', 'Converter', 'ConverterResult', 'ConverterTopology', 'Device', 'DeviceKind', 'DeviceNeed', 'Dimension', 'EfficiencyPoint', 'EndVolts', 'EnergyPlan', 'EnergyShare', 'Error', 'Fan', 'Figure', 'FigureChange', 'Finding', 'FindingChange', 'FindingKind', 'HeatPlan', 'HeatSources', 'IncidenceModel', 'Influence', 'InputError', 'Installation', 'InterruptRating', 'Load', 'LoadRecord', 'LoadResult', 'LookupError', 'MarginPoint', 'MeasuredData', 'MeasuredExplanation', 'MonthPlan', 'MonthlyAir', 'NetworkMargins', 'NetworkPoint', 'NextReading', 'NightReport', 'OpeningPoint', 'Optimality', 'Outcome', 'OvercurrentForm', 'ParameterKind', 'Pedigree', 'PlanData', 'PlanVerdict', 'PoeLink', 'PoeResult', 'Price', 'Problem', 'QuantityKind', 'Range', 'Reading', 'RuleSet', 'RuleUse', 'Rules', 'Run', 'RunPlan', 'RunResult', 'Severity', 'SimulationData', 'SimulationEvent', 'SimulationModel', 'Site', 'SizeSystem', 'SizeUp', 'SkyModel', 'SolveStatus', 'Span', 'SunTimes', 'Suspect', 'SystemData', 'Table', 'TableValue', 'TradeOffPoint', 'Verdict', 'WiringPlan', 'air_density_kg_per_m3', 'air_pressure_ratio', 'airflow_m3s', 'as_measured', 'battery_days', 'capacitor_life_h', 'check_run', 'check_system', 'clear_sky', 'compare', 'comparison_json', 'damage_line', 'default_cases', 'describe_simulation', 'dimension_name', 'diode_current_a', 'diode_points', 'erbs', 'examine_system', 'extraterrestrial_wm2', 'faiman_cell_c', 'field_reference', 'field_table', 'figure_name', 'finding_kind', 'finding_kinds', 'incidence_modifier', 'inside_unit', 'json_schema', 'loads_readings', 'loads_system', 'make_plan', 'measured_json', 'monthly_air', 'near_misses', 'number_paths', 'persistent_clearness', 'plain_year', 'plain_years', 'plan_json', 'plane_irradiance', 'print_quantity', 'print_range', 'quantity', 'range', 'read_readings', 'read_system', 'relative_air_mass', 'render', 'show_quantity', 'simple_power_w', 'status_sentence', 'sun_positions', 'sun_times', 'temperature_rise_k', 'unit_spellings', 'what_if', 'what_matters', 'widest_lanes', 'worst', 'write_system']
class Error(Exception):
    """
    Base of everything nightbus raises.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> try:
    ...     nb.read("nowhere.toml")
    ... except nb.Error as error:
    ...     print(type(error).__name__)
    Error
    """
class InputError(Error, ValueError):
    """
    Input that cannot be used; `problems` holds every one found.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> try:
    ...     nb.Load(name="router", typical="12 V")
    ... except nb.InputError as error:
    ...     print(error.problems[0].seen)
    "12 V" is a voltage
    """
    problems: typing.ClassVar[tuple[typing.Any, ...]] = tuple[typing.Any, ...]()
class Span:
    """
    Where a thing was written; lines and columns count from 1.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.read("post.toml").load("door camera").where.place
    'post.toml:36:8'
    """
    def __bool__(self) -> bool:
        ...
    def __copy__(self) -> Span:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Span:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def __str__(self) -> str:
        ...
    @property
    def column(self) -> int:
        """
        First column.
        """
    @property
    def end_column(self) -> int:
        """
        Column behind the end.
        """
    @property
    def end_line(self) -> int:
        """
        Last line.
        """
    @property
    def file(self) -> str:
        """
        Name of the file or text; empty when made in code.
        """
    @property
    def known(self) -> bool:
        """
        False when it was made in code.
        """
    @property
    def line(self) -> int:
        """
        First line.
        """
    @property
    def place(self) -> str:
        """
        "hut.toml:12:9".
        """
    @property
    def text(self) -> str:
        """
        The whole line.
        """
class Problem:
    """
    One thing wrong with the input.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> try:
    ...     nb.loads("nightbus = 1\\ntitel = 'hut'", "hut.toml")
    ... except nb.InputError as error:
    ...     print([one.where.place for one in error.problems if one.code == "unknown-key"])
    ['hut.toml:2:1']
    """
    def __copy__(self) -> Problem:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Problem:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def __str__(self) -> str:
        ...
    @property
    def code(self) -> str:
        """
        Stable name, such as "unknown-key".
        """
    @property
    def expected(self) -> str:
        """
        May be empty.
        """
    @property
    def mend(self) -> str:
        """
        How to put it right; may be empty.
        """
    @property
    def other(self) -> Span:
        """
        Second place of a duplicate or conflict.
        """
    @property
    def other_label(self) -> str:
        """
        What the second place is.
        """
    @property
    def seen(self) -> str:
        """
        May be empty.
        """
    @property
    def what(self) -> str:
        """
        One line.
        """
    @property
    def where(self) -> Span:
        """
        Where it stands.
        """
class Dimension(enum.Enum):
    """
    Each dimension has exactly one inside unit.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.quantity("98 °F", nb.Dimension.temperature) == nb.quantity("98 °F", "temperature")
    True
    """
    air_flow = ...
    angle = ...
    area = ...
    capacitance = ...
    charge = ...
    current = ...
    energy = ...
    heat_capacity = ...
    heat_transmittance = ...
    inductance = ...
    insolation = ...
    irradiance = ...
    length = ...
    mass = ...
    melting_integral = ...
    number = ...
    power = ...
    pressure = ...
    ratio = ...
    ratio_per_kelvin = ...
    ratio_per_time = ...
    resistance = ...
    resistance_per_length = ...
    speed = ...
    surface = ...
    temperature = ...
    temperature_difference = ...
    thermal_conductance = ...
    time = ...
    voltage = ...
    voltage_per_kelvin = ...
    volume = ...
class SizeSystem(enum.Enum):
    """
    How conductor sizes are named; the systems are distinct.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.ConductorSize("12 AWG").system.name
    'awg'
    """
    awg = ...
    kcmil = ...
    metric = ...
    sae = ...
class Range:
    """
    Two ends of a window, in the dimension's inside unit.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> window = nb.Load(name="router", typical="12 W", window="9 V to 36 V").window_v
    >>> window, 12.0 in window
    (Range(9.0, 36.0), True)
    """
    def __contains__(self, arg0: typing.SupportsFloat | typing.SupportsIndex) -> bool:
        ...
    def __copy__(self) -> Range:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Range:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __init__(self, low: typing.SupportsFloat | typing.SupportsIndex, high: typing.SupportsFloat | typing.SupportsIndex) -> None:
        ...
    def __iter__(self) -> collections.abc.Iterator[typing.Any]:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def high(self) -> float:
        """
        Upper end.
        """
    @property
    def low(self) -> float:
        """
        Lower end.
        """
class ConductorSize:
    """
    A trade size: "18 AWG", "4/0 AWG", "2.5 mm2", "12 SAE".
    
    Examples
    --------
    >>> import nightbus as nb
    >>> round(nb.ConductorSize("12 AWG").area_mm2, 2)
    3.31
    >>> nb.ConductorSize("2.5 mm2") == "2.5 mm2"
    True
    """
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[str]:
        ...
    def __hash__(self) -> int:
        ...
    @typing.overload
    def __init__(self, text: str) -> None:
        ...
    @typing.overload
    def __init__(self, system: SizeSystem, number: typing.SupportsFloat | typing.SupportsIndex) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def __str__(self) -> str:
        ...
    @property
    def area_mm2(self) -> float:
        """
        Geometric area, mm².
        """
    @property
    def number(self) -> float:
        """
        mm² label, gauge (1/0 is 0, 4/0 is -3) or kcmil.
        """
    @property
    def system(self) -> SizeSystem:
        """
        How it is named: metric, AWG, SAE or kcmil.
        """
class Severity(enum.Enum):
    """
    Worst first.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> [one.name for one in nb.Severity]
    ['danger', 'warning', 'notice', 'passed']
    """
    danger = ...
    notice = ...
    passed = ...
    warning = ...
class FindingKind:
    """
    The words of one finding code.
    """
    def __copy__(self) -> FindingKind:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[str]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def aspect(self) -> str:
        """
        What is checked.
        """
    @property
    def code(self) -> str:
        ...
    @property
    def help(self) -> str:
        ...
    @property
    def mend(self) -> str:
        ...
    @property
    def sentence(self) -> str:
        ...
    @property
    def severity(self) -> Severity:
        """
        When the check fails.
        """
    @property
    def title(self) -> str:
        ...
class Finding:
    """
    One checked statement, as data.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> finding = nb.plan("post.toml").finding_list[0]
    >>> finding.severity.name, finding.code, finding.where.place
    ('notice', 'assumed-choice', 'post.toml:13:8')
    """
    def __copy__(self) -> Finding:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Finding:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def __str__(self) -> str:
        ...
    @property
    def advice(self) -> str:
        """
        What to do about it.
        """
    @property
    def case_name(self) -> str:
        """
        Governing case; empty when none.
        """
    @property
    def code(self) -> str:
        """
        Stable name of its kind.
        """
    @property
    def detail(self) -> str:
        """
        How the value came about; may be empty.
        """
    @property
    def dimension(self) -> Dimension:
        """
        Of value and limit.
        """
    @property
    def help(self) -> str:
        """
        Why it matters.
        """
    @property
    def limit(self) -> float | None:
        """
        In the inside unit; None: nothing to compare.
        """
    @property
    def rule(self) -> str:
        """
        The row it rests on; empty when none.
        """
    @property
    def sentence(self) -> str:
        """
        What, in one line.
        """
    @property
    def severity(self) -> Severity:
        """
        How bad it is.
        """
    @property
    def subject(self) -> str:
        """
        Name of what it is about.
        """
    @property
    def subject_kind(self) -> str:
        """
        "run", "load", "bank" …
        """
    @property
    def title(self) -> str:
        """
        Its kind in a few words.
        """
    @property
    def value(self) -> float | None:
        """
        In the inside unit; None: nothing to compare.
        """
    @property
    def where(self) -> Span:
        """
        The subject's line in the system file.
        """
class Pedigree:
    """
    What a table is, and what it is not good for.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.catalogue().table("NEC/terminals").pedigree.confidence
    'seen in a copy of the document named'
    """
    def __copy__(self) -> Pedigree:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Pedigree:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def cite(self) -> str:
        """
        Standard, edition and table in one line.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.catalogue().table("NEC/terminals").pedigree.cite()
        'NFPA 70 (2023) 110.14(C)(1)'
        """
    @property
    def built_in(self) -> bool:
        """
        False for a table of your own.
        """
    @property
    def columns(self) -> list[str]:
        """
        Headings.
        """
    @property
    def confidence(self) -> str:
        """
        How sure we are, in words.
        """
    @property
    def date(self) -> str:
        """
        When they were typed, ISO 8601.
        """
    @property
    def edition(self) -> str:
        """
        Year or issue; may be empty.
        """
    @property
    def fallback(self) -> str:
        """
        What is done where the table is silent.
        """
    @property
    def holds(self) -> str:
        """
        What the program does with it: "ampacity", "ambient", "ratings" …
        """
    @property
    def id(self) -> str:
        """
        Unique, such as "33 CFR 183/allowable amperage".
        """
    @property
    def limits(self) -> str:
        """
        What it must not be taken for.
        """
    @property
    def owner(self) -> str:
        """
        Rule set, form or family that it belongs to.
        """
    @property
    def purpose(self) -> str:
        """
        What it is for, in words.
        """
    @property
    def source(self) -> str:
        """
        How the numbers came here.
        """
    @property
    def standard(self) -> str:
        """
        "33 CFR 183.425", or "common practice, no source".
        """
    @property
    def table(self) -> str:
        """
        "Table 5"; may be empty.
        """
    @property
    def units(self) -> list[str]:
        """
        One for each column; empty for words.
        """
class Table:
    """
    A table as it was written, with its pedigree.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.catalogue().table("NEC/terminals").rows
    [['100', '60'], ['-', '75']]
    """
    def __copy__(self) -> Table:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Table:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def pedigree(self) -> Pedigree:
        """
        What it is and where it comes from.
        """
    @property
    def rows(self) -> list[list[str]]:
        """
        As written: one tuple[typing.Any, ...] of texts and numbers for each row.
        """
class Citation:
    """
    One row of one table.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> amperes = nb.catalogue().rule_set("NEC").ampacity(nb.ConductorSize("12 AWG"), 90.0)
    >>> print(amperes.source)
    NFPA 70 (2023) Table 310.16, 12 AWG
    """
    def __copy__(self) -> Citation:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Citation:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def __str__(self) -> str:
        ...
    @property
    def confidence(self) -> str:
        """
        How sure we are, in words.
        """
    @property
    def note(self) -> str:
        """
        How the row was chosen when it is not the plain match; its own remark.
        """
    @property
    def pedigree(self) -> Pedigree:
        """
        Of the table.
        """
    @property
    def row(self) -> str:
        """
        "12 AWG"; may be empty.
        """
class TableValue:
    """
    A number and where it comes from.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.catalogue().rule_set("NEC").next_standard_rating(22.0)
    <TableValue 25.0: NFPA 70 (2023) 240.6(A), 25 A>
    """
    def __copy__(self) -> TableValue:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> TableValue:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def source(self) -> Citation:
        """
        The row it was read from.
        """
    @property
    def value(self) -> float:
        """
        In the inside unit of the table.
        """
class Installation(enum.Enum):
    """
    How a conductor loses its heat, coolest first.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> rules = nb.catalogue().rule_set("NEC")
    >>> rules.ampacity(nb.ConductorSize("12 AWG"), 90.0).installation.name
    'conduit'
    """
    clipped = ...
    conduit = ...
    free_air = ...
    insulation = ...
    tray = ...
class Ampacity:
    """
    Amperes of a table, before corrections.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> amperes = nb.catalogue().rule_set("NEC").ampacity(nb.ConductorSize("12 AWG"), 90.0)
    >>> amperes.value, amperes.installation.name
    (30.0, 'conduit')
    """
    def __copy__(self) -> Ampacity:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Ampacity:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def base_ambient_c(self) -> float:
        """
        Air that the table stands for. [°C]
        """
    @property
    def caution(self) -> str:
        """
        Where the rules allow it but it is known to be generous; may be empty.
        """
    @property
    def column_c(self) -> float:
        """
        Insulation column that was read; correct with this one. [°C]
        """
    @property
    def installation(self) -> Installation:
        """
        What the table stands for.
        """
    @property
    def source(self) -> Citation:
        """
        The row it was read from.
        """
    @property
    def value(self) -> float:
        """
        Before corrections. [A]
        """
class RuleSet:
    """
    A published body of ampacity, correction, drop and protection rules.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> rules = nb.catalogue().rule_set("NEC")
    >>> rules.aliases, rules.standard_ratings_a[:3]
    (['NFPA 70'], [10.0, 15.0, 20.0])
    """
    def __copy__(self) -> RuleSet:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[typing.Any, ...]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def ambient_factor(self, ambient_c: float | str, column_c: float | str, cold_credit: bool = False) -> TableValue | None:
        """
        Correction for the air; 0 at the column's limit.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> rules = nb.catalogue().rule_set("NEC")
        >>> rules.ambient_factor(ambient_c=50.0, column_c=75.0).value
        0.75
        """
    def ampacity(self, size: ConductorSize, insulation_c: float | str, installation: Installation = Installation.conduit) -> Ampacity | None:
        """
        Amperes before corrections; None where the rules are silent.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> rules = nb.catalogue().rule_set("NEC")
        >>> rules.ampacity(nb.ConductorSize("12 AWG"), insulation_c=90.0).value
        30.0
        """
    def grouping_factor(self, conductors: typing.SupportsInt | typing.SupportsIndex, bus_voltage_v: float | str = 12.0) -> TableValue | None:
        """
        Correction for current-carrying conductors that lie together.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> rules = nb.catalogue().rule_set("NEC")
        >>> rules.grouping_factor(conductors=6).value
        0.8
        """
    def listed_sizes(self, material: str = 'copper') -> list[ConductorSize]:
        """
        All sizes a table lists, thinnest first.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> rules = nb.catalogue().rule_set("NEC")
        >>> [str(size) for size in rules.listed_sizes("copper")[:2]]
        ['18 AWG', '16 AWG']
        """
    def next_standard_rating(self, current_a: float | str) -> TableValue | None:
        """
        The next rating of the rules' own list[typing.Any].
        
        Examples
        --------
        >>> import nightbus as nb
        >>> rules = nb.catalogue().rule_set("NEC")
        >>> rules.next_standard_rating(22.0).value
        25.0
        """
    @property
    def aliases(self) -> list[str]:
        """
        Other spellings that are read.
        """
    @property
    def limits(self) -> str:
        """
        What it does not cover; not a permit.
        """
    @property
    def name(self) -> str:
        """
        As a system file names it.
        """
    @property
    def purpose(self) -> str:
        """
        What it was written for.
        """
    @property
    def standard_ratings_a(self) -> list[float]:
        """
        Ratings of devices that it lists, ascending. [A]
        """
    @property
    def tables(self) -> list[Pedigree]:
        """
        Pedigrees of the tables that it is made of.
        """
class Conductor:
    """
    One size as it is made.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> wire = nb.catalogue().conductor(nb.ConductorSize("2.5 mm2"))
    >>> wire.material, wire.resistance_ohm_per_m
    ('copper', 0.00798)
    """
    def __copy__(self) -> Conductor:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Conductor:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def area_mm2(self) -> float:
        """
        Of metal; for metric sizes the nominal label. [mm²]
        """
    @property
    def mass_kg_per_m(self) -> float:
        """
        Of metal. [kg/m]
        """
    @property
    def material(self) -> str:
        """
        "copper", "aluminium" …
        """
    @property
    def resistance_ohm_per_m(self) -> float:
        """
        One conductor, direct current, 20 °C; a maximum where the standard sets one. [Ω/m]
        """
    @property
    def size(self) -> ConductorSize:
        """
        Its label.
        """
    @property
    def source(self) -> Citation:
        """
        The row it was read from.
        """
    @property
    def strands(self) -> int:
        """
        0: not stated.
        """
class ConductorFamily:
    """
    One way of naming and making conductors.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> families = {one.name: one for one in nb.catalogue().conductor_families}
    >>> families["AWG"].material, families["AWG"].usual
    ('copper', True)
    """
    def __copy__(self) -> ConductorFamily:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> ConductorFamily:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def conductors(self) -> list[Conductor]:
        """
        Thinnest first.
        """
    @property
    def construction(self) -> str:
        """
        "stranded", "class 5, plain" …
        """
    @property
    def material(self) -> str:
        """
        "copper", "aluminium" …
        """
    @property
    def name(self) -> str:
        """
        "AWG", "IEC 60228" …
        """
    @property
    def system(self) -> SizeSystem:
        """
        How its sizes are labelled.
        """
    @property
    def usual(self) -> bool:
        """
        Taken for a size of its system when no family is named.
        """
class InterruptRating:
    """
    Breaks so much DC at that voltage.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.catalogue().overcurrent_form("mini blade").interrupt_at(14.6).current_a
    1000.0
    """
    def __copy__(self) -> InterruptRating:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> InterruptRating:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def current_a(self) -> float:
        """
        Largest current it can break. [A]
        """
    @property
    def source(self) -> Citation:
        """
        The row it was read from.
        """
    @property
    def voltage_v(self) -> float:
        """
        Largest direct voltage it holds for. [V]
        """
class OpeningPoint:
    """
    Opening time at a share of the rating.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> band = nb.catalogue().overcurrent_form("mini blade").opening_of(10.0)
    >>> band[0].ratio < band[1].ratio
    True
    """
    def __copy__(self) -> OpeningPoint:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> OpeningPoint:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def least_s(self) -> float | None:
        """
        Carries at least so long. [s]
        """
    @property
    def most_s(self) -> float | None:
        """
        Has opened by then; None: not told. [s]
        """
    @property
    def ratio(self) -> float:
        """
        Current over rating.
        """
class OvercurrentForm:
    """
    One form of fuse or breaker.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> form = nb.catalogue().overcurrent_form("mini blade")
    >>> form.kind, form.ratings_a[:3]
    ('fuse', [2.0, 3.0, 4.0])
    """
    def __copy__(self) -> OvercurrentForm:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> OvercurrentForm:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def interrupt_at(self, highest_bus_v: float | str) -> InterruptRating | None:
        """
        What it can break on a bus of that highest voltage; None: not on such a bus.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> form = nb.catalogue().overcurrent_form("mini blade")
        >>> form.interrupt_at(14.6).current_a, form.interrupt_at(58.4)
        (1000.0, None)
        """
    def opening_of(self, rating_a: float | str) -> list[OpeningPoint]:
        """
        Its time-current band at a rating; empty when none is published.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> form = nb.catalogue().overcurrent_form("mini blade")
        >>> [point.ratio for point in form.opening_of(10.0)][:2]
        [1.1, 1.35]
        """
    @property
    def fits(self) -> str:
        """
        What it mounts on.
        """
    @property
    def interrupts(self) -> list[InterruptRating]:
        """
        Ascending voltage.
        """
    @property
    def kind(self) -> str:
        """
        "fuse" or "breaker".
        """
    @property
    def letter(self) -> str:
        """
        "F", "C", "SF 30" …; may be empty.
        """
    @property
    def name(self) -> str:
        """
        As a system file names it.
        """
    @property
    def purpose(self) -> str:
        """
        What it is for, in words.
        """
    @property
    def ratings_a(self) -> list[float]:
        """
        Ascending. [A]
        """
class BatteryChemistry:
    """
    A battery chemistry.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.catalogue().chemistry("LFP").nominal_cell_v
    3.2
    """
    def __copy__(self) -> BatteryChemistry:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> BatteryChemistry:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def aliases(self) -> list[str]:
        """
        Other spellings that are read.
        """
    @property
    def cells_per_12v(self) -> int:
        """
        In series, for a 12 V bank.
        """
    @property
    def name(self) -> str:
        """
        "LFP", "flooded", "AGM", "gel".
        """
    @property
    def nominal_cell_v(self) -> float:
        """
        Of one cell. [V]
        """
    @property
    def purpose(self) -> str:
        """
        What it stands for.
        """
class Catalogue:
    """
    Standards as data: every table, each value with its pedigree.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> [one.name for one in nb.catalogue().chemistries]
    ['AGM', 'flooded', 'gel', 'LFP']
    """
    def __copy__(self) -> Catalogue:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[typing.Any, ...]:
        ...
    def __hash__(self) -> int:
        ...
    def __init__(self) -> None:
        """
        The built-in tables.
        """
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def chemistry(self, name: str) -> BatteryChemistry:
        """
        One chemistry by its name or another spelling. Raises LookupError with near misses.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.catalogue().chemistry("LiFePO4")
        <BatteryChemistry LFP>
        """
    def conductor(self, size: ConductorSize, family: str = '') -> Conductor:
        """
        One conductor of a family; the usual family of its system when none is named. Raises LookupError with near misses.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> round(nb.catalogue().conductor(nb.ConductorSize("12 AWG")).area_mm2, 2)
        3.31
        """
    def overcurrent_form(self, name: str) -> OvercurrentForm:
        """
        One form of fuse or breaker by its name. Raises LookupError with near misses.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.catalogue().overcurrent_form("class T").kind
        'fuse'
        """
    def rule_set(self, name: str) -> RuleSet:
        """
        One rule set by its name or another spelling. Raises LookupError with near misses.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.catalogue().rule_set("NECC")
        Traceback (most recent call last):
            ...
        nightbus._core.LookupError: no rule set is named "NECC"; did you mean: NEC
        """
    def table(self, id: str) -> Table:
        """
        One table by its id. Raises LookupError with near misses.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.catalogue().table("Heat/fans").pedigree.owner
        'Heat'
        """
    def with_tables(self, toml_text: str, name: str = 'tables.toml') -> Catalogue:
        """
        This catalogue and the tables of a text in the same format.
        
        Raises InputError with every problem of the text.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Catalogue().with_tables("[[table]]", "mine.toml")
        Traceback (most recent call last):
            ...
        nightbus._core.InputError: ...
        """
    @property
    def chemistries(self) -> list[BatteryChemistry]:
        """
        Every battery chemistry.
        """
    @property
    def conductor_families(self) -> list[ConductorFamily]:
        """
        Every family of conductors.
        """
    @property
    def overcurrent_forms(self) -> list[OvercurrentForm]:
        """
        Every form of fuse and breaker.
        """
    @property
    def rule_sets(self) -> list[RuleSet]:
        """
        Every rule set.
        """
    @property
    def tables(self) -> list[Table]:
        """
        Every table as it was written.
        """
class EfficiencyPoint:
    """
    Share of rated output, and the efficiency there.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> shelf = nb.Converter(name="shelf", output="5 V", power="20 W", efficiency=[(0.5, "91 %")])
    >>> shelf.efficiency[0]
    EfficiencyPoint(0.5, 0.91)
    """
    def __copy__(self) -> EfficiencyPoint:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> EfficiencyPoint:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __init__(self, share: float | str, efficiency: float | str) -> None:
        ...
    def __iter__(self) -> collections.abc.Iterator[typing.Any]:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def efficiency(self) -> float:
        """
        Output over input there, 0 to 1.
        """
    @property
    def share(self) -> float:
        """
        Of rated output, 0 to 1.
        """
class Site:
    """
    Where the system stands: sun, temperatures and local time follow from it.
    
    Parameters
    ----------
    name : str, default ''
        What the place is called.
    latitude, latitude_deg : float
        North positive. [°]
    longitude, longitude_deg : float
        East positive. [°]
    elevation, elevation_m : float, default '0 m'
        Height above the sea. [m]
    time_zone : str, default 'UTC'
        IANA name, such as "Europe/Stockholm".
    temp_cold, temp_cold_c : float, default '-10 °C'
        Coldest air the system must work in. [°C]
    temp_mild, temp_mild_c : float, default '20 °C'
        Ordinary air. [°C]
    temp_hot, temp_hot_c : float, default '40 °C'
        Hottest air in the shade. [°C]
    peak_sun_hours, peak_sun_hours_wh_per_m2 : tuple[float, ...], default ()
        Sun on the horizontal by month, January first; a plain number is hours at 1000 W/m². [h]
    clearness : tuple[float, ...], default ()
        Share of a clear sky by month, January first; used without peak_sun_hours. [1]
    albedo : float, default '20 %'
        Share of light that the ground gives back. [1]
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Site(latitude="47.1 deg", longitude="11.3 deg")
    >>> one.latitude_deg
    47.1
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'site'
    def __copy__(self) -> Site:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Site:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, latitude: float | str | None = None, latitude_deg: float | str | None = None, longitude: float | str | None = None, longitude_deg: float | str | None = None, name: str | None = None, elevation: float | str | None = None, elevation_m: float | str | None = None, time_zone: str | None = None, temp_cold: float | str | None = None, temp_cold_c: float | str | None = None, temp_mild: float | str | None = None, temp_mild_c: float | str | None = None, temp_hot: float | str | None = None, temp_hot_c: float | str | None = None, peak_sun_hours: collections.abc.Iterable[float | str] | None = None, peak_sun_hours_wh_per_m2: collections.abc.Iterable[float | str] | None = None, clearness: collections.abc.Iterable[float | str] | None = None, albedo: float | str | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Site(latitude="47.1 deg", longitude="11.3 deg").assumed()["elevation"]
        '0 m'
        """
    def replace(self, *, latitude: float | str | None = None, latitude_deg: float | str | None = None, longitude: float | str | None = None, longitude_deg: float | str | None = None, name: str | None = None, elevation: float | str | None = None, elevation_m: float | str | None = None, time_zone: str | None = None, temp_cold: float | str | None = None, temp_cold_c: float | str | None = None, temp_mild: float | str | None = None, temp_mild_c: float | str | None = None, temp_hot: float | str | None = None, temp_hot_c: float | str | None = None, peak_sun_hours: collections.abc.Iterable[float | str] | None = None, peak_sun_hours_wh_per_m2: collections.abc.Iterable[float | str] | None = None, clearness: collections.abc.Iterable[float | str] | None = None, albedo: float | str | None = None) -> Site:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Site(latitude="47.1 deg", longitude="11.3 deg").replace(latitude="48 deg").latitude_deg
        48.0
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Site(latitude="47.1 deg", longitude="11.3 deg").stated())
        ['latitude', 'longitude']
        """
    @property
    def albedo(self) -> float:
        """
        Share of light that the ground gives back. [1]
        """
    @albedo.setter
    def albedo(self, value: float | str | None) -> None:
        ...
    @property
    def clearness(self) -> tuple[float, ...]:
        """
        Share of a clear sky by month, January first; used without peak_sun_hours. [1]
        """
    @clearness.setter
    def clearness(self, value: collections.abc.Iterable[float | str] | None) -> None:
        ...
    @property
    def elevation(self) -> str:
        """
        Height above the sea. [m]
        """
    @elevation.setter
    def elevation(self, value: float | str | None) -> None:
        ...
    @property
    def elevation_m(self) -> float:
        """
        Height above the sea. [m]
        """
    @elevation_m.setter
    def elevation_m(self, value: float | str | None) -> None:
        ...
    @property
    def latitude(self) -> str:
        """
        North positive. [°]
        """
    @latitude.setter
    def latitude(self, value: float | str) -> None:
        ...
    @property
    def latitude_deg(self) -> float:
        """
        North positive. [°]
        """
    @latitude_deg.setter
    def latitude_deg(self, value: float | str) -> None:
        ...
    @property
    def longitude(self) -> str:
        """
        East positive. [°]
        """
    @longitude.setter
    def longitude(self, value: float | str) -> None:
        ...
    @property
    def longitude_deg(self) -> float:
        """
        East positive. [°]
        """
    @longitude_deg.setter
    def longitude_deg(self, value: float | str) -> None:
        ...
    @property
    def name(self) -> str:
        """
        What the place is called.
        """
    @name.setter
    def name(self, value: str | None) -> None:
        ...
    @property
    def peak_sun_hours(self) -> tuple[str, ...]:
        """
        Sun on the horizontal by month, January first; a plain number is hours at 1000 W/m². [h]
        """
    @peak_sun_hours.setter
    def peak_sun_hours(self, value: collections.abc.Iterable[float | str] | None) -> None:
        ...
    @property
    def peak_sun_hours_wh_per_m2(self) -> tuple[float, ...]:
        """
        Sun on the horizontal by month, January first; a plain number is hours at 1000 W/m². [h]
        """
    @peak_sun_hours_wh_per_m2.setter
    def peak_sun_hours_wh_per_m2(self, value: collections.abc.Iterable[float | str] | None) -> None:
        ...
    @property
    def temp_cold(self) -> str:
        """
        Coldest air the system must work in. [°C]
        """
    @temp_cold.setter
    def temp_cold(self, value: float | str | None) -> None:
        ...
    @property
    def temp_cold_c(self) -> float:
        """
        Coldest air the system must work in. [°C]
        """
    @temp_cold_c.setter
    def temp_cold_c(self, value: float | str | None) -> None:
        ...
    @property
    def temp_hot(self) -> str:
        """
        Hottest air in the shade. [°C]
        """
    @temp_hot.setter
    def temp_hot(self, value: float | str | None) -> None:
        ...
    @property
    def temp_hot_c(self) -> float:
        """
        Hottest air in the shade. [°C]
        """
    @temp_hot_c.setter
    def temp_hot_c(self, value: float | str | None) -> None:
        ...
    @property
    def temp_mild(self) -> str:
        """
        Ordinary air. [°C]
        """
    @temp_mild.setter
    def temp_mild(self, value: float | str | None) -> None:
        ...
    @property
    def temp_mild_c(self) -> float:
        """
        Ordinary air. [°C]
        """
    @temp_mild_c.setter
    def temp_mild_c(self, value: float | str | None) -> None:
        ...
    @property
    def time_zone(self) -> str:
        """
        IANA name, such as "Europe/Stockholm".
        """
    @time_zone.setter
    def time_zone(self, value: str | None) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
class Rules:
    """
    Which published rules govern, and the choices they leave open.
    
    Parameters
    ----------
    sets : tuple[str, ...], default ('33 CFR 183',)
        Rule sets of the catalogue; the strictest wins.
    sizes : str, default 'AWG'
        Conductor family to choose from.
    stock : tuple[ConductorSize, ...], default ()
        The only sizes that may be chosen; leave out for all.
    insulation, insulation_c : float, default '75 °C'
        Insulation class of runs that do not say. [°C]
    terminal, terminal_c : float, default '60 °C'
        Temperature that terminals are rated for. [°C]
    enclosed : bool, default True
        Runs lie in conduit, loom or duct, not in free air.
    drop_critical : float, default '3 %'
        Largest voltage drop to critical loads, and in the lead of a charger or array, of nominal voltage. [%]
    drop_general : float, default '10 %'
        The same for general loads. [%]
    continuous_factor : float, default '1.25'
        Rating of an overcurrent device over its continuous current.
    load_margin : float, default '0 %'
        Added to every load when wiring is sized: what you do not know about it. [%]
    fuse_forms : tuple[str, ...], default ()
        Overcurrent forms that may be chosen; leave out for all.
    objective : str, default 'copper'
        What the choice of sizes makes least: copper mass, cost, or different sizes. One of "copper", "cost", "sizes".
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Rules(drop_critical="2.5 %")
    >>> one.drop_critical
    0.025
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'rules'
    def __copy__(self) -> Rules:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Rules:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, sets: collections.abc.Iterable[str] | None = None, sizes: str | None = None, stock: collections.abc.Iterable[str | ConductorSize] | None = None, insulation: float | str | None = None, insulation_c: float | str | None = None, terminal: float | str | None = None, terminal_c: float | str | None = None, enclosed: bool | None = None, drop_critical: float | str | None = None, drop_general: float | str | None = None, continuous_factor: float | str | None = None, load_margin: float | str | None = None, fuse_forms: collections.abc.Iterable[str] | None = None, objective: str | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Rules(drop_critical="2.5 %").assumed()["sets"]
        ('33 CFR 183',)
        """
    def replace(self, *, sets: collections.abc.Iterable[str] | None = None, sizes: str | None = None, stock: collections.abc.Iterable[str | ConductorSize] | None = None, insulation: float | str | None = None, insulation_c: float | str | None = None, terminal: float | str | None = None, terminal_c: float | str | None = None, enclosed: bool | None = None, drop_critical: float | str | None = None, drop_general: float | str | None = None, continuous_factor: float | str | None = None, load_margin: float | str | None = None, fuse_forms: collections.abc.Iterable[str] | None = None, objective: str | None = None) -> Rules:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Rules(drop_critical="2.5 %").replace(drop_critical="4 %").drop_critical
        0.04
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Rules(drop_critical="2.5 %").stated())
        ['drop_critical']
        """
    @property
    def continuous_factor(self) -> float:
        """
        Rating of an overcurrent device over its continuous current.
        """
    @continuous_factor.setter
    def continuous_factor(self, value: float | str | None) -> None:
        ...
    @property
    def drop_critical(self) -> float:
        """
        Largest voltage drop to critical loads, and in the lead of a charger or array, of nominal voltage. [%]
        """
    @drop_critical.setter
    def drop_critical(self, value: float | str | None) -> None:
        ...
    @property
    def drop_general(self) -> float:
        """
        The same for general loads. [%]
        """
    @drop_general.setter
    def drop_general(self, value: float | str | None) -> None:
        ...
    @property
    def enclosed(self) -> bool:
        """
        Runs lie in conduit, loom or duct, not in free air.
        """
    @enclosed.setter
    def enclosed(self, value: bool | None) -> None:
        ...
    @property
    def fuse_forms(self) -> tuple[str, ...]:
        """
        Overcurrent forms that may be chosen; leave out for all.
        """
    @fuse_forms.setter
    def fuse_forms(self, value: collections.abc.Iterable[str] | None) -> None:
        ...
    @property
    def insulation(self) -> str:
        """
        Insulation class of runs that do not say. [°C]
        """
    @insulation.setter
    def insulation(self, value: float | str | None) -> None:
        ...
    @property
    def insulation_c(self) -> float:
        """
        Insulation class of runs that do not say. [°C]
        """
    @insulation_c.setter
    def insulation_c(self, value: float | str | None) -> None:
        ...
    @property
    def load_margin(self) -> float:
        """
        Added to every load when wiring is sized: what you do not know about it. [%]
        """
    @load_margin.setter
    def load_margin(self, value: float | str | None) -> None:
        ...
    @property
    def objective(self) -> str:
        """
        What the choice of sizes makes least: copper mass, cost, or different sizes. One of "copper", "cost", "sizes".
        """
    @objective.setter
    def objective(self, value: str | None) -> None:
        ...
    @property
    def sets(self) -> tuple[str, ...]:
        """
        Rule sets of the catalogue; the strictest wins.
        """
    @sets.setter
    def sets(self, value: collections.abc.Iterable[str] | None) -> None:
        ...
    @property
    def sizes(self) -> str:
        """
        Conductor family to choose from.
        """
    @sizes.setter
    def sizes(self, value: str | None) -> None:
        ...
    @property
    def stock(self) -> tuple[ConductorSize, ...]:
        """
        The only sizes that may be chosen; leave out for all.
        """
    @stock.setter
    def stock(self, value: collections.abc.Iterable[str | ConductorSize] | None) -> None:
        ...
    @property
    def terminal(self) -> str:
        """
        Temperature that terminals are rated for. [°C]
        """
    @terminal.setter
    def terminal(self, value: float | str | None) -> None:
        ...
    @property
    def terminal_c(self) -> float:
        """
        Temperature that terminals are rated for. [°C]
        """
    @terminal_c.setter
    def terminal_c(self, value: float | str | None) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
class Bank:
    """
    The battery.
    
    Parameters
    ----------
    name : str
        Name used by runs.
    note : str, default ''
        Anything worth keeping with it.
    chemistry : str
        Battery chemistry of the catalogue.
    voltage, nominal_v : float
        Nominal voltage: 12 or 24 V as a rule. [V]
    capacity, capacity_ah : float
        Rated capacity of one string. [Ah]
    strings : int, default 1
        Equal strings in parallel.
    resistance, resistance_ohm : float, optional
        Inner resistance of one string, links and switches included. [Ω]
    short_circuit, short_circuit_a : float, optional
        Short-circuit current stated for one string. [A]
    cold_cranking, cold_cranking_a : float, optional
        Cold cranking current stated for one string. [A]
    charge_low : float, default '20 %'
        State of charge that the case "low" means. [%]
    charge_rest : float, default '70 %'
        State of charge that the case "rest" means. [%]
    charge_start : float, default '100 %'
        State of charge at which a simulation starts. [%]
    reserve : float, default '20 %'
        Share of the charge that must stay in the bank. [%]
    ageing : float, default '80 %'
        Share of the capacity that is left at the end of its life. [%]
    disconnect, disconnect_v : float, optional
        Loads are cut off below this voltage. [V]
    reconnect, reconnect_v : float, optional
        Loads come back above this voltage. [V]
    absorption, absorption_v : float, optional
        Highest charging voltage; else the chemistry's. [V]
    float, float_v : float, optional
        Float voltage; else the chemistry's. [V]
    max_charge, max_charge_a : float, optional
        Charge current limit of one string. [A]
    max_discharge, max_discharge_a : float, optional
        Discharge current limit of one string. [A]
    standby, standby_a : float, default '0 A'
        Drawn all day by monitor and management system. [A]
    compartment : str, default ''
        Where it sits.
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="200 Ah")
    >>> one.capacity_ah
    200.0
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'bank'
    def __copy__(self) -> Bank:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Bank:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, name: str, chemistry: str, voltage: builtins.float | str | None = None, nominal_v: builtins.float | str | None = None, capacity: builtins.float | str | None = None, capacity_ah: builtins.float | str | None = None, note: str | None = None, strings: int | None = None, resistance: builtins.float | str | None = None, resistance_ohm: builtins.float | str | None = None, short_circuit: builtins.float | str | None = None, short_circuit_a: builtins.float | str | None = None, cold_cranking: builtins.float | str | None = None, cold_cranking_a: builtins.float | str | None = None, charge_low: builtins.float | str | None = None, charge_rest: builtins.float | str | None = None, charge_start: builtins.float | str | None = None, reserve: builtins.float | str | None = None, ageing: builtins.float | str | None = None, disconnect: builtins.float | str | None = None, disconnect_v: builtins.float | str | None = None, reconnect: builtins.float | str | None = None, reconnect_v: builtins.float | str | None = None, absorption: builtins.float | str | None = None, absorption_v: builtins.float | str | None = None, float: builtins.float | str | None = None, float_v: builtins.float | str | None = None, max_charge: builtins.float | str | None = None, max_charge_a: builtins.float | str | None = None, max_discharge: builtins.float | str | None = None, max_discharge_a: builtins.float | str | None = None, standby: builtins.float | str | None = None, standby_a: builtins.float | str | None = None, compartment: str | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="200 Ah").assumed()["charge_low"]
        '20 %'
        """
    def replace(self, *, name: str | None = None, chemistry: str | None = None, voltage: builtins.float | str | None = None, nominal_v: builtins.float | str | None = None, capacity: builtins.float | str | None = None, capacity_ah: builtins.float | str | None = None, note: str | None = None, strings: int | None = None, resistance: builtins.float | str | None = None, resistance_ohm: builtins.float | str | None = None, short_circuit: builtins.float | str | None = None, short_circuit_a: builtins.float | str | None = None, cold_cranking: builtins.float | str | None = None, cold_cranking_a: builtins.float | str | None = None, charge_low: builtins.float | str | None = None, charge_rest: builtins.float | str | None = None, charge_start: builtins.float | str | None = None, reserve: builtins.float | str | None = None, ageing: builtins.float | str | None = None, disconnect: builtins.float | str | None = None, disconnect_v: builtins.float | str | None = None, reconnect: builtins.float | str | None = None, reconnect_v: builtins.float | str | None = None, absorption: builtins.float | str | None = None, absorption_v: builtins.float | str | None = None, float: builtins.float | str | None = None, float_v: builtins.float | str | None = None, max_charge: builtins.float | str | None = None, max_charge_a: builtins.float | str | None = None, max_discharge: builtins.float | str | None = None, max_discharge_a: builtins.float | str | None = None, standby: builtins.float | str | None = None, standby_a: builtins.float | str | None = None, compartment: str | None = None) -> Bank:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="200 Ah").replace(capacity="280 Ah").capacity_ah
        280.0
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="200 Ah").stated())
        ['capacity', 'chemistry', 'name', 'voltage']
        """
    @property
    def absorption(self) -> str | None:
        """
        Highest charging voltage; else the chemistry's. [V]
        """
    @absorption.setter
    def absorption(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def absorption_v(self) -> builtins.float | None:
        """
        Highest charging voltage; else the chemistry's. [V]
        """
    @absorption_v.setter
    def absorption_v(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def ageing(self) -> builtins.float:
        """
        Share of the capacity that is left at the end of its life. [%]
        """
    @ageing.setter
    def ageing(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def capacity(self) -> str:
        """
        Rated capacity of one string. [Ah]
        """
    @capacity.setter
    def capacity(self, value: builtins.float | str) -> None:
        ...
    @property
    def capacity_ah(self) -> builtins.float:
        """
        Rated capacity of one string. [Ah]
        """
    @capacity_ah.setter
    def capacity_ah(self, value: builtins.float | str) -> None:
        ...
    @property
    def charge_low(self) -> builtins.float:
        """
        State of charge that the case "low" means. [%]
        """
    @charge_low.setter
    def charge_low(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def charge_rest(self) -> builtins.float:
        """
        State of charge that the case "rest" means. [%]
        """
    @charge_rest.setter
    def charge_rest(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def charge_start(self) -> builtins.float:
        """
        State of charge at which a simulation starts. [%]
        """
    @charge_start.setter
    def charge_start(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def chemistry(self) -> str:
        """
        Battery chemistry of the catalogue.
        """
    @chemistry.setter
    def chemistry(self, value: str) -> None:
        ...
    @property
    def cold_cranking(self) -> str | None:
        """
        Cold cranking current stated for one string. [A]
        """
    @cold_cranking.setter
    def cold_cranking(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def cold_cranking_a(self) -> builtins.float | None:
        """
        Cold cranking current stated for one string. [A]
        """
    @cold_cranking_a.setter
    def cold_cranking_a(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def compartment(self) -> str:
        """
        Where it sits.
        """
    @compartment.setter
    def compartment(self, value: str | None) -> None:
        ...
    @property
    def disconnect(self) -> str | None:
        """
        Loads are cut off below this voltage. [V]
        """
    @disconnect.setter
    def disconnect(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def disconnect_v(self) -> builtins.float | None:
        """
        Loads are cut off below this voltage. [V]
        """
    @disconnect_v.setter
    def disconnect_v(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def float(self) -> str | None:
        """
        Float voltage; else the chemistry's. [V]
        """
    @float.setter
    def float(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def float_v(self) -> builtins.float | None:
        """
        Float voltage; else the chemistry's. [V]
        """
    @float_v.setter
    def float_v(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def max_charge(self) -> str | None:
        """
        Charge current limit of one string. [A]
        """
    @max_charge.setter
    def max_charge(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def max_charge_a(self) -> builtins.float | None:
        """
        Charge current limit of one string. [A]
        """
    @max_charge_a.setter
    def max_charge_a(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def max_discharge(self) -> str | None:
        """
        Discharge current limit of one string. [A]
        """
    @max_discharge.setter
    def max_discharge(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def max_discharge_a(self) -> builtins.float | None:
        """
        Discharge current limit of one string. [A]
        """
    @max_discharge_a.setter
    def max_discharge_a(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def name(self) -> str:
        """
        Name used by runs.
        """
    @name.setter
    def name(self, value: str) -> None:
        ...
    @property
    def nominal_v(self) -> builtins.float:
        """
        Nominal voltage: 12 or 24 V as a rule. [V]
        """
    @nominal_v.setter
    def nominal_v(self, value: builtins.float | str) -> None:
        ...
    @property
    def note(self) -> str:
        """
        Anything worth keeping with it.
        """
    @note.setter
    def note(self, value: str | None) -> None:
        ...
    @property
    def reconnect(self) -> str | None:
        """
        Loads come back above this voltage. [V]
        """
    @reconnect.setter
    def reconnect(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def reconnect_v(self) -> builtins.float | None:
        """
        Loads come back above this voltage. [V]
        """
    @reconnect_v.setter
    def reconnect_v(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def reserve(self) -> builtins.float:
        """
        Share of the charge that must stay in the bank. [%]
        """
    @reserve.setter
    def reserve(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def resistance(self) -> str | None:
        """
        Inner resistance of one string, links and switches included. [Ω]
        """
    @resistance.setter
    def resistance(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def resistance_ohm(self) -> builtins.float | None:
        """
        Inner resistance of one string, links and switches included. [Ω]
        """
    @resistance_ohm.setter
    def resistance_ohm(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def short_circuit(self) -> str | None:
        """
        Short-circuit current stated for one string. [A]
        """
    @short_circuit.setter
    def short_circuit(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def short_circuit_a(self) -> builtins.float | None:
        """
        Short-circuit current stated for one string. [A]
        """
    @short_circuit_a.setter
    def short_circuit_a(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def standby(self) -> str:
        """
        Drawn all day by monitor and management system. [A]
        """
    @standby.setter
    def standby(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def standby_a(self) -> builtins.float:
        """
        Drawn all day by monitor and management system. [A]
        """
    @standby_a.setter
    def standby_a(self, value: builtins.float | str | None) -> None:
        ...
    @property
    def strings(self) -> int:
        """
        Equal strings in parallel.
        """
    @strings.setter
    def strings(self, value: int | None) -> None:
        ...
    @property
    def voltage(self) -> str:
        """
        Nominal voltage: 12 or 24 V as a rule. [V]
        """
    @voltage.setter
    def voltage(self, value: builtins.float | str) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
class Bus:
    """
    A point where circuits join: a bus bar, a fuse block, a distribution block.
    
    Parameters
    ----------
    name : str
        Name used by runs.
    note : str, default ''
        Anything worth keeping with it.
    rated, rated_a : float, optional
        Current it may carry. [A]
    ways : int, optional
        Places for circuits.
    compartment : str, default ''
        Where it sits.
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Bus(name="block", rated="100 A")
    >>> one.rated_a
    100.0
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'bus'
    def __copy__(self) -> Bus:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Bus:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, name: str, note: str | None = None, rated: float | str | None = None, rated_a: float | str | None = None, ways: int | None = None, compartment: str | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Bus(name="block", rated="100 A").assumed()
        {}
        """
    def replace(self, *, name: str | None = None, note: str | None = None, rated: float | str | None = None, rated_a: float | str | None = None, ways: int | None = None, compartment: str | None = None) -> Bus:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Bus(name="block", rated="100 A").replace(rated="150 A").rated_a
        150.0
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Bus(name="block", rated="100 A").stated())
        ['name', 'rated']
        """
    @property
    def compartment(self) -> str:
        """
        Where it sits.
        """
    @compartment.setter
    def compartment(self, value: str | None) -> None:
        ...
    @property
    def name(self) -> str:
        """
        Name used by runs.
        """
    @name.setter
    def name(self, value: str) -> None:
        ...
    @property
    def note(self) -> str:
        """
        Anything worth keeping with it.
        """
    @note.setter
    def note(self, value: str | None) -> None:
        ...
    @property
    def rated(self) -> str | None:
        """
        Current it may carry. [A]
        """
    @rated.setter
    def rated(self, value: float | str | None) -> None:
        ...
    @property
    def rated_a(self) -> float | None:
        """
        Current it may carry. [A]
        """
    @rated_a.setter
    def rated_a(self, value: float | str | None) -> None:
        ...
    @property
    def ways(self) -> int | None:
        """
        Places for circuits.
        """
    @ways.setter
    def ways(self, value: int | None) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
class Run:
    """
    One cable between two points, out and back.
    
    Parameters
    ----------
    name : str
        Name on its labels.
    note : str, default ''
        Anything worth keeping with it.
    from_ : str
        Point on the source side.
    to : str
        Point on the load side.
    length, length_m : float
        One way, along the cable. [m]
    size : ConductorSize, optional
        Conductor size: given, it is checked and not chosen.
    family : str, default ''
        Conductor family, when not that of the rules.
    material : str, default 'copper'
        Conductor material of the catalogue.
    insulation, insulation_c : float, optional
        Insulation class, when not that of the rules. [°C]
    enclosed : bool, optional
        In conduit, loom or duct, when not as the rules say.
    bundle : int, default 2
        Current-carrying conductors that run together, its own two included.
    parallel : int, default 1
        Equal conductors in parallel per pole.
    ambient, ambient_c : float, optional
        Hottest air along it; else its compartment's, else the site's hot. [°C]
    compartment : str, default ''
        Where most of it lies.
    return_, return_path : str, default 'own'
        How the current comes back. One of "own", "chassis".
    return_to : str, default ''
        Point whose negative takes it, when not `from`.
    return_length, return_length_m : float, optional
        One way, when not as long as the run. [m]
    return_size : ConductorSize, optional
        Size of the return, when not as the run.
    return_resistance, return_resistance_ohm : float, optional
        Of the whole chassis path. [Ω]
    joints : int, default 2
        Joints per pole, both ends counted.
    joint_resistance, joint_ohm : float, default '0.0005 Ω'
        Of each joint. [mΩ]
    sheathed : bool, default False
        In a sheath or enclosure from the source to its overcurrent device.
    overcurrent : bool, default True
        It has, or needs, a device at its source end.
    fuse_form : str, default ''
        Overcurrent form: given, it is checked and not chosen.
    fuse, fuse_a : float, optional
        Rating: given, it is checked and not chosen. [A]
    fuse_distance, fuse_distance_m : float, default '0.15 m'
        Along the conductor, from source to device. [m]
    fuse_ambient, fuse_ambient_c : float, optional
        Air at the device, when not that of its source. [°C]
    holder, holder_a : float, optional
        Current that the fuse holder may carry. [A]
    switch, switch_a : float, optional
        DC current that its switch may carry. [A]
    switch_voltage, switch_v : float, optional
        DC voltage that its switch may break. [V]
    switch_resistance, switch_ohm : float, default '0 Ω'
        Of its switch. [mΩ]
    spare : bool, default False
        Laid but not connected: sized and counted, carries nothing.
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Run(name="feed", from_="block", to="router", length="1.4 m")
    >>> one.length_m
    1.4
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'run'
    def __copy__(self) -> Run:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Run:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, name: str, from_: str, to: str, length: float | str | None = None, length_m: float | str | None = None, note: str | None = None, size: str | ConductorSize | None = None, family: str | None = None, material: str | None = None, insulation: float | str | None = None, insulation_c: float | str | None = None, enclosed: bool | None = None, bundle: int | None = None, parallel: int | None = None, ambient: float | str | None = None, ambient_c: float | str | None = None, compartment: str | None = None, return_: str | None = None, return_path: str | None = None, return_to: str | None = None, return_length: float | str | None = None, return_length_m: float | str | None = None, return_size: str | ConductorSize | None = None, return_resistance: float | str | None = None, return_resistance_ohm: float | str | None = None, joints: int | None = None, joint_resistance: float | str | None = None, joint_ohm: float | str | None = None, sheathed: bool | None = None, overcurrent: bool | None = None, fuse_form: str | None = None, fuse: float | str | None = None, fuse_a: float | str | None = None, fuse_distance: float | str | None = None, fuse_distance_m: float | str | None = None, fuse_ambient: float | str | None = None, fuse_ambient_c: float | str | None = None, holder: float | str | None = None, holder_a: float | str | None = None, switch: float | str | None = None, switch_a: float | str | None = None, switch_voltage: float | str | None = None, switch_v: float | str | None = None, switch_resistance: float | str | None = None, switch_ohm: float | str | None = None, spare: bool | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Run(name="feed", from_="block", to="router", length="1.4 m").assumed()["material"]
        'copper'
        """
    def replace(self, *, name: str | None = None, from_: str | None = None, to: str | None = None, length: float | str | None = None, length_m: float | str | None = None, note: str | None = None, size: str | ConductorSize | None = None, family: str | None = None, material: str | None = None, insulation: float | str | None = None, insulation_c: float | str | None = None, enclosed: bool | None = None, bundle: int | None = None, parallel: int | None = None, ambient: float | str | None = None, ambient_c: float | str | None = None, compartment: str | None = None, return_: str | None = None, return_path: str | None = None, return_to: str | None = None, return_length: float | str | None = None, return_length_m: float | str | None = None, return_size: str | ConductorSize | None = None, return_resistance: float | str | None = None, return_resistance_ohm: float | str | None = None, joints: int | None = None, joint_resistance: float | str | None = None, joint_ohm: float | str | None = None, sheathed: bool | None = None, overcurrent: bool | None = None, fuse_form: str | None = None, fuse: float | str | None = None, fuse_a: float | str | None = None, fuse_distance: float | str | None = None, fuse_distance_m: float | str | None = None, fuse_ambient: float | str | None = None, fuse_ambient_c: float | str | None = None, holder: float | str | None = None, holder_a: float | str | None = None, switch: float | str | None = None, switch_a: float | str | None = None, switch_voltage: float | str | None = None, switch_v: float | str | None = None, switch_resistance: float | str | None = None, switch_ohm: float | str | None = None, spare: bool | None = None) -> Run:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Run(name="feed", from_="block", to="router", length="1.4 m").replace(length="2 m").length_m
        2.0
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Run(name="feed", from_="block", to="router", length="1.4 m").stated())
        ['from_', 'length', 'name', 'to']
        """
    @property
    def ambient(self) -> str | None:
        """
        Hottest air along it; else its compartment's, else the site's hot. [°C]
        """
    @ambient.setter
    def ambient(self, value: float | str | None) -> None:
        ...
    @property
    def ambient_c(self) -> float | None:
        """
        Hottest air along it; else its compartment's, else the site's hot. [°C]
        """
    @ambient_c.setter
    def ambient_c(self, value: float | str | None) -> None:
        ...
    @property
    def bundle(self) -> int:
        """
        Current-carrying conductors that run together, its own two included.
        """
    @bundle.setter
    def bundle(self, value: int | None) -> None:
        ...
    @property
    def compartment(self) -> str:
        """
        Where most of it lies.
        """
    @compartment.setter
    def compartment(self, value: str | None) -> None:
        ...
    @property
    def enclosed(self) -> bool | None:
        """
        In conduit, loom or duct, when not as the rules say.
        """
    @enclosed.setter
    def enclosed(self, value: bool | None) -> None:
        ...
    @property
    def family(self) -> str:
        """
        Conductor family, when not that of the rules.
        """
    @family.setter
    def family(self, value: str | None) -> None:
        ...
    @property
    def from_(self) -> str:
        """
        Point on the source side.
        """
    @from_.setter
    def from_(self, value: str) -> None:
        ...
    @property
    def fuse(self) -> str | None:
        """
        Rating: given, it is checked and not chosen. [A]
        """
    @fuse.setter
    def fuse(self, value: float | str | None) -> None:
        ...
    @property
    def fuse_a(self) -> float | None:
        """
        Rating: given, it is checked and not chosen. [A]
        """
    @fuse_a.setter
    def fuse_a(self, value: float | str | None) -> None:
        ...
    @property
    def fuse_ambient(self) -> str | None:
        """
        Air at the device, when not that of its source. [°C]
        """
    @fuse_ambient.setter
    def fuse_ambient(self, value: float | str | None) -> None:
        ...
    @property
    def fuse_ambient_c(self) -> float | None:
        """
        Air at the device, when not that of its source. [°C]
        """
    @fuse_ambient_c.setter
    def fuse_ambient_c(self, value: float | str | None) -> None:
        ...
    @property
    def fuse_distance(self) -> str:
        """
        Along the conductor, from source to device. [m]
        """
    @fuse_distance.setter
    def fuse_distance(self, value: float | str | None) -> None:
        ...
    @property
    def fuse_distance_m(self) -> float:
        """
        Along the conductor, from source to device. [m]
        """
    @fuse_distance_m.setter
    def fuse_distance_m(self, value: float | str | None) -> None:
        ...
    @property
    def fuse_form(self) -> str:
        """
        Overcurrent form: given, it is checked and not chosen.
        """
    @fuse_form.setter
    def fuse_form(self, value: str | None) -> None:
        ...
    @property
    def holder(self) -> str | None:
        """
        Current that the fuse holder may carry. [A]
        """
    @holder.setter
    def holder(self, value: float | str | None) -> None:
        ...
    @property
    def holder_a(self) -> float | None:
        """
        Current that the fuse holder may carry. [A]
        """
    @holder_a.setter
    def holder_a(self, value: float | str | None) -> None:
        ...
    @property
    def insulation(self) -> str | None:
        """
        Insulation class, when not that of the rules. [°C]
        """
    @insulation.setter
    def insulation(self, value: float | str | None) -> None:
        ...
    @property
    def insulation_c(self) -> float | None:
        """
        Insulation class, when not that of the rules. [°C]
        """
    @insulation_c.setter
    def insulation_c(self, value: float | str | None) -> None:
        ...
    @property
    def joint_ohm(self) -> float:
        """
        Of each joint. [mΩ]
        """
    @joint_ohm.setter
    def joint_ohm(self, value: float | str | None) -> None:
        ...
    @property
    def joint_resistance(self) -> str:
        """
        Of each joint. [mΩ]
        """
    @joint_resistance.setter
    def joint_resistance(self, value: float | str | None) -> None:
        ...
    @property
    def joints(self) -> int:
        """
        Joints per pole, both ends counted.
        """
    @joints.setter
    def joints(self, value: int | None) -> None:
        ...
    @property
    def length(self) -> str:
        """
        One way, along the cable. [m]
        """
    @length.setter
    def length(self, value: float | str) -> None:
        ...
    @property
    def length_m(self) -> float:
        """
        One way, along the cable. [m]
        """
    @length_m.setter
    def length_m(self, value: float | str) -> None:
        ...
    @property
    def material(self) -> str:
        """
        Conductor material of the catalogue.
        """
    @material.setter
    def material(self, value: str | None) -> None:
        ...
    @property
    def name(self) -> str:
        """
        Name on its labels.
        """
    @name.setter
    def name(self, value: str) -> None:
        ...
    @property
    def note(self) -> str:
        """
        Anything worth keeping with it.
        """
    @note.setter
    def note(self, value: str | None) -> None:
        ...
    @property
    def overcurrent(self) -> bool:
        """
        It has, or needs, a device at its source end.
        """
    @overcurrent.setter
    def overcurrent(self, value: bool | None) -> None:
        ...
    @property
    def parallel(self) -> int:
        """
        Equal conductors in parallel per pole.
        """
    @parallel.setter
    def parallel(self, value: int | None) -> None:
        ...
    @property
    def return_(self) -> str:
        """
        How the current comes back. One of "own", "chassis".
        """
    @return_.setter
    def return_(self, value: str | None) -> None:
        ...
    @property
    def return_length(self) -> str | None:
        """
        One way, when not as long as the run. [m]
        """
    @return_length.setter
    def return_length(self, value: float | str | None) -> None:
        ...
    @property
    def return_length_m(self) -> float | None:
        """
        One way, when not as long as the run. [m]
        """
    @return_length_m.setter
    def return_length_m(self, value: float | str | None) -> None:
        ...
    @property
    def return_path(self) -> str:
        """
        How the current comes back. One of "own", "chassis".
        """
    @return_path.setter
    def return_path(self, value: str | None) -> None:
        ...
    @property
    def return_resistance(self) -> str | None:
        """
        Of the whole chassis path. [Ω]
        """
    @return_resistance.setter
    def return_resistance(self, value: float | str | None) -> None:
        ...
    @property
    def return_resistance_ohm(self) -> float | None:
        """
        Of the whole chassis path. [Ω]
        """
    @return_resistance_ohm.setter
    def return_resistance_ohm(self, value: float | str | None) -> None:
        ...
    @property
    def return_size(self) -> ConductorSize | None:
        """
        Size of the return, when not as the run.
        """
    @return_size.setter
    def return_size(self, value: str | ConductorSize | None) -> None:
        ...
    @property
    def return_to(self) -> str:
        """
        Point whose negative takes it, when not `from`.
        """
    @return_to.setter
    def return_to(self, value: str | None) -> None:
        ...
    @property
    def sheathed(self) -> bool:
        """
        In a sheath or enclosure from the source to its overcurrent device.
        """
    @sheathed.setter
    def sheathed(self, value: bool | None) -> None:
        ...
    @property
    def size(self) -> ConductorSize | None:
        """
        Conductor size: given, it is checked and not chosen.
        """
    @size.setter
    def size(self, value: str | ConductorSize | None) -> None:
        ...
    @property
    def spare(self) -> bool:
        """
        Laid but not connected: sized and counted, carries nothing.
        """
    @spare.setter
    def spare(self, value: bool | None) -> None:
        ...
    @property
    def switch(self) -> str | None:
        """
        DC current that its switch may carry. [A]
        """
    @switch.setter
    def switch(self, value: float | str | None) -> None:
        ...
    @property
    def switch_a(self) -> float | None:
        """
        DC current that its switch may carry. [A]
        """
    @switch_a.setter
    def switch_a(self, value: float | str | None) -> None:
        ...
    @property
    def switch_ohm(self) -> float:
        """
        Of its switch. [mΩ]
        """
    @switch_ohm.setter
    def switch_ohm(self, value: float | str | None) -> None:
        ...
    @property
    def switch_resistance(self) -> str:
        """
        Of its switch. [mΩ]
        """
    @switch_resistance.setter
    def switch_resistance(self, value: float | str | None) -> None:
        ...
    @property
    def switch_v(self) -> float | None:
        """
        DC voltage that its switch may break. [V]
        """
    @switch_v.setter
    def switch_v(self, value: float | str | None) -> None:
        ...
    @property
    def switch_voltage(self) -> str | None:
        """
        DC voltage that its switch may break. [V]
        """
    @switch_voltage.setter
    def switch_voltage(self, value: float | str | None) -> None:
        ...
    @property
    def to(self) -> str:
        """
        Point on the load side.
        """
    @to.setter
    def to(self, value: str) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
class Load:
    """
    What consumes.
    
    Parameters
    ----------
    name : str
        Name used by runs.
    note : str, default ''
        Anything worth keeping with it.
    count : int, default 1
        Equal devices at the same point.
    behaviour : str, default 'constant power'
        How its draw follows the voltage. One of "constant power", "constant current", "resistance".
    typical, typical_w : float
        Power of one device in ordinary work. [W]
    peak, peak_w : float, optional
        Largest power of one device that lasts. [W]
    rest, rest_w : float, optional
        Power of one device with nothing to do. [W]
    rated_voltage, nominal_v : float, optional
        Voltage at which its watts are stated. [V]
    window, window_v : Range, optional
        Input voltage it accepts, such as "9 V to 36 V". [V]
    off_below, off_v : float, optional
        It switches itself off below this voltage. [V]
    on_above, on_v : float, optional
        It starts again above this voltage. [V]
    drop_class : str, default 'critical'
        Which drop limit holds for it. One of "critical", "general".
    schedule : tuple[str, ...], default ()
        Local times when it works, such as "06:30-22:00"; leave out for always.
    duty : float, default '100 %'
        Share of that time at typical power, at rest otherwise. [%]
    night_extra, night_extra_w : float, default '0 W'
        Added from sunset to sunrise, each device. [W]
    priority : int, default 2
        1 is shed last, 5 first.
    inrush, inrush_f : float, optional
        Input capacitance of one device. [F]
    start_delay, start_delay_s : float, default '0 s'
        Waits this long before it draws. [s]
    temp, temp_c : Range, optional
        Air temperature it tolerates, such as "0 °C to 45 °C". [°C]
    compartment : str, default ''
        Where it sits.
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Load(name="router", typical="12 W")
    >>> one.typical_w
    12.0
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'load'
    def __copy__(self) -> Load:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Load:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, name: str, typical: float | str | None = None, typical_w: float | str | None = None, note: str | None = None, count: int | None = None, behaviour: str | None = None, peak: float | str | None = None, peak_w: float | str | None = None, rest: float | str | None = None, rest_w: float | str | None = None, rated_voltage: float | str | None = None, nominal_v: float | str | None = None, window: str | Range | tuple[float | str, float | str] | None = None, window_v: str | Range | tuple[float | str, float | str] | None = None, off_below: float | str | None = None, off_v: float | str | None = None, on_above: float | str | None = None, on_v: float | str | None = None, drop_class: str | None = None, schedule: collections.abc.Iterable[str] | None = None, duty: float | str | None = None, night_extra: float | str | None = None, night_extra_w: float | str | None = None, priority: int | None = None, inrush: float | str | None = None, inrush_f: float | str | None = None, start_delay: float | str | None = None, start_delay_s: float | str | None = None, temp: str | Range | tuple[float | str, float | str] | None = None, temp_c: str | Range | tuple[float | str, float | str] | None = None, compartment: str | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Load(name="router", typical="12 W").assumed()["behaviour"]
        'constant power'
        """
    def replace(self, *, name: str | None = None, typical: float | str | None = None, typical_w: float | str | None = None, note: str | None = None, count: int | None = None, behaviour: str | None = None, peak: float | str | None = None, peak_w: float | str | None = None, rest: float | str | None = None, rest_w: float | str | None = None, rated_voltage: float | str | None = None, nominal_v: float | str | None = None, window: str | Range | tuple[float | str, float | str] | None = None, window_v: str | Range | tuple[float | str, float | str] | None = None, off_below: float | str | None = None, off_v: float | str | None = None, on_above: float | str | None = None, on_v: float | str | None = None, drop_class: str | None = None, schedule: collections.abc.Iterable[str] | None = None, duty: float | str | None = None, night_extra: float | str | None = None, night_extra_w: float | str | None = None, priority: int | None = None, inrush: float | str | None = None, inrush_f: float | str | None = None, start_delay: float | str | None = None, start_delay_s: float | str | None = None, temp: str | Range | tuple[float | str, float | str] | None = None, temp_c: str | Range | tuple[float | str, float | str] | None = None, compartment: str | None = None) -> Load:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Load(name="router", typical="12 W").replace(typical="14 W").typical_w
        14.0
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Load(name="router", typical="12 W").stated())
        ['name', 'typical']
        """
    @property
    def behaviour(self) -> str:
        """
        How its draw follows the voltage. One of "constant power", "constant current", "resistance".
        """
    @behaviour.setter
    def behaviour(self, value: str | None) -> None:
        ...
    @property
    def compartment(self) -> str:
        """
        Where it sits.
        """
    @compartment.setter
    def compartment(self, value: str | None) -> None:
        ...
    @property
    def count(self) -> int:
        """
        Equal devices at the same point.
        """
    @count.setter
    def count(self, value: int | None) -> None:
        ...
    @property
    def drop_class(self) -> str:
        """
        Which drop limit holds for it. One of "critical", "general".
        """
    @drop_class.setter
    def drop_class(self, value: str | None) -> None:
        ...
    @property
    def duty(self) -> float:
        """
        Share of that time at typical power, at rest otherwise. [%]
        """
    @duty.setter
    def duty(self, value: float | str | None) -> None:
        ...
    @property
    def inrush(self) -> str | None:
        """
        Input capacitance of one device. [F]
        """
    @inrush.setter
    def inrush(self, value: float | str | None) -> None:
        ...
    @property
    def inrush_f(self) -> float | None:
        """
        Input capacitance of one device. [F]
        """
    @inrush_f.setter
    def inrush_f(self, value: float | str | None) -> None:
        ...
    @property
    def name(self) -> str:
        """
        Name used by runs.
        """
    @name.setter
    def name(self, value: str) -> None:
        ...
    @property
    def night_extra(self) -> str:
        """
        Added from sunset to sunrise, each device. [W]
        """
    @night_extra.setter
    def night_extra(self, value: float | str | None) -> None:
        ...
    @property
    def night_extra_w(self) -> float:
        """
        Added from sunset to sunrise, each device. [W]
        """
    @night_extra_w.setter
    def night_extra_w(self, value: float | str | None) -> None:
        ...
    @property
    def nominal_v(self) -> float | None:
        """
        Voltage at which its watts are stated. [V]
        """
    @nominal_v.setter
    def nominal_v(self, value: float | str | None) -> None:
        ...
    @property
    def note(self) -> str:
        """
        Anything worth keeping with it.
        """
    @note.setter
    def note(self, value: str | None) -> None:
        ...
    @property
    def off_below(self) -> str | None:
        """
        It switches itself off below this voltage. [V]
        """
    @off_below.setter
    def off_below(self, value: float | str | None) -> None:
        ...
    @property
    def off_v(self) -> float | None:
        """
        It switches itself off below this voltage. [V]
        """
    @off_v.setter
    def off_v(self, value: float | str | None) -> None:
        ...
    @property
    def on_above(self) -> str | None:
        """
        It starts again above this voltage. [V]
        """
    @on_above.setter
    def on_above(self, value: float | str | None) -> None:
        ...
    @property
    def on_v(self) -> float | None:
        """
        It starts again above this voltage. [V]
        """
    @on_v.setter
    def on_v(self, value: float | str | None) -> None:
        ...
    @property
    def peak(self) -> str | None:
        """
        Largest power of one device that lasts. [W]
        """
    @peak.setter
    def peak(self, value: float | str | None) -> None:
        ...
    @property
    def peak_w(self) -> float | None:
        """
        Largest power of one device that lasts. [W]
        """
    @peak_w.setter
    def peak_w(self, value: float | str | None) -> None:
        ...
    @property
    def priority(self) -> int:
        """
        1 is shed last, 5 first.
        """
    @priority.setter
    def priority(self, value: int | None) -> None:
        ...
    @property
    def rated_voltage(self) -> str | None:
        """
        Voltage at which its watts are stated. [V]
        """
    @rated_voltage.setter
    def rated_voltage(self, value: float | str | None) -> None:
        ...
    @property
    def rest(self) -> str | None:
        """
        Power of one device with nothing to do. [W]
        """
    @rest.setter
    def rest(self, value: float | str | None) -> None:
        ...
    @property
    def rest_w(self) -> float | None:
        """
        Power of one device with nothing to do. [W]
        """
    @rest_w.setter
    def rest_w(self, value: float | str | None) -> None:
        ...
    @property
    def schedule(self) -> tuple[str, ...]:
        """
        Local times when it works, such as "06:30-22:00"; leave out for always.
        """
    @schedule.setter
    def schedule(self, value: collections.abc.Iterable[str] | None) -> None:
        ...
    @property
    def start_delay(self) -> str:
        """
        Waits this long before it draws. [s]
        """
    @start_delay.setter
    def start_delay(self, value: float | str | None) -> None:
        ...
    @property
    def start_delay_s(self) -> float:
        """
        Waits this long before it draws. [s]
        """
    @start_delay_s.setter
    def start_delay_s(self, value: float | str | None) -> None:
        ...
    @property
    def temp(self) -> str | None:
        """
        Air temperature it tolerates, such as "0 °C to 45 °C". [°C]
        """
    @temp.setter
    def temp(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
    @property
    def temp_c(self) -> Range | None:
        """
        Air temperature it tolerates, such as "0 °C to 45 °C". [°C]
        """
    @temp_c.setter
    def temp_c(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
    @property
    def typical(self) -> str:
        """
        Power of one device in ordinary work. [W]
        """
    @typical.setter
    def typical(self, value: float | str) -> None:
        ...
    @property
    def typical_w(self) -> float:
        """
        Power of one device in ordinary work. [W]
        """
    @typical_w.setter
    def typical_w(self, value: float | str) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
    @property
    def window(self) -> str | None:
        """
        Input voltage it accepts, such as "9 V to 36 V". [V]
        """
    @window.setter
    def window(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
    @property
    def window_v(self) -> Range | None:
        """
        Input voltage it accepts, such as "9 V to 36 V". [V]
        """
    @window_v.setter
    def window_v(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
class Fan:
    """
    Moves air through a compartment, in steps that follow its temperature.
    
    Parameters
    ----------
    name : str
        Name used by runs.
    note : str, default ''
        Anything worth keeping with it.
    count : int, default 1
        Equal fans on the same control.
    step_power, step_w : tuple[float, ...]
        Power at each step, lowest first. [W]
    step_flow, step_flow_m3s : tuple[float, ...]
        Free air flow at each step. [m³/h]
    installed_share : float, default '55 %'
        Flow once built in, of the free flow. [%]
    lowest_step : int, default 0
        It never runs below this step; 0 is off.
    set_point, set_point_c : float, default '30 °C'
        Above this temperature it goes one step up. [°C]
    step_width, step_width_k : float, default '3 K'
        One step more for each such rise. [K]
    cools : str
        Compartment that it serves.
    inlet : str, default 'outside'
        "outside", or the compartment its air comes from.
    inlet_share : float, default '100 %'
        Share of its air from there, the rest from outside. [%]
    window, window_v : Range, optional
        Input voltage it accepts. [V]
    drop_class : str, default 'general'
        Which drop limit holds for it. One of "critical", "general".
    priority : int, default 2
        1 is shed last, 5 first.
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Fan(name="air", step_power=["2 W"], step_flow=["36 m3/h"], cools="rack")
    >>> one.step_w
    (2.0,)
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'fan'
    def __copy__(self) -> Fan:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Fan:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, name: str, step_power: collections.abc.Iterable[float | str] | None = None, step_w: collections.abc.Iterable[float | str] | None = None, step_flow: collections.abc.Iterable[float | str] | None = None, step_flow_m3s: collections.abc.Iterable[float | str] | None = None, cools: str, note: str | None = None, count: int | None = None, installed_share: float | str | None = None, lowest_step: int | None = None, set_point: float | str | None = None, set_point_c: float | str | None = None, step_width: float | str | None = None, step_width_k: float | str | None = None, inlet: str | None = None, inlet_share: float | str | None = None, window: str | Range | tuple[float | str, float | str] | None = None, window_v: str | Range | tuple[float | str, float | str] | None = None, drop_class: str | None = None, priority: int | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Fan(name="air", step_power=["2 W"], step_flow=["36 m3/h"], cools="rack").assumed()["installed_share"]
        '55 %'
        """
    def replace(self, *, name: str | None = None, step_power: collections.abc.Iterable[float | str] | None = None, step_w: collections.abc.Iterable[float | str] | None = None, step_flow: collections.abc.Iterable[float | str] | None = None, step_flow_m3s: collections.abc.Iterable[float | str] | None = None, cools: str | None = None, note: str | None = None, count: int | None = None, installed_share: float | str | None = None, lowest_step: int | None = None, set_point: float | str | None = None, set_point_c: float | str | None = None, step_width: float | str | None = None, step_width_k: float | str | None = None, inlet: str | None = None, inlet_share: float | str | None = None, window: str | Range | tuple[float | str, float | str] | None = None, window_v: str | Range | tuple[float | str, float | str] | None = None, drop_class: str | None = None, priority: int | None = None) -> Fan:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Fan(name="air", step_power=["2 W"], step_flow=["36 m3/h"], cools="rack").replace(step_power=["3 W"]).step_w
        (3.0,)
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Fan(name="air", step_power=["2 W"], step_flow=["36 m3/h"], cools="rack").stated())
        ['cools', 'name', 'step_flow', 'step_power']
        """
    @property
    def cools(self) -> str:
        """
        Compartment that it serves.
        """
    @cools.setter
    def cools(self, value: str) -> None:
        ...
    @property
    def count(self) -> int:
        """
        Equal fans on the same control.
        """
    @count.setter
    def count(self, value: int | None) -> None:
        ...
    @property
    def drop_class(self) -> str:
        """
        Which drop limit holds for it. One of "critical", "general".
        """
    @drop_class.setter
    def drop_class(self, value: str | None) -> None:
        ...
    @property
    def inlet(self) -> str:
        """
        "outside", or the compartment its air comes from.
        """
    @inlet.setter
    def inlet(self, value: str | None) -> None:
        ...
    @property
    def inlet_share(self) -> float:
        """
        Share of its air from there, the rest from outside. [%]
        """
    @inlet_share.setter
    def inlet_share(self, value: float | str | None) -> None:
        ...
    @property
    def installed_share(self) -> float:
        """
        Flow once built in, of the free flow. [%]
        """
    @installed_share.setter
    def installed_share(self, value: float | str | None) -> None:
        ...
    @property
    def lowest_step(self) -> int:
        """
        It never runs below this step; 0 is off.
        """
    @lowest_step.setter
    def lowest_step(self, value: int | None) -> None:
        ...
    @property
    def name(self) -> str:
        """
        Name used by runs.
        """
    @name.setter
    def name(self, value: str) -> None:
        ...
    @property
    def note(self) -> str:
        """
        Anything worth keeping with it.
        """
    @note.setter
    def note(self, value: str | None) -> None:
        ...
    @property
    def priority(self) -> int:
        """
        1 is shed last, 5 first.
        """
    @priority.setter
    def priority(self, value: int | None) -> None:
        ...
    @property
    def set_point(self) -> str:
        """
        Above this temperature it goes one step up. [°C]
        """
    @set_point.setter
    def set_point(self, value: float | str | None) -> None:
        ...
    @property
    def set_point_c(self) -> float:
        """
        Above this temperature it goes one step up. [°C]
        """
    @set_point_c.setter
    def set_point_c(self, value: float | str | None) -> None:
        ...
    @property
    def step_flow(self) -> tuple[str, ...]:
        """
        Free air flow at each step. [m³/h]
        """
    @step_flow.setter
    def step_flow(self, value: collections.abc.Iterable[float | str]) -> None:
        ...
    @property
    def step_flow_m3s(self) -> tuple[float, ...]:
        """
        Free air flow at each step. [m³/h]
        """
    @step_flow_m3s.setter
    def step_flow_m3s(self, value: collections.abc.Iterable[float | str]) -> None:
        ...
    @property
    def step_power(self) -> tuple[str, ...]:
        """
        Power at each step, lowest first. [W]
        """
    @step_power.setter
    def step_power(self, value: collections.abc.Iterable[float | str]) -> None:
        ...
    @property
    def step_w(self) -> tuple[float, ...]:
        """
        Power at each step, lowest first. [W]
        """
    @step_w.setter
    def step_w(self, value: collections.abc.Iterable[float | str]) -> None:
        ...
    @property
    def step_width(self) -> str:
        """
        One step more for each such rise. [K]
        """
    @step_width.setter
    def step_width(self, value: float | str | None) -> None:
        ...
    @property
    def step_width_k(self) -> float:
        """
        One step more for each such rise. [K]
        """
    @step_width_k.setter
    def step_width_k(self, value: float | str | None) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
    @property
    def window(self) -> str | None:
        """
        Input voltage it accepts. [V]
        """
    @window.setter
    def window(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
    @property
    def window_v(self) -> Range | None:
        """
        Input voltage it accepts. [V]
        """
    @window_v.setter
    def window_v(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
class Converter:
    """
    Makes another voltage: up, down, PoE injector or inverter.
    
    Parameters
    ----------
    name : str
        Runs to it feed it; runs from it carry its output.
    note : str, default ''
        Anything worth keeping with it.
    kind : str, default 'DC-DC'
        What it is. One of "DC-DC", "injector", "inverter".
    output, output_v : float
        Output voltage. [V]
    power, power_w : float
        Rated output power. [W]
    efficiency : tuple[EfficiencyPoint, ...], default ()
        Points of the curve, [share of rated output, efficiency]; left out, 85 % is taken.
    standby, standby_w : float, default '1 W'
        Drawn with nothing on its output. [W]
    window, window_v : Range, optional
        Input voltage it accepts. [V]
    off_below, off_v : float, optional
        It switches itself off below this input voltage. [V]
    on_above, on_v : float, optional
        It starts again above this input voltage. [V]
    output_resistance, output_ohm : float, default '0 Ω'
        Droop of the output. [Ω]
    isolated : bool, default False
        No connection between the two negatives.
    drop_class : str, default 'critical'
        Which drop limit holds for its input. One of "critical", "general".
    priority : int, default 1
        1 is shed last, 5 first.
    inrush, inrush_f : float, optional
        Input capacitance. [F]
    temp, temp_c : Range, optional
        Air temperature it tolerates. [°C]
    compartment : str, default ''
        Where it sits.
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Converter(name="shelf", output="5 V", power="20 W")
    >>> one.power_w
    20.0
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'converter'
    def __copy__(self) -> Converter:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Converter:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, name: str, output: float | str | None = None, output_v: float | str | None = None, power: float | str | None = None, power_w: float | str | None = None, note: str | None = None, kind: str | None = None, efficiency: collections.abc.Iterable[EfficiencyPoint | collections.abc.Sequence[float | str]] | None = None, standby: float | str | None = None, standby_w: float | str | None = None, window: str | Range | tuple[float | str, float | str] | None = None, window_v: str | Range | tuple[float | str, float | str] | None = None, off_below: float | str | None = None, off_v: float | str | None = None, on_above: float | str | None = None, on_v: float | str | None = None, output_resistance: float | str | None = None, output_ohm: float | str | None = None, isolated: bool | None = None, drop_class: str | None = None, priority: int | None = None, inrush: float | str | None = None, inrush_f: float | str | None = None, temp: str | Range | tuple[float | str, float | str] | None = None, temp_c: str | Range | tuple[float | str, float | str] | None = None, compartment: str | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Converter(name="shelf", output="5 V", power="20 W").assumed()["standby"]
        '1 W'
        """
    def replace(self, *, name: str | None = None, output: float | str | None = None, output_v: float | str | None = None, power: float | str | None = None, power_w: float | str | None = None, note: str | None = None, kind: str | None = None, efficiency: collections.abc.Iterable[EfficiencyPoint | collections.abc.Sequence[float | str]] | None = None, standby: float | str | None = None, standby_w: float | str | None = None, window: str | Range | tuple[float | str, float | str] | None = None, window_v: str | Range | tuple[float | str, float | str] | None = None, off_below: float | str | None = None, off_v: float | str | None = None, on_above: float | str | None = None, on_v: float | str | None = None, output_resistance: float | str | None = None, output_ohm: float | str | None = None, isolated: bool | None = None, drop_class: str | None = None, priority: int | None = None, inrush: float | str | None = None, inrush_f: float | str | None = None, temp: str | Range | tuple[float | str, float | str] | None = None, temp_c: str | Range | tuple[float | str, float | str] | None = None, compartment: str | None = None) -> Converter:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Converter(name="shelf", output="5 V", power="20 W").replace(power="30 W").power_w
        30.0
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Converter(name="shelf", output="5 V", power="20 W").stated())
        ['name', 'output', 'power']
        """
    @property
    def compartment(self) -> str:
        """
        Where it sits.
        """
    @compartment.setter
    def compartment(self, value: str | None) -> None:
        ...
    @property
    def drop_class(self) -> str:
        """
        Which drop limit holds for its input. One of "critical", "general".
        """
    @drop_class.setter
    def drop_class(self, value: str | None) -> None:
        ...
    @property
    def efficiency(self) -> tuple[EfficiencyPoint, ...]:
        """
        Points of the curve, [share of rated output, efficiency]; left out, 85 % is taken.
        """
    @efficiency.setter
    def efficiency(self, value: collections.abc.Iterable[EfficiencyPoint | collections.abc.Sequence[float | str]] | None) -> None:
        ...
    @property
    def inrush(self) -> str | None:
        """
        Input capacitance. [F]
        """
    @inrush.setter
    def inrush(self, value: float | str | None) -> None:
        ...
    @property
    def inrush_f(self) -> float | None:
        """
        Input capacitance. [F]
        """
    @inrush_f.setter
    def inrush_f(self, value: float | str | None) -> None:
        ...
    @property
    def isolated(self) -> bool:
        """
        No connection between the two negatives.
        """
    @isolated.setter
    def isolated(self, value: bool | None) -> None:
        ...
    @property
    def kind(self) -> str:
        """
        What it is. One of "DC-DC", "injector", "inverter".
        """
    @kind.setter
    def kind(self, value: str | None) -> None:
        ...
    @property
    def name(self) -> str:
        """
        Runs to it feed it; runs from it carry its output.
        """
    @name.setter
    def name(self, value: str) -> None:
        ...
    @property
    def note(self) -> str:
        """
        Anything worth keeping with it.
        """
    @note.setter
    def note(self, value: str | None) -> None:
        ...
    @property
    def off_below(self) -> str | None:
        """
        It switches itself off below this input voltage. [V]
        """
    @off_below.setter
    def off_below(self, value: float | str | None) -> None:
        ...
    @property
    def off_v(self) -> float | None:
        """
        It switches itself off below this input voltage. [V]
        """
    @off_v.setter
    def off_v(self, value: float | str | None) -> None:
        ...
    @property
    def on_above(self) -> str | None:
        """
        It starts again above this input voltage. [V]
        """
    @on_above.setter
    def on_above(self, value: float | str | None) -> None:
        ...
    @property
    def on_v(self) -> float | None:
        """
        It starts again above this input voltage. [V]
        """
    @on_v.setter
    def on_v(self, value: float | str | None) -> None:
        ...
    @property
    def output(self) -> str:
        """
        Output voltage. [V]
        """
    @output.setter
    def output(self, value: float | str) -> None:
        ...
    @property
    def output_ohm(self) -> float:
        """
        Droop of the output. [Ω]
        """
    @output_ohm.setter
    def output_ohm(self, value: float | str | None) -> None:
        ...
    @property
    def output_resistance(self) -> str:
        """
        Droop of the output. [Ω]
        """
    @output_resistance.setter
    def output_resistance(self, value: float | str | None) -> None:
        ...
    @property
    def output_v(self) -> float:
        """
        Output voltage. [V]
        """
    @output_v.setter
    def output_v(self, value: float | str) -> None:
        ...
    @property
    def power(self) -> str:
        """
        Rated output power. [W]
        """
    @power.setter
    def power(self, value: float | str) -> None:
        ...
    @property
    def power_w(self) -> float:
        """
        Rated output power. [W]
        """
    @power_w.setter
    def power_w(self, value: float | str) -> None:
        ...
    @property
    def priority(self) -> int:
        """
        1 is shed last, 5 first.
        """
    @priority.setter
    def priority(self, value: int | None) -> None:
        ...
    @property
    def standby(self) -> str:
        """
        Drawn with nothing on its output. [W]
        """
    @standby.setter
    def standby(self, value: float | str | None) -> None:
        ...
    @property
    def standby_w(self) -> float:
        """
        Drawn with nothing on its output. [W]
        """
    @standby_w.setter
    def standby_w(self, value: float | str | None) -> None:
        ...
    @property
    def temp(self) -> str | None:
        """
        Air temperature it tolerates. [°C]
        """
    @temp.setter
    def temp(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
    @property
    def temp_c(self) -> Range | None:
        """
        Air temperature it tolerates. [°C]
        """
    @temp_c.setter
    def temp_c(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
    @property
    def window(self) -> str | None:
        """
        Input voltage it accepts. [V]
        """
    @window.setter
    def window(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
    @property
    def window_v(self) -> Range | None:
        """
        Input voltage it accepts. [V]
        """
    @window_v.setter
    def window_v(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
class PoeLink:
    """
    A powered port, its cable and the device at the end.
    
    Parameters
    ----------
    name : str
        Name of the powered device.
    note : str, default ''
        Anything worth keeping with it.
    from_ : str
        Converter that powers the port.
    length, length_m : float
        Cable, one way. [m]
    cable : str, default '24 AWG'
        Cable of the catalogue, by conductor size.
    cable_resistance, cable_ohm_per_m : float, optional
        Of one conductor, per length. [Ω/m]
    type : str, default 'type 2'
        Type of IEEE 802.3, or passive. One of "type 1", "type 2", "type 3", "type 4", "passive".
    pairs : int, default 2
        Powered pairs, 2 or 4.
    class_, power_class : int, optional
        Class of the device, 0 to 8.
    typical, typical_w : float
        Power at the device in ordinary work. [W]
    peak, peak_w : float, optional
        Largest power at the device that lasts. [W]
    rest, rest_w : float, optional
        Power at the device with nothing to do. [W]
    window, window_v : Range, optional
        Input voltage the device accepts; else its type's. [V]
    schedule : tuple[str, ...], default ()
        Local times when it works, such as "06:30-22:00"; leave out for always.
    duty : float, default '100 %'
        Share of that time at typical power, at rest otherwise. [%]
    night_extra, night_extra_w : float, default '0 W'
        Added from sunset to sunrise: infra-red lamps. [W]
    priority : int, default 2
        1 is shed last, 5 first.
    temp, temp_c : Range, optional
        Air temperature it tolerates. [°C]
    bundle : int, default 1
        Powered cables running together.
    compartment : str, default ''
        Where the device sits.
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.PoeLink(name="gate", from_="injector", length="30 m", typical="6 W")
    >>> one.length_m
    30.0
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'poe_link'
    def __copy__(self) -> PoeLink:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> PoeLink:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, name: str, from_: str, length: float | str | None = None, length_m: float | str | None = None, typical: float | str | None = None, typical_w: float | str | None = None, note: str | None = None, cable: str | None = None, cable_resistance: float | str | None = None, cable_ohm_per_m: float | str | None = None, type: str | None = None, pairs: int | None = None, class_: int | None = None, power_class: int | None = None, peak: float | str | None = None, peak_w: float | str | None = None, rest: float | str | None = None, rest_w: float | str | None = None, window: str | Range | tuple[float | str, float | str] | None = None, window_v: str | Range | tuple[float | str, float | str] | None = None, schedule: collections.abc.Iterable[str] | None = None, duty: float | str | None = None, night_extra: float | str | None = None, night_extra_w: float | str | None = None, priority: int | None = None, temp: str | Range | tuple[float | str, float | str] | None = None, temp_c: str | Range | tuple[float | str, float | str] | None = None, bundle: int | None = None, compartment: str | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.PoeLink(name="gate", from_="injector", length="30 m", typical="6 W").assumed()["cable"]
        '24 AWG'
        """
    def replace(self, *, name: str | None = None, from_: str | None = None, length: float | str | None = None, length_m: float | str | None = None, typical: float | str | None = None, typical_w: float | str | None = None, note: str | None = None, cable: str | None = None, cable_resistance: float | str | None = None, cable_ohm_per_m: float | str | None = None, type: str | None = None, pairs: int | None = None, class_: int | None = None, power_class: int | None = None, peak: float | str | None = None, peak_w: float | str | None = None, rest: float | str | None = None, rest_w: float | str | None = None, window: str | Range | tuple[float | str, float | str] | None = None, window_v: str | Range | tuple[float | str, float | str] | None = None, schedule: collections.abc.Iterable[str] | None = None, duty: float | str | None = None, night_extra: float | str | None = None, night_extra_w: float | str | None = None, priority: int | None = None, temp: str | Range | tuple[float | str, float | str] | None = None, temp_c: str | Range | tuple[float | str, float | str] | None = None, bundle: int | None = None, compartment: str | None = None) -> PoeLink:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.PoeLink(name="gate", from_="injector", length="30 m", typical="6 W").replace(length="100 ft").length_m
        30.48
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.PoeLink(name="gate", from_="injector", length="30 m", typical="6 W").stated())
        ['from_', 'length', 'name', 'typical']
        """
    @property
    def bundle(self) -> int:
        """
        Powered cables running together.
        """
    @bundle.setter
    def bundle(self, value: int | None) -> None:
        ...
    @property
    def cable(self) -> str:
        """
        Cable of the catalogue, by conductor size.
        """
    @cable.setter
    def cable(self, value: str | None) -> None:
        ...
    @property
    def cable_ohm_per_m(self) -> float | None:
        """
        Of one conductor, per length. [Ω/m]
        """
    @cable_ohm_per_m.setter
    def cable_ohm_per_m(self, value: float | str | None) -> None:
        ...
    @property
    def cable_resistance(self) -> str | None:
        """
        Of one conductor, per length. [Ω/m]
        """
    @cable_resistance.setter
    def cable_resistance(self, value: float | str | None) -> None:
        ...
    @property
    def class_(self) -> int | None:
        """
        Class of the device, 0 to 8.
        """
    @class_.setter
    def class_(self, value: int | None) -> None:
        ...
    @property
    def compartment(self) -> str:
        """
        Where the device sits.
        """
    @compartment.setter
    def compartment(self, value: str | None) -> None:
        ...
    @property
    def duty(self) -> float:
        """
        Share of that time at typical power, at rest otherwise. [%]
        """
    @duty.setter
    def duty(self, value: float | str | None) -> None:
        ...
    @property
    def from_(self) -> str:
        """
        Converter that powers the port.
        """
    @from_.setter
    def from_(self, value: str) -> None:
        ...
    @property
    def length(self) -> str:
        """
        Cable, one way. [m]
        """
    @length.setter
    def length(self, value: float | str) -> None:
        ...
    @property
    def length_m(self) -> float:
        """
        Cable, one way. [m]
        """
    @length_m.setter
    def length_m(self, value: float | str) -> None:
        ...
    @property
    def name(self) -> str:
        """
        Name of the powered device.
        """
    @name.setter
    def name(self, value: str) -> None:
        ...
    @property
    def night_extra(self) -> str:
        """
        Added from sunset to sunrise: infra-red lamps. [W]
        """
    @night_extra.setter
    def night_extra(self, value: float | str | None) -> None:
        ...
    @property
    def night_extra_w(self) -> float:
        """
        Added from sunset to sunrise: infra-red lamps. [W]
        """
    @night_extra_w.setter
    def night_extra_w(self, value: float | str | None) -> None:
        ...
    @property
    def note(self) -> str:
        """
        Anything worth keeping with it.
        """
    @note.setter
    def note(self, value: str | None) -> None:
        ...
    @property
    def pairs(self) -> int:
        """
        Powered pairs, 2 or 4.
        """
    @pairs.setter
    def pairs(self, value: int | None) -> None:
        ...
    @property
    def peak(self) -> str | None:
        """
        Largest power at the device that lasts. [W]
        """
    @peak.setter
    def peak(self, value: float | str | None) -> None:
        ...
    @property
    def peak_w(self) -> float | None:
        """
        Largest power at the device that lasts. [W]
        """
    @peak_w.setter
    def peak_w(self, value: float | str | None) -> None:
        ...
    @property
    def power_class(self) -> int | None:
        """
        Class of the device, 0 to 8.
        """
    @power_class.setter
    def power_class(self, value: int | None) -> None:
        ...
    @property
    def priority(self) -> int:
        """
        1 is shed last, 5 first.
        """
    @priority.setter
    def priority(self, value: int | None) -> None:
        ...
    @property
    def rest(self) -> str | None:
        """
        Power at the device with nothing to do. [W]
        """
    @rest.setter
    def rest(self, value: float | str | None) -> None:
        ...
    @property
    def rest_w(self) -> float | None:
        """
        Power at the device with nothing to do. [W]
        """
    @rest_w.setter
    def rest_w(self, value: float | str | None) -> None:
        ...
    @property
    def schedule(self) -> tuple[str, ...]:
        """
        Local times when it works, such as "06:30-22:00"; leave out for always.
        """
    @schedule.setter
    def schedule(self, value: collections.abc.Iterable[str] | None) -> None:
        ...
    @property
    def temp(self) -> str | None:
        """
        Air temperature it tolerates. [°C]
        """
    @temp.setter
    def temp(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
    @property
    def temp_c(self) -> Range | None:
        """
        Air temperature it tolerates. [°C]
        """
    @temp_c.setter
    def temp_c(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
    @property
    def type(self) -> str:
        """
        Type of IEEE 802.3, or passive. One of "type 1", "type 2", "type 3", "type 4", "passive".
        """
    @type.setter
    def type(self, value: str | None) -> None:
        ...
    @property
    def typical(self) -> str:
        """
        Power at the device in ordinary work. [W]
        """
    @typical.setter
    def typical(self, value: float | str) -> None:
        ...
    @property
    def typical_w(self) -> float:
        """
        Power at the device in ordinary work. [W]
        """
    @typical_w.setter
    def typical_w(self, value: float | str) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
    @property
    def window(self) -> str | None:
        """
        Input voltage the device accepts; else its type's. [V]
        """
    @window.setter
    def window(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
    @property
    def window_v(self) -> Range | None:
        """
        Input voltage the device accepts; else its type's. [V]
        """
    @window_v.setter
    def window_v(self, value: str | Range | tuple[float | str, float | str] | None) -> None:
        ...
class Charger:
    """
    Fills the bank from the mains, an engine or a generator.
    
    Parameters
    ----------
    name : str
        Name used by runs.
    note : str, default ''
        Anything worth keeping with it.
    kind : str, default 'mains'
        What drives it. One of "mains", "engine", "generator".
    current, current_a : float
        Current limit at its output. [A]
    voltage, voltage_v : float, optional
        Voltage ceiling; else the bank's absorption voltage. [V]
    efficiency : float, default '85 %'
        Output over input power. [%]
    schedule : tuple[str, ...], default ()
        Local times when it is powered, such as "08:00-10:30".
    start_below : float, optional
        State of charge at which a generator starts. [%]
    stop_above : float, optional
        State of charge at which a generator stops. [%]
    compartment : str, default ''
        Where it sits.
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Charger(name="mains", current="20 A")
    >>> one.current_a
    20.0
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'charger'
    def __copy__(self) -> Charger:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Charger:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, name: str, current: float | str | None = None, current_a: float | str | None = None, note: str | None = None, kind: str | None = None, voltage: float | str | None = None, voltage_v: float | str | None = None, efficiency: float | str | None = None, schedule: collections.abc.Iterable[str] | None = None, start_below: float | str | None = None, stop_above: float | str | None = None, compartment: str | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Charger(name="mains", current="20 A").assumed()["efficiency"]
        '85 %'
        """
    def replace(self, *, name: str | None = None, current: float | str | None = None, current_a: float | str | None = None, note: str | None = None, kind: str | None = None, voltage: float | str | None = None, voltage_v: float | str | None = None, efficiency: float | str | None = None, schedule: collections.abc.Iterable[str] | None = None, start_below: float | str | None = None, stop_above: float | str | None = None, compartment: str | None = None) -> Charger:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Charger(name="mains", current="20 A").replace(current="30 A").current_a
        30.0
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Charger(name="mains", current="20 A").stated())
        ['current', 'name']
        """
    @property
    def compartment(self) -> str:
        """
        Where it sits.
        """
    @compartment.setter
    def compartment(self, value: str | None) -> None:
        ...
    @property
    def current(self) -> str:
        """
        Current limit at its output. [A]
        """
    @current.setter
    def current(self, value: float | str) -> None:
        ...
    @property
    def current_a(self) -> float:
        """
        Current limit at its output. [A]
        """
    @current_a.setter
    def current_a(self, value: float | str) -> None:
        ...
    @property
    def efficiency(self) -> float:
        """
        Output over input power. [%]
        """
    @efficiency.setter
    def efficiency(self, value: float | str | None) -> None:
        ...
    @property
    def kind(self) -> str:
        """
        What drives it. One of "mains", "engine", "generator".
        """
    @kind.setter
    def kind(self, value: str | None) -> None:
        ...
    @property
    def name(self) -> str:
        """
        Name used by runs.
        """
    @name.setter
    def name(self, value: str) -> None:
        ...
    @property
    def note(self) -> str:
        """
        Anything worth keeping with it.
        """
    @note.setter
    def note(self, value: str | None) -> None:
        ...
    @property
    def schedule(self) -> tuple[str, ...]:
        """
        Local times when it is powered, such as "08:00-10:30".
        """
    @schedule.setter
    def schedule(self, value: collections.abc.Iterable[str] | None) -> None:
        ...
    @property
    def start_below(self) -> float | None:
        """
        State of charge at which a generator starts. [%]
        """
    @start_below.setter
    def start_below(self, value: float | str | None) -> None:
        ...
    @property
    def stop_above(self) -> float | None:
        """
        State of charge at which a generator stops. [%]
        """
    @stop_above.setter
    def stop_above(self, value: float | str | None) -> None:
        ...
    @property
    def voltage(self) -> str | None:
        """
        Voltage ceiling; else the bank's absorption voltage. [V]
        """
    @voltage.setter
    def voltage(self, value: float | str | None) -> None:
        ...
    @property
    def voltage_v(self) -> float | None:
        """
        Voltage ceiling; else the bank's absorption voltage. [V]
        """
    @voltage_v.setter
    def voltage_v(self, value: float | str | None) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
class Array:
    """
    Solar modules with their controller.
    
    Parameters
    ----------
    name : str
        Name used by runs: the controller's output.
    note : str, default ''
        Anything worth keeping with it.
    power, power_w : float
        Rated power of the whole array at 1000 W/m² and 25 °C. [W]
    tilt, tilt_deg : float, default '0°'
        0 flat, 90 upright. [°]
    azimuth, azimuth_deg : float, default '180°'
        Where it faces, from north clockwise. [°]
    turning : bool, default False
        On a vehicle whose heading is not known.
    tracking : str, default 'MPPT'
        How the controller couples the array to the bank. One of "MPPT", "PWM".
    controller_current, controller_a : float
        Output current limit of the controller. [A]
    controller_voltage, controller_v : float, optional
        Highest input voltage of the controller. [V]
    controller_efficiency : float, default '95 %'
        Output over input power. [%]
    controller_standby, controller_standby_w : float, default '1 W'
        Drawn by the controller at night. [W]
    open_circuit, voc_v : float, optional
        Open-circuit voltage of the array at 25 °C. [V]
    peak_voltage, vmp_v : float, optional
        Voltage at its peak power at 25 °C. [V]
    short_circuit, isc_a : float, optional
        Short-circuit current of the array at 25 °C. [A]
    peak_current, imp_a : float, optional
        Current at its peak power at 25 °C. [A]
    power_coefficient, power_per_k : float, default '-0.4 %/K'
        Change of power per kelvin. [%/K]
    voltage_coefficient, voc_per_k : float, default '-0.3 %/K'
        Change of open-circuit voltage per kelvin. [%/K]
    losses : float, default '14 %'
        Soiling, mismatch, wiring and age: all but the controller. [%]
    monthly_loss : tuple[float, ...], default ()
        Snow and dirt on top of that, January first. [%]
    horizon, horizon_deg : tuple[float, ...], default ()
        Height of the horizon in equal steps of azimuth, from north clockwise. [°]
    compartment : str, default ''
        Where the controller sits.
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Array(name="roof", power="300 W", controller_current="25 A")
    >>> one.power_w
    300.0
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'array'
    def __copy__(self) -> Array:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Array:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, name: str, power: float | str | None = None, power_w: float | str | None = None, controller_current: float | str | None = None, controller_a: float | str | None = None, note: str | None = None, tilt: float | str | None = None, tilt_deg: float | str | None = None, azimuth: float | str | None = None, azimuth_deg: float | str | None = None, turning: bool | None = None, tracking: str | None = None, controller_voltage: float | str | None = None, controller_v: float | str | None = None, controller_efficiency: float | str | None = None, controller_standby: float | str | None = None, controller_standby_w: float | str | None = None, open_circuit: float | str | None = None, voc_v: float | str | None = None, peak_voltage: float | str | None = None, vmp_v: float | str | None = None, short_circuit: float | str | None = None, isc_a: float | str | None = None, peak_current: float | str | None = None, imp_a: float | str | None = None, power_coefficient: float | str | None = None, power_per_k: float | str | None = None, voltage_coefficient: float | str | None = None, voc_per_k: float | str | None = None, losses: float | str | None = None, monthly_loss: collections.abc.Iterable[float | str] | None = None, horizon: collections.abc.Iterable[float | str] | None = None, horizon_deg: collections.abc.Iterable[float | str] | None = None, compartment: str | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Array(name="roof", power="300 W", controller_current="25 A").assumed()["tilt"]
        '0°'
        """
    def replace(self, *, name: str | None = None, power: float | str | None = None, power_w: float | str | None = None, controller_current: float | str | None = None, controller_a: float | str | None = None, note: str | None = None, tilt: float | str | None = None, tilt_deg: float | str | None = None, azimuth: float | str | None = None, azimuth_deg: float | str | None = None, turning: bool | None = None, tracking: str | None = None, controller_voltage: float | str | None = None, controller_v: float | str | None = None, controller_efficiency: float | str | None = None, controller_standby: float | str | None = None, controller_standby_w: float | str | None = None, open_circuit: float | str | None = None, voc_v: float | str | None = None, peak_voltage: float | str | None = None, vmp_v: float | str | None = None, short_circuit: float | str | None = None, isc_a: float | str | None = None, peak_current: float | str | None = None, imp_a: float | str | None = None, power_coefficient: float | str | None = None, power_per_k: float | str | None = None, voltage_coefficient: float | str | None = None, voc_per_k: float | str | None = None, losses: float | str | None = None, monthly_loss: collections.abc.Iterable[float | str] | None = None, horizon: collections.abc.Iterable[float | str] | None = None, horizon_deg: collections.abc.Iterable[float | str] | None = None, compartment: str | None = None) -> Array:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Array(name="roof", power="300 W", controller_current="25 A").replace(power="400 W").power_w
        400.0
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Array(name="roof", power="300 W", controller_current="25 A").stated())
        ['controller_current', 'name', 'power']
        """
    @property
    def azimuth(self) -> str:
        """
        Where it faces, from north clockwise. [°]
        """
    @azimuth.setter
    def azimuth(self, value: float | str | None) -> None:
        ...
    @property
    def azimuth_deg(self) -> float:
        """
        Where it faces, from north clockwise. [°]
        """
    @azimuth_deg.setter
    def azimuth_deg(self, value: float | str | None) -> None:
        ...
    @property
    def compartment(self) -> str:
        """
        Where the controller sits.
        """
    @compartment.setter
    def compartment(self, value: str | None) -> None:
        ...
    @property
    def controller_a(self) -> float:
        """
        Output current limit of the controller. [A]
        """
    @controller_a.setter
    def controller_a(self, value: float | str) -> None:
        ...
    @property
    def controller_current(self) -> str:
        """
        Output current limit of the controller. [A]
        """
    @controller_current.setter
    def controller_current(self, value: float | str) -> None:
        ...
    @property
    def controller_efficiency(self) -> float:
        """
        Output over input power. [%]
        """
    @controller_efficiency.setter
    def controller_efficiency(self, value: float | str | None) -> None:
        ...
    @property
    def controller_standby(self) -> str:
        """
        Drawn by the controller at night. [W]
        """
    @controller_standby.setter
    def controller_standby(self, value: float | str | None) -> None:
        ...
    @property
    def controller_standby_w(self) -> float:
        """
        Drawn by the controller at night. [W]
        """
    @controller_standby_w.setter
    def controller_standby_w(self, value: float | str | None) -> None:
        ...
    @property
    def controller_v(self) -> float | None:
        """
        Highest input voltage of the controller. [V]
        """
    @controller_v.setter
    def controller_v(self, value: float | str | None) -> None:
        ...
    @property
    def controller_voltage(self) -> str | None:
        """
        Highest input voltage of the controller. [V]
        """
    @controller_voltage.setter
    def controller_voltage(self, value: float | str | None) -> None:
        ...
    @property
    def horizon(self) -> tuple[str, ...]:
        """
        Height of the horizon in equal steps of azimuth, from north clockwise. [°]
        """
    @horizon.setter
    def horizon(self, value: collections.abc.Iterable[float | str] | None) -> None:
        ...
    @property
    def horizon_deg(self) -> tuple[float, ...]:
        """
        Height of the horizon in equal steps of azimuth, from north clockwise. [°]
        """
    @horizon_deg.setter
    def horizon_deg(self, value: collections.abc.Iterable[float | str] | None) -> None:
        ...
    @property
    def imp_a(self) -> float | None:
        """
        Current at its peak power at 25 °C. [A]
        """
    @imp_a.setter
    def imp_a(self, value: float | str | None) -> None:
        ...
    @property
    def isc_a(self) -> float | None:
        """
        Short-circuit current of the array at 25 °C. [A]
        """
    @isc_a.setter
    def isc_a(self, value: float | str | None) -> None:
        ...
    @property
    def losses(self) -> float:
        """
        Soiling, mismatch, wiring and age: all but the controller. [%]
        """
    @losses.setter
    def losses(self, value: float | str | None) -> None:
        ...
    @property
    def monthly_loss(self) -> tuple[float, ...]:
        """
        Snow and dirt on top of that, January first. [%]
        """
    @monthly_loss.setter
    def monthly_loss(self, value: collections.abc.Iterable[float | str] | None) -> None:
        ...
    @property
    def name(self) -> str:
        """
        Name used by runs: the controller's output.
        """
    @name.setter
    def name(self, value: str) -> None:
        ...
    @property
    def note(self) -> str:
        """
        Anything worth keeping with it.
        """
    @note.setter
    def note(self, value: str | None) -> None:
        ...
    @property
    def open_circuit(self) -> str | None:
        """
        Open-circuit voltage of the array at 25 °C. [V]
        """
    @open_circuit.setter
    def open_circuit(self, value: float | str | None) -> None:
        ...
    @property
    def peak_current(self) -> str | None:
        """
        Current at its peak power at 25 °C. [A]
        """
    @peak_current.setter
    def peak_current(self, value: float | str | None) -> None:
        ...
    @property
    def peak_voltage(self) -> str | None:
        """
        Voltage at its peak power at 25 °C. [V]
        """
    @peak_voltage.setter
    def peak_voltage(self, value: float | str | None) -> None:
        ...
    @property
    def power(self) -> str:
        """
        Rated power of the whole array at 1000 W/m² and 25 °C. [W]
        """
    @power.setter
    def power(self, value: float | str) -> None:
        ...
    @property
    def power_coefficient(self) -> str:
        """
        Change of power per kelvin. [%/K]
        """
    @power_coefficient.setter
    def power_coefficient(self, value: float | str | None) -> None:
        ...
    @property
    def power_per_k(self) -> float:
        """
        Change of power per kelvin. [%/K]
        """
    @power_per_k.setter
    def power_per_k(self, value: float | str | None) -> None:
        ...
    @property
    def power_w(self) -> float:
        """
        Rated power of the whole array at 1000 W/m² and 25 °C. [W]
        """
    @power_w.setter
    def power_w(self, value: float | str) -> None:
        ...
    @property
    def short_circuit(self) -> str | None:
        """
        Short-circuit current of the array at 25 °C. [A]
        """
    @short_circuit.setter
    def short_circuit(self, value: float | str | None) -> None:
        ...
    @property
    def tilt(self) -> str:
        """
        0 flat, 90 upright. [°]
        """
    @tilt.setter
    def tilt(self, value: float | str | None) -> None:
        ...
    @property
    def tilt_deg(self) -> float:
        """
        0 flat, 90 upright. [°]
        """
    @tilt_deg.setter
    def tilt_deg(self, value: float | str | None) -> None:
        ...
    @property
    def tracking(self) -> str:
        """
        How the controller couples the array to the bank. One of "MPPT", "PWM".
        """
    @tracking.setter
    def tracking(self, value: str | None) -> None:
        ...
    @property
    def turning(self) -> bool:
        """
        On a vehicle whose heading is not known.
        """
    @turning.setter
    def turning(self, value: bool | None) -> None:
        ...
    @property
    def vmp_v(self) -> float | None:
        """
        Voltage at its peak power at 25 °C. [V]
        """
    @vmp_v.setter
    def vmp_v(self, value: float | str | None) -> None:
        ...
    @property
    def voc_per_k(self) -> float:
        """
        Change of open-circuit voltage per kelvin. [%/K]
        """
    @voc_per_k.setter
    def voc_per_k(self, value: float | str | None) -> None:
        ...
    @property
    def voc_v(self) -> float | None:
        """
        Open-circuit voltage of the array at 25 °C. [V]
        """
    @voc_v.setter
    def voc_v(self, value: float | str | None) -> None:
        ...
    @property
    def voltage_coefficient(self) -> str:
        """
        Change of open-circuit voltage per kelvin. [%/K]
        """
    @voltage_coefficient.setter
    def voltage_coefficient(self, value: float | str | None) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
class Compartment:
    """
    An air space that gear, bank or runs sit in.
    
    Parameters
    ----------
    name : str
        Name used by what sits in it.
    note : str, default ''
        Anything worth keeping with it.
    conductance, conductance_w_per_k : float
        Heat through its walls to outside, area times transmittance. [W/K]
    heat_capacity, heat_capacity_j_per_k : float, default '20000 J/K'
        Of the air, the gear and the inner walls. [J/K]
    solar_gain, solar_gain_w : float, default '0 W'
        Heat from the sun on its walls at 1000 W/m² on the horizontal. [W]
    neighbour : str, default ''
        Compartment behind a common wall.
    neighbour_conductance, neighbour_w_per_k : float, default '0 W/K'
        Heat through that wall. [W/K]
    held, held_c : float, optional
        Temperature at which it is held; a heated or cooled room. [°C]
    temp_max, temp_max_c : float, default '45 °C'
        Limit of the air for what sits in it. [°C]
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Compartment(name="rack", conductance="4 W/K")
    >>> one.conductance_w_per_k
    4.0
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'compartment'
    def __copy__(self) -> Compartment:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Compartment:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, name: str, conductance: float | str | None = None, conductance_w_per_k: float | str | None = None, note: str | None = None, heat_capacity: float | str | None = None, heat_capacity_j_per_k: float | str | None = None, solar_gain: float | str | None = None, solar_gain_w: float | str | None = None, neighbour: str | None = None, neighbour_conductance: float | str | None = None, neighbour_w_per_k: float | str | None = None, held: float | str | None = None, held_c: float | str | None = None, temp_max: float | str | None = None, temp_max_c: float | str | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Compartment(name="rack", conductance="4 W/K").assumed()["heat_capacity"]
        '20000 J/K'
        """
    def replace(self, *, name: str | None = None, conductance: float | str | None = None, conductance_w_per_k: float | str | None = None, note: str | None = None, heat_capacity: float | str | None = None, heat_capacity_j_per_k: float | str | None = None, solar_gain: float | str | None = None, solar_gain_w: float | str | None = None, neighbour: str | None = None, neighbour_conductance: float | str | None = None, neighbour_w_per_k: float | str | None = None, held: float | str | None = None, held_c: float | str | None = None, temp_max: float | str | None = None, temp_max_c: float | str | None = None) -> Compartment:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Compartment(name="rack", conductance="4 W/K").replace(conductance="6 W/K").conductance_w_per_k
        6.0
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Compartment(name="rack", conductance="4 W/K").stated())
        ['conductance', 'name']
        """
    @property
    def conductance(self) -> str:
        """
        Heat through its walls to outside, area times transmittance. [W/K]
        """
    @conductance.setter
    def conductance(self, value: float | str) -> None:
        ...
    @property
    def conductance_w_per_k(self) -> float:
        """
        Heat through its walls to outside, area times transmittance. [W/K]
        """
    @conductance_w_per_k.setter
    def conductance_w_per_k(self, value: float | str) -> None:
        ...
    @property
    def heat_capacity(self) -> str:
        """
        Of the air, the gear and the inner walls. [J/K]
        """
    @heat_capacity.setter
    def heat_capacity(self, value: float | str | None) -> None:
        ...
    @property
    def heat_capacity_j_per_k(self) -> float:
        """
        Of the air, the gear and the inner walls. [J/K]
        """
    @heat_capacity_j_per_k.setter
    def heat_capacity_j_per_k(self, value: float | str | None) -> None:
        ...
    @property
    def held(self) -> str | None:
        """
        Temperature at which it is held; a heated or cooled room. [°C]
        """
    @held.setter
    def held(self, value: float | str | None) -> None:
        ...
    @property
    def held_c(self) -> float | None:
        """
        Temperature at which it is held; a heated or cooled room. [°C]
        """
    @held_c.setter
    def held_c(self, value: float | str | None) -> None:
        ...
    @property
    def name(self) -> str:
        """
        Name used by what sits in it.
        """
    @name.setter
    def name(self, value: str) -> None:
        ...
    @property
    def neighbour(self) -> str:
        """
        Compartment behind a common wall.
        """
    @neighbour.setter
    def neighbour(self, value: str | None) -> None:
        ...
    @property
    def neighbour_conductance(self) -> str:
        """
        Heat through that wall. [W/K]
        """
    @neighbour_conductance.setter
    def neighbour_conductance(self, value: float | str | None) -> None:
        ...
    @property
    def neighbour_w_per_k(self) -> float:
        """
        Heat through that wall. [W/K]
        """
    @neighbour_w_per_k.setter
    def neighbour_w_per_k(self, value: float | str | None) -> None:
        ...
    @property
    def note(self) -> str:
        """
        Anything worth keeping with it.
        """
    @note.setter
    def note(self, value: str | None) -> None:
        ...
    @property
    def solar_gain(self) -> str:
        """
        Heat from the sun on its walls at 1000 W/m² on the horizontal. [W]
        """
    @solar_gain.setter
    def solar_gain(self, value: float | str | None) -> None:
        ...
    @property
    def solar_gain_w(self) -> float:
        """
        Heat from the sun on its walls at 1000 W/m² on the horizontal. [W]
        """
    @solar_gain_w.setter
    def solar_gain_w(self, value: float | str | None) -> None:
        ...
    @property
    def temp_max(self) -> str:
        """
        Limit of the air for what sits in it. [°C]
        """
    @temp_max.setter
    def temp_max(self, value: float | str | None) -> None:
        ...
    @property
    def temp_max_c(self) -> float:
        """
        Limit of the air for what sits in it. [°C]
        """
    @temp_max_c.setter
    def temp_max_c(self, value: float | str | None) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
class Price:
    """
    What a metre of one conductor costs, for the objective "cost".
    
    Parameters
    ----------
    size : ConductorSize
        Conductor size.
    per_metre, per_m : float
        Money per metre, any currency.
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Price(size="12 AWG", per_metre=1.4)
    >>> one.per_m
    1.4
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'price'
    def __copy__(self) -> Price:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Price:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, size: str | ConductorSize, per_metre: float | str | None = None, per_m: float | str | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Price(size="12 AWG", per_metre=1.4).assumed()
        {}
        """
    def replace(self, *, size: str | ConductorSize | None = None, per_metre: float | str | None = None, per_m: float | str | None = None) -> Price:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Price(size="12 AWG", per_metre=1.4).replace(per_metre=1.6).per_m
        1.6
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Price(size="12 AWG", per_metre=1.4).stated())
        ['per_metre', 'size']
        """
    @property
    def per_m(self) -> float:
        """
        Money per metre, any currency.
        """
    @per_m.setter
    def per_m(self, value: float | str) -> None:
        ...
    @property
    def per_metre(self) -> str:
        """
        Money per metre, any currency.
        """
    @per_metre.setter
    def per_metre(self, value: float | str) -> None:
        ...
    @property
    def size(self) -> ConductorSize:
        """
        Conductor size.
        """
    @size.setter
    def size(self, value: str | ConductorSize) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
class Case:
    """
    One operating condition in which the whole system is examined.
    
    Parameters
    ----------
    name : str
        Short name, used in findings.
    note : str, default ''
        Anything worth keeping with it.
    bank : str, default 'low'
        State of the bank. One of "low", "rest", "charging".
    demand : str, default 'typical'
        What the loads draw. One of "rest", "typical", "peak".
    ambient : str, default 'mild'
        Outside air: the site's cold, mild or hot. One of "cold", "mild", "hot".
    charge : float, optional
        State of charge, instead of the bank's own for this state. [%]
    temp, temp_c : float, optional
        Outside air, instead of the site's. [°C]
    off : tuple[str, ...], default ()
        Loads, converters and chargers that are switched off.
    
    Raises
    ------
    InputError
        Naming every argument that is missing or refused.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> one = nb.Case(name="first start", demand="peak", temp="-20 °C")
    >>> one.temp_c
    -20.0
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    record_kind: typing.ClassVar[str] = 'case'
    def __copy__(self) -> Case:
        ...
    def __deepcopy__(self, memo: dict[int, typing.Any]) -> Case:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __init__(self, *, name: str, note: str | None = None, bank: str | None = None, demand: str | None = None, ambient: str | None = None, charge: float | str | None = None, temp: float | str | None = None, temp_c: float | str | None = None, off: collections.abc.Iterable[str] | None = None) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def assumed(self) -> dict[str, typing.Any]:
        """
        The defaults that the author left standing and that a plan must print.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Case(name="first start", demand="peak", temp="-20 °C").assumed()
        {}
        """
    def replace(self, *, name: str | None = None, note: str | None = None, bank: str | None = None, demand: str | None = None, ambient: str | None = None, charge: float | str | None = None, temp: float | str | None = None, temp_c: float | str | None = None, off: collections.abc.Iterable[str] | None = None) -> Case:
        """
        A copy with some fields changed. Raises InputError for a value that is refused.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> nb.Case(name="first start", demand="peak", temp="-20 °C").replace(temp="-25 °C").temp_c
        -25.0
        """
    def stated(self) -> dict[str, typing.Any]:
        """
        Every field that was given or is not at its default, as it would be written.
        
        Examples
        --------
        >>> import nightbus as nb
        >>> sorted(nb.Case(name="first start", demand="peak", temp="-20 °C").stated())
        ['demand', 'name', 'temp']
        """
    @property
    def ambient(self) -> str:
        """
        Outside air: the site's cold, mild or hot. One of "cold", "mild", "hot".
        """
    @ambient.setter
    def ambient(self, value: str | None) -> None:
        ...
    @property
    def bank(self) -> str:
        """
        State of the bank. One of "low", "rest", "charging".
        """
    @bank.setter
    def bank(self, value: str | None) -> None:
        ...
    @property
    def charge(self) -> float | None:
        """
        State of charge, instead of the bank's own for this state. [%]
        """
    @charge.setter
    def charge(self, value: float | str | None) -> None:
        ...
    @property
    def demand(self) -> str:
        """
        What the loads draw. One of "rest", "typical", "peak".
        """
    @demand.setter
    def demand(self, value: str | None) -> None:
        ...
    @property
    def name(self) -> str:
        """
        Short name, used in findings.
        """
    @name.setter
    def name(self, value: str) -> None:
        ...
    @property
    def note(self) -> str:
        """
        Anything worth keeping with it.
        """
    @note.setter
    def note(self, value: str | None) -> None:
        ...
    @property
    def off(self) -> tuple[str, ...]:
        """
        Loads, converters and chargers that are switched off.
        """
    @off.setter
    def off(self, value: collections.abc.Iterable[str] | None) -> None:
        ...
    @property
    def temp(self) -> str | None:
        """
        Outside air, instead of the site's. [°C]
        """
    @temp.setter
    def temp(self, value: float | str | None) -> None:
        ...
    @property
    def temp_c(self) -> float | None:
        """
        Outside air, instead of the site's. [°C]
        """
    @temp_c.setter
    def temp_c(self, value: float | str | None) -> None:
        ...
    @property
    def where(self) -> Span:
        """
        Its place in the file.
        """
class SystemData:
    """
    The C++ side of nightbus.System, made anew for each computation.
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    note: str
    title: str
    def __copy__(self) -> SystemData:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> SystemData:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __init__(self) -> None:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def append(self, record: typing.Any) -> None:
        """
        Adds a record; site and rules are replaced.
        """
    def records(self, kind: str) -> typing.Any:
        """
        Copies of the records of one kind.
        """
    @property
    def format(self) -> int:
        ...
    @format.setter
    def format(self, arg0: typing.SupportsInt | typing.SupportsIndex) -> None:
        ...
class ParameterKind(enum.Enum):
    """
    A number that may change between solves.
    """
    AMBIENT_C = ...
    CEILING_V = ...
    CONDUCTANCE_S = ...
    CURRENT_A = ...
    CURRENT_LIMIT_A = ...
    EMF_V = ...
    ENABLED = ...
    FAN_A_PER_V2 = ...
    MINIMUM_V = ...
    POWER_LIMIT_W = ...
    POWER_W = ...
    RESISTANCE_OHM = ...
    SCALE = ...
    SET_POINT_V = ...
    STANDBY_W = ...
class QuantityKind(enum.Enum):
    """
    What can be read from a solved scenario.
    """
    CURRENT_A = ...
    LOSS_W = ...
    NODE_V = ...
    OUTPUT_CURRENT_A = ...
    OUTPUT_POWER_W = ...
    OUTPUT_VOLTAGE_V = ...
    POWER_W = ...
    SUPPLIED_W = ...
    TEMP_C = ...
    TOTAL_LOSS_W = ...
    VOLTAGE_V = ...
class SolveStatus(enum.IntEnum):
    """
    What a network says of itself.
    """
    COLLAPSED = ...
    INVALID = ...
    NOT_CONVERGED = ...
    NO_CONSISTENT_STATE = ...
    SHORT_CIRCUIT = ...
    SOLVED = ...
class ConverterTopology(enum.Enum):
    """
    Which way a converter works.
    """
    BOOST = ...
    BUCK = ...
    BUCK_BOOST = ...
class NetworkPoint:
    """
    One solved network; arrays by node or element number.
    """
    def __copy__(self) -> NetworkPoint:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> NetworkPoint:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def balance_w(self) -> float:
        ...
    @property
    def careful(self) -> bool:
        ...
    @property
    def collapse_multiplier(self) -> float:
        ...
    @property
    def current_a(self) -> numpy.typing.NDArray[numpy.float64]:
        ...
    @property
    def iterations(self) -> int:
        ...
    @property
    def load_w(self) -> float:
        ...
    @property
    def loss_w(self) -> numpy.typing.NDArray[numpy.float64]:
        ...
    @property
    def node_v(self) -> numpy.typing.NDArray[numpy.float64]:
        ...
    @property
    def on(self) -> numpy.typing.NDArray[numpy.uint8]:
        ...
    @property
    def output_current_a(self) -> numpy.typing.NDArray[numpy.float64]:
        ...
    @property
    def output_voltage_v(self) -> numpy.typing.NDArray[numpy.float64]:
        ...
    @property
    def power_w(self) -> numpy.typing.NDArray[numpy.float64]:
        ...
    @property
    def residual_a(self) -> float:
        ...
    @property
    def state_changes(self) -> int:
        ...
    @property
    def states(self) -> list[str]:
        ...
    @property
    def status(self) -> SolveStatus:
        ...
    @property
    def supplied_w(self) -> float:
        ...
    @property
    def temp_c(self) -> numpy.typing.NDArray[numpy.float64]:
        ...
    @property
    def total_loss_w(self) -> float:
        ...
    @property
    def voltage_v(self) -> numpy.typing.NDArray[numpy.float64]:
        ...
class BatchResult:
    """
    Answers of a batch, one row for each scenario.
    """
    __hash__: typing.ClassVar[None] = None  # type: ignore[assignment]
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[numpy.typing.NDArray[numpy.float64], numpy.typing.NDArray[numpy.uint8], numpy.typing.NDArray[numpy.float64], numpy.typing.NDArray[numpy.uint16], bytes]:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def careful(self) -> int:
        ...
    @property
    def failed(self) -> int:
        ...
    @property
    def iterations(self) -> numpy.typing.NDArray[numpy.uint16]:
        ...
    @property
    def lanes(self) -> int:
        ...
    @property
    def residual_a(self) -> numpy.typing.NDArray[numpy.float64]:
        ...
    @property
    def solved(self) -> int:
        ...
    @property
    def status(self) -> numpy.typing.NDArray[numpy.uint8]:
        """
        SolveStatus of each scenario, as a number
        """
    @property
    def threads(self) -> int:
        ...
    @property
    def values(self) -> numpy.typing.NDArray[numpy.float64]:
        """
        [scenario x quantity]
        """
class Batch:
    """
    A batch made ready: solve_batch for many tables of the same columns.
    """
    def solve(self, table: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], *, threads: typing.SupportsInt | typing.SupportsIndex = 1, out: typing.Annotated[numpy.typing.ArrayLike, numpy.float64] | None = None) -> BatchResult:
        """
        Solve each row of `table` ([scenario x parameter], float64, any strides, not copied).
        
        One call at a time: a second thread waits for the first.
        """
    @property
    def parameter_count(self) -> int:
        ...
    @property
    def quantity_count(self) -> int:
        ...
class MarginPoint:
    """
    Where growing loads meet a limit.
    """
    def __copy__(self) -> MarginPoint:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> MarginPoint:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def element(self) -> int:
        ...
    @property
    def multiplier(self) -> float:
        ...
    @property
    def value(self) -> float:
        ...
class NetworkMargins:
    """
    Load multipliers to windows, limits and collapse.
    """
    def __copy__(self) -> NetworkMargins:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> NetworkMargins:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def collapse(self) -> MarginPoint | None:
        ...
    @property
    def current(self) -> list[MarginPoint | None]:
        ...
    @property
    def first_current(self) -> MarginPoint | None:
        ...
    @property
    def first_window(self) -> MarginPoint | None:
        ...
    @property
    def status(self) -> SolveStatus:
        ...
class Circuit:
    """
    A compiled network: solved many times, shared by threads.
    """
    def batch(self, parameters: collections.abc.Sequence[tuple[typing.SupportsInt | typing.SupportsIndex, ParameterKind]], quantities: collections.abc.Sequence[tuple[QuantityKind, typing.SupportsInt | typing.SupportsIndex]], *, lanes: typing.SupportsInt | typing.SupportsIndex = 0, previous_on: collections.abc.Sequence[typing.SupportsInt | typing.SupportsIndex] = []) -> Batch:
        """
        Make a batch ready for many tables of the same columns.
        """
    def fault_currents(self, points: collections.abc.Sequence[tuple[typing.SupportsInt | typing.SupportsIndex, typing.SupportsInt | typing.SupportsIndex]], changes: collections.abc.Sequence[tuple[typing.SupportsInt | typing.SupportsIndex, ParameterKind, typing.SupportsFloat | typing.SupportsIndex]] = []) -> numpy.typing.NDArray[numpy.float64]:
        """
        Bolted fault current in A between each (p, n).
        """
    def margins(self, changes: collections.abc.Sequence[tuple[typing.SupportsInt | typing.SupportsIndex, ParameterKind, typing.SupportsFloat | typing.SupportsIndex]] = [], *, windows: collections.abc.Sequence[tuple[typing.SupportsInt | typing.SupportsIndex, typing.SupportsFloat | typing.SupportsIndex, typing.SupportsFloat | typing.SupportsIndex]] = [], limits: collections.abc.Sequence[tuple[typing.SupportsInt | typing.SupportsIndex, typing.SupportsFloat | typing.SupportsIndex]] = [], largest: typing.SupportsFloat | typing.SupportsIndex = 100.0) -> NetworkMargins:
        """
        Load multipliers to the first window (element, low_v, high_v), each current limit
        (element, limit_a) and voltage collapse.
        """
    def sensitivities(self, changes: collections.abc.Sequence[tuple[typing.SupportsInt | typing.SupportsIndex, ParameterKind, typing.SupportsFloat | typing.SupportsIndex]] = [], *, quantities: collections.abc.Sequence[tuple[QuantityKind, typing.SupportsInt | typing.SupportsIndex]], with_respect_to: collections.abc.Sequence[tuple[typing.SupportsInt | typing.SupportsIndex, ParameterKind]]) -> numpy.typing.NDArray[numpy.float64]:
        """
        d quantity / d parameter at the operating point, [quantity x parameter].
        """
    def solve(self, changes: collections.abc.Sequence[tuple[typing.SupportsInt | typing.SupportsIndex, ParameterKind, typing.SupportsFloat | typing.SupportsIndex]] = [], *, previous_on: collections.abc.Sequence[typing.SupportsInt | typing.SupportsIndex] = [], hold_states: bool = False) -> NetworkPoint:
        """
        Solve once; `changes` are (element, kind, value).
        """
    def solve_batch(self, parameters: collections.abc.Sequence[tuple[typing.SupportsInt | typing.SupportsIndex, ParameterKind]], table: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], quantities: collections.abc.Sequence[tuple[QuantityKind, typing.SupportsInt | typing.SupportsIndex]], *, threads: typing.SupportsInt | typing.SupportsIndex = 1, lanes: typing.SupportsInt | typing.SupportsIndex = 0, previous_on: collections.abc.Sequence[typing.SupportsInt | typing.SupportsIndex] = [], out: typing.Annotated[numpy.typing.ArrayLike, numpy.float64] | None = None) -> BatchResult:
        """
        Solve each row of `table` ([scenario x parameter], float64, any strides, not copied).
        
        Equal to the plain loop over solve(), bit for bit, for any number of threads or lanes.
        """
    @property
    def element_count(self) -> int:
        ...
    @property
    def node_count(self) -> int:
        ...
class CircuitBuilder:
    """
    Collects nodes and elements of a DC network by number; compile() makes a Circuit.
    """
    def __init__(self) -> None:
        ...
    def add_charger(self, p: typing.SupportsInt | typing.SupportsIndex, n: typing.SupportsInt | typing.SupportsIndex, *, ceiling_v: typing.SupportsFloat | typing.SupportsIndex, current_limit_a: typing.SupportsFloat | typing.SupportsIndex = ..., power_limit_w: typing.SupportsFloat | typing.SupportsIndex = ..., resistance_ohm: typing.SupportsFloat | typing.SupportsIndex = 0.001) -> int:
        ...
    def add_conductor(self, a: typing.SupportsInt | typing.SupportsIndex, b: typing.SupportsInt | typing.SupportsIndex, *, resistance_ohm: typing.SupportsFloat | typing.SupportsIndex, temperature_coefficient: typing.SupportsFloat | typing.SupportsIndex = 0.0, reference_c: typing.SupportsFloat | typing.SupportsIndex = 20.0, ambient_c: typing.SupportsFloat | typing.SupportsIndex = 20.0, kelvin_per_watt: typing.SupportsFloat | typing.SupportsIndex = 0.0) -> int:
        ...
    def add_converter(self, in_p: typing.SupportsInt | typing.SupportsIndex, in_n: typing.SupportsInt | typing.SupportsIndex, out_p: typing.SupportsInt | typing.SupportsIndex, out_n: typing.SupportsInt | typing.SupportsIndex, *, kind: ConverterTopology = ConverterTopology.BUCK_BOOST, set_point_v: typing.SupportsFloat | typing.SupportsIndex, output_resistance_ohm: typing.SupportsFloat | typing.SupportsIndex = 0.01, current_limit_a: typing.SupportsFloat | typing.SupportsIndex = ..., standby_w: typing.SupportsFloat | typing.SupportsIndex = 0.0, loss_fraction: typing.SupportsFloat | typing.SupportsIndex = 0.0, loss_per_watt: typing.SupportsFloat | typing.SupportsIndex = 0.0, drop_out_v: typing.SupportsFloat | typing.SupportsIndex = 0.0, minimum_input_v: typing.SupportsFloat | typing.SupportsIndex = 0.0, off_below_v: typing.SupportsFloat | typing.SupportsIndex | None = None, on_above_v: typing.SupportsFloat | typing.SupportsIndex | None = None) -> int:
        ...
    def add_diode(self, anode: typing.SupportsInt | typing.SupportsIndex, cathode: typing.SupportsInt | typing.SupportsIndex, *, forward_v: typing.SupportsFloat | typing.SupportsIndex = 0.0, resistance_ohm: typing.SupportsFloat | typing.SupportsIndex = 0.001) -> int:
        ...
    def add_load(self, p: typing.SupportsInt | typing.SupportsIndex, n: typing.SupportsInt | typing.SupportsIndex, *, power_w: typing.SupportsFloat | typing.SupportsIndex = 0.0, current_a: typing.SupportsFloat | typing.SupportsIndex = 0.0, conductance_s: typing.SupportsFloat | typing.SupportsIndex = 0.0, fan_a_per_v2: typing.SupportsFloat | typing.SupportsIndex = 0.0, minimum_v: typing.SupportsFloat | typing.SupportsIndex = 0.0, scale: typing.SupportsFloat | typing.SupportsIndex = 1.0, off_below_v: typing.SupportsFloat | typing.SupportsIndex | None = None, on_above_v: typing.SupportsFloat | typing.SupportsIndex | None = None) -> int:
        ...
    def add_node(self) -> int:
        ...
    def add_resistor(self, a: typing.SupportsInt | typing.SupportsIndex, b: typing.SupportsInt | typing.SupportsIndex, resistance_ohm: typing.SupportsFloat | typing.SupportsIndex) -> int:
        ...
    def add_source(self, p: typing.SupportsInt | typing.SupportsIndex, n: typing.SupportsInt | typing.SupportsIndex, *, emf_v: typing.SupportsFloat | typing.SupportsIndex, resistance_ohm: typing.SupportsFloat | typing.SupportsIndex = 0.0) -> int:
        ...
    def compile(self) -> Circuit:
        ...
    def set_reference(self, node: typing.SupportsInt | typing.SupportsIndex) -> None:
        ...
class RunResult:
    """
    One run in one case.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> case = nb.plan("post.toml").case_results[0]
    >>> round(case.runs[2].drop_v, 2)
    0.18
    """
    def __copy__(self) -> RunResult:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> RunResult:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def ambient_c(self) -> float:
        """
        Air around it. [°C]
        """
    @property
    def conductor_c(self) -> float:
        """
        Hotter of the two poles. [°C]
        """
    @property
    def conductor_loss_w(self) -> float:
        """
        In the conductor alone. [W]
        """
    @property
    def current_a(self) -> float:
        """
        In the positive pole, positive from `from` to `to`. [A]
        """
    @property
    def drop_ratio(self) -> float:
        """
        The same, of the nominal voltage of its part of the system.
        """
    @property
    def drop_v(self) -> float:
        """
        Both poles or chassis: conductor, joints, fuse, switch. [V]
        """
    @property
    def loss_w(self) -> float:
        """
        All of it: conductor, joints, fuse, switch. [W]
        """
    @property
    def negative_drop_v(self) -> float:
        """
        In the way back alone. [V]
        """
    @property
    def positive_drop_v(self) -> float:
        """
        In the positive pole alone. [V]
        """
    @property
    def return_current_a(self) -> float:
        """
        In its own return, positive from `to` to `from`. [A]
        """
class LoadResult:
    """
    One load, fan or PoE device in one case.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> case = nb.plan("post.toml").case_results[0]
    >>> case.loads[1].state, round(case.loads[1].voltage_v, 2)
    ('normal', 12.68)
    """
    def __copy__(self) -> LoadResult:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> LoadResult:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def above_low_v(self) -> float | None:
        """
        Above the lower end of its window; below 0: browned out. [V]
        """
    @property
    def below_high_v(self) -> float | None:
        """
        Below the upper end of its window; below 0: too high. [V]
        """
    @property
    def current_a(self) -> float:
        """
        All of `count` together. [A]
        """
    @property
    def drop_ratio(self) -> float:
        """
        The same, of the nominal voltage.
        """
    @property
    def drop_v(self) -> float:
        """
        From the source of its part of the system. [V]
        """
    @property
    def power_w(self) -> float:
        """
        All of `count` together, at the terminals. [W]
        """
    @property
    def running(self) -> bool:
        """
        Switched on, and not locked out.
        """
    @property
    def state(self) -> str:
        """
        How it works just now, in words.
        """
    @property
    def voltage_v(self) -> float:
        """
        Between its terminals. [V]
        """
class ConverterResult:
    """
    One converter in one case.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> system = nb.read("post.toml")
    >>> shelf = nb.Converter(name="shelf", output="5 V", power="20 W")
    >>> system = system.add(shelf, feed={"from_": "block", "length": "1 m"})
    >>> system = system.add(nb.Load(name="clock", typical="2 W", window="4.7 V to 5.3 V"),
    ...                     feed={"from_": "shelf", "length": "1 m"})
    >>> found = nb.plan(system).case_results[0].converters[0]
    >>> found.input_w > found.output_w > 2.0
    True
    """
    def __copy__(self) -> ConverterResult:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> ConverterResult:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def above_low_v(self) -> float | None:
        """
        Input above the lower end of its window. [V]
        """
    @property
    def below_high_v(self) -> float | None:
        """
        Input below the upper end of its window. [V]
        """
    @property
    def drop_ratio(self) -> float:
        """
        The same, of the nominal voltage.
        """
    @property
    def drop_v(self) -> float:
        """
        On the way to its input. [V]
        """
    @property
    def input_a(self) -> float:
        """
        Into it. [A]
        """
    @property
    def input_v(self) -> float:
        """
        Between its input terminals. [V]
        """
    @property
    def input_w(self) -> float:
        """
        Into it, losses and standby included. [W]
        """
    @property
    def load_ratio(self) -> float:
        """
        Output over its rating.
        """
    @property
    def loss_w(self) -> float:
        """
        Standby included. [W]
        """
    @property
    def output_a(self) -> float:
        """
        Out of it. [A]
        """
    @property
    def output_v(self) -> float:
        """
        Between its output terminals. [V]
        """
    @property
    def output_w(self) -> float:
        """
        Out of it. [W]
        """
    @property
    def state(self) -> str:
        """
        How it works just now, in words.
        """
class PoeResult:
    """
    One PoE link in one case.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> system = nb.read("post.toml")
    >>> injector = nb.Converter(name="injector", kind="injector", output="54 V", power="60 W")
    >>> system = system.add(injector, feed={"from_": "block", "length": "1 m"})
    >>> gate = nb.PoeLink(name="gate", from_="injector", length="30 m", typical="6 W")
    >>> link = nb.plan(system.add(gate)).case_results[0].poe_links[0]
    >>> link.port_w > link.device.power_w
    True
    """
    def __copy__(self) -> PoeResult:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> PoeResult:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def cable_loss_w(self) -> float:
        """
        Lost in the pairs. [W]
        """
    @property
    def device(self) -> LoadResult:
        """
        The powered device, as a load.
        """
    @property
    def loop_ohm(self) -> float:
        """
        Out and back through the pairs. [Ω]
        """
    @property
    def port_a(self) -> float:
        """
        Out of the port. [A]
        """
    @property
    def port_v(self) -> float:
        """
        At the port. [V]
        """
    @property
    def port_w(self) -> float:
        """
        Out of the port, cable loss included. [W]
        """
class BankResult:
    """
    One bank in one case; current is out of it.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> case = nb.plan("post.toml").case_results[0]
    >>> round(case.banks[0].voltage_v, 2), round(case.banks[0].current_a, 2)
    (12.88, 1.18)
    """
    def __copy__(self) -> BankResult:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> BankResult:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def current_a(self) -> float:
        """
        Out of it; negative while it is charged. [A]
        """
    @property
    def emf_v(self) -> float:
        """
        Behind its resistance. [V]
        """
    @property
    def loss_w(self) -> float:
        """
        In its own resistance. [W]
        """
    @property
    def voltage_v(self) -> float:
        """
        At its terminals. [V]
        """
class ChargerResult:
    """
    One charger or array controller.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> charging = nb.plan("post.toml").case_results[5]
    >>> charging.name, round(charging.arrays[0].voltage_v, 1)
    ('charging, peak, hot', 14.6)
    """
    def __copy__(self) -> ChargerResult:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> ChargerResult:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def current_a(self) -> float:
        """
        Out of it. [A]
        """
    @property
    def power_w(self) -> float:
        """
        Out of it. [W]
        """
    @property
    def state(self) -> str:
        """
        How it works just now, in words.
        """
    @property
    def voltage_v(self) -> float:
        """
        At its terminals. [V]
        """
class Balance:
    """
    What every solved case must close.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> case = nb.plan("post.toml").case_results[0]
    >>> round(case.balance.load_w, 2), abs(case.balance.gap_w) < 1e-6
    (15.0, True)
    """
    def __copy__(self) -> Balance:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Balance:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def gap_w(self) -> float:
        """
        Supplied less load and loss: rounding, nothing else. [W]
        """
    @property
    def load_w(self) -> float:
        """
        Taken by the loads. [W]
        """
    @property
    def loss_w(self) -> float:
        """
        In cables, joints, converters and bank resistance. [W]
        """
    @property
    def node_residual_a(self) -> float:
        """
        Largest sum of currents at a node: rounding, nothing else. [A]
        """
    @property
    def supplied_w(self) -> float:
        """
        EMF times current of the banks, and chargers. [W]
        """
class CaseMargins:
    """
    How far from the edge, every load alike.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> case = nb.plan("post.toml").case_results[0]
    >>> case.margins.first_window_device, round(case.margins.first_window_multiplier, 1)
    ('door camera', 9.4)
    """
    def __copy__(self) -> CaseMargins:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> CaseMargins:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def collapse_device(self) -> str:
        """
        Whose line collapses first.
        """
    @property
    def collapse_multiplier(self) -> float | None:
        """
        All loads times this is the most that can be carried; None beyond 100.
        """
    @property
    def first_window_device(self) -> str:
        """
        Which device that is.
        """
    @property
    def first_window_multiplier(self) -> float | None:
        """
        All loads times this, and the first device leaves its window; below 1 it is out.
        """
    @property
    def first_window_v(self) -> float:
        """
        What it sees there. [V]
        """
class BankInputs:
    """
    What a case takes for one bank.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> case = nb.plan("post.toml").case_results[0]
    >>> case.inputs.banks[0].charge, case.inputs.banks[0].temp_c
    (0.2, 38.0)
    """
    def __copy__(self) -> BankInputs:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> BankInputs:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def basis(self) -> str:
        """
        Where the figures come from, in words.
        """
    @property
    def charge(self) -> float:
        """
        State of charge, 0 to 1.
        """
    @property
    def emf_v(self) -> float:
        """
        Behind its resistance. [V]
        """
    @property
    def held_v(self) -> float | None:
        """
        While charging: what the chargers hold it at. [V]
        """
    @property
    def resistance_ohm(self) -> float:
        """
        Of the whole bank. [Ω]
        """
    @property
    def temp_c(self) -> float:
        """
        Of the bank. [°C]
        """
class CaseInputs:
    """
    The numbers a case stands for.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> case = nb.plan("post.toml").case_results[0]
    >>> case.inputs.outside_c, case.inputs.charging
    (38.0, False)
    """
    def __copy__(self) -> CaseInputs:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> CaseInputs:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def banks(self) -> list[BankInputs]:
        """
        One for each bank, in their order.
        """
    @property
    def charging(self) -> bool:
        """
        The chargers are at work.
        """
    @property
    def compartment_c(self) -> list[float]:
        """
        Air in each compartment, in their order. [°C]
        """
    @property
    def fan_step(self) -> list[int]:
        """
        Of each fan, in their order.
        """
    @property
    def name(self) -> str:
        """
        As in :attr:`CaseResult.name`.
        """
    @property
    def off(self) -> list[str]:
        """
        Names of what is switched off.
        """
    @property
    def outside_c(self) -> float:
        """
        Air outside. [°C]
        """
    @property
    def run_ambient_c(self) -> list[float]:
        """
        Air around each run, in their order. [°C]
        """
class CaseResult:
    """
    The whole system in one case.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> case = nb.plan("post.toml").case_results[0]
    >>> case.name, case.status
    ('low, typical, hot', 'solved')
    """
    def __copy__(self) -> CaseResult:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> CaseResult:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def arrays(self) -> list[ChargerResult]:
        """
        One for each array, in order.
        """
    @property
    def balance(self) -> Balance:
        """
        The closure of powers and currents.
        """
    @property
    def banks(self) -> list[BankResult]:
        """
        One for each bank, in order.
        """
    @property
    def chargers(self) -> list[ChargerResult]:
        """
        One for each charger, in order.
        """
    @property
    def collapse_multiplier(self) -> float:
        """
        When collapsed: this share of the loads can be carried.
        """
    @property
    def converters(self) -> list[ConverterResult]:
        """
        One for each converter, in order.
        """
    @property
    def fans(self) -> list[LoadResult]:
        """
        One for each fan, in order.
        """
    @property
    def inputs(self) -> CaseInputs:
        """
        The numbers the case stands for.
        """
    @property
    def iterations(self) -> int:
        """
        Steps of Newton's method.
        """
    @property
    def loads(self) -> list[LoadResult]:
        """
        One for each load, in order.
        """
    @property
    def loop(self) -> list[str]:
        """
        No consistent state: who switches, in order.
        """
    @property
    def margins(self) -> CaseMargins | None:
        """
        How far from the edge; None when not asked for.
        """
    @property
    def name(self) -> str:
        """
        Such as "low, peak, hot".
        """
    @property
    def ok(self) -> bool:
        """
        True when it is solved.
        """
    @property
    def poe_links(self) -> list[PoeResult]:
        """
        One for each PoE link, in order.
        """
    @property
    def runs(self) -> list[RunResult]:
        """
        One for each run of the system, in order.
        """
    @property
    def sentence(self) -> str:
        """
        The status in a sentence.
        """
    @property
    def softened(self) -> bool:
        """
        Collapsed: the figures are those of loads that give way below their window.
        """
    @property
    def status(self) -> str:
        """
        "solved", "collapsed", "no consistent state" …
        """
class DeviceKind(enum.Enum):
    """
    Fuse or breaker.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.Device("mini blade", 10.0).kind.name
    'fuse'
    """
    breaker = ...
    fuse = ...
class Verdict:
    """
    One check of one candidate, in the case that governs it.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> run = nb.plan("post.toml").run("door camera")
    >>> refused = run.candidates[0].first_failure
    >>> refused.code, refused.passed
    ('no-ampacity', False)
    """
    def __copy__(self) -> Verdict:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Verdict:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def at_least(self) -> bool:
        """
        The value must reach the limit; False: must not exceed it.
        """
    @property
    def case_name(self) -> str:
        """
        Empty: no case governs it.
        """
    @property
    def code(self) -> str:
        """
        "ampacity", "drop-critical", "interrupt-rating" …
        """
    @property
    def detail(self) -> str:
        """
        How the value came about.
        """
    @property
    def dimension(self) -> Dimension:
        """
        Of value and limit.
        """
    @property
    def limit(self) -> float | None:
        """
        None where there is none.
        """
    @property
    def passed(self) -> bool:
        """
        False: it failed, or it could not be made.
        """
    @property
    def rejects(self) -> bool:
        """
        A failure rules the candidate out; False: advice.
        """
    @property
    def rule(self) -> str:
        """
        The row it rests on; every rule set gives its own verdict.
        """
    @property
    def severity(self) -> Severity:
        """
        Of the finding, should it fail.
        """
    @property
    def title(self) -> str:
        """
        The check in words.
        """
    @property
    def use(self) -> float | None:
        """
        Share of the limit used; 1 is the limit.
        """
    @property
    def value(self) -> float | None:
        """
        None: data is missing, see `detail`.
        """
class Device:
    """
    An overcurrent device of a form and rating that is made.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.Device("mini blade", 10.0)
    Device('mini blade', 10.0)
    """
    def __copy__(self) -> Device:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Device:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __init__(self, form: str, rating_a: float | str, kind: DeviceKind = DeviceKind.fuse) -> None:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def form(self) -> str:
        """
        Catalogue name, such as "mini blade".
        """
    @property
    def given(self) -> bool:
        """
        By the system file, not chosen.
        """
    @property
    def kind(self) -> DeviceKind:
        """
        Fuse or breaker.
        """
    @property
    def rating_a(self) -> float:
        """
        Printed on it. [A]
        """
    @property
    def resistance_ohm(self) -> float:
        """
        Warm; what the network uses. [Ω]
        """
class Candidate:
    """
    One size with its best device and every check.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> run = nb.plan("post.toml").run("door camera")
    >>> thinnest = run.candidates[0]
    >>> thinnest.feasible, thinnest.first_failure.title
    (False, 'No rule set knows a current for this conductor')
    """
    def __copy__(self) -> Candidate:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Candidate:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def area_mm2(self) -> float:
        """
        Of metal, one conductor. [mm²]
        """
    @property
    def checks(self) -> list[Verdict]:
        """
        In the order they were made.
        """
    @property
    def cost(self) -> float:
        """
        0 when no price is known.
        """
    @property
    def device(self) -> Device | None:
        """
        None: none needed, or none fits.
        """
    @property
    def failed(self) -> int | None:
        """
        Place in `checks` of the first that rejects it; None: it fits.
        """
    @property
    def feasible(self) -> bool:
        """
        Every check that rejects is passed.
        """
    @property
    def first_failure(self) -> Verdict | None:
        """
        The check that rejects it; None: it fits.
        """
    @property
    def metal_kg(self) -> float:
        """
        Out and return, parallel conductors counted. [kg]
        """
    @property
    def return_size(self) -> ConductorSize | None:
        """
        Of its own return when that differs.
        """
    @property
    def size(self) -> ConductorSize:
        """
        Of each conductor.
        """
class DeviceNeed:
    """
    What the device of a run must be able to do.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> run = nb.plan("post.toml").run("door camera")
    >>> run.need.interrupt_v, run.need.within_m
    (14.6, 0.1778)
    """
    def __copy__(self) -> DeviceNeed:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> DeviceNeed:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def at_far_end(self) -> bool:
        """
        Sits at the far end, the bank's side.
        """
    @property
    def holder_a(self) -> float:
        """
        What a holder, block or switch there must carry for ever. [A]
        """
    @property
    def interrupt_a(self) -> float:
        """
        Direct current it must break. [A]
        """
    @property
    def interrupt_v(self) -> float:
        """
        The highest charging voltage of its bus, at which it must do so. [V]
        """
    @property
    def least_fault_a(self) -> float:
        """
        Bolted short at the far end, weak bank, hot wire. [A]
        """
    @property
    def opens_in_s(self) -> float | None:
        """
        At that least current, slow side of its band; None: no curve is published. [s]
        """
    @property
    def prospective_a(self) -> float:
        """
        Bolted short right behind it. [A]
        """
    @property
    def switch_v(self) -> float:
        """
        Direct voltage a switch there must break. [V]
        """
    @property
    def within_m(self) -> float | None:
        """
        Along the conductor from the source; None: no rule. [m]
        """
class RunPlan:
    """
    Conductor and device of one run, and why.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> run = nb.plan("post.toml").run("door camera")
    >>> str(run.size), run.device.form, run.governing_code
    ('18 AWG', 'glass cartridge 32 V', 'no-ampacity')
    """
    def __copy__(self) -> RunPlan:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> RunPlan:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __repr__(self) -> str:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def ampacity_a(self) -> float:
        """
        Corrected, strictest rule set, terminals included. [A]
        """
    @property
    def ampacity_rule(self) -> str:
        """
        The row it rests on.
        """
    @property
    def area_mm2(self) -> float:
        """
        Of metal, one conductor. [mm²]
        """
    @property
    def candidates(self) -> list[Candidate]:
        """
        Thinnest first; the chosen one among them.
        """
    @property
    def choice(self) -> Candidate | None:
        """
        None when candidates were not kept.
        """
    @property
    def chosen(self) -> int:
        """
        Its place in `candidates`; None: nothing fits.
        """
    @property
    def conductor_c(self) -> float:
        """
        Hottest of all cases. [°C]
        """
    @property
    def conductors(self) -> int:
        """
        Cut pieces: poles with a conductor of their own, times parallel.
        """
    @property
    def cost(self) -> float:
        """
        All pieces; 0 when no price is known.
        """
    @property
    def current_a(self) -> float:
        """
        Design current. [A]
        """
    @property
    def current_case(self) -> str:
        """
        Case it comes from.
        """
    @property
    def device(self) -> Device | None:
        """
        Fuse or breaker; None: none needed, or none fits.
        """
    @property
    def drop_v(self) -> float:
        """
        Largest of all cases, out and back. [V]
        """
    @property
    def family(self) -> str:
        """
        Of conductors.
        """
    @property
    def feasible(self) -> bool:
        """
        Every check that rejects is passed.
        """
    @property
    def governing_case(self) -> str:
        """
        In this case.
        """
    @property
    def governing_code(self) -> str:
        """
        Why not thinner: the check that rules out the next size down.
        """
    @property
    def governing_rule(self) -> str:
        """
        By this rule.
        """
    @property
    def index(self) -> int:
        """
        Place among the runs of the system.
        """
    @property
    def length_m(self) -> float:
        """
        Out, one piece. [m]
        """
    @property
    def loss_w(self) -> float:
        """
        In the same case. [W]
        """
    @property
    def metal_kg(self) -> float:
        """
        All pieces. [kg]
        """
    @property
    def need(self) -> DeviceNeed:
        """
        What the device must be able to do.
        """
    @property
    def return_length_m(self) -> float:
        """
        Back, one piece; 0: no return of its own. [m]
        """
    @property
    def return_size(self) -> ConductorSize | None:
        """
        Of its own return when that differs.
        """
    @property
    def run(self) -> str:
        """
        Its name.
        """
    @property
    def size(self) -> ConductorSize:
        """
        Of each conductor.
        """
    @property
    def size_given(self) -> bool:
        """
        By the system file, not chosen.
        """
    @property
    def spare(self) -> bool:
        """
        Nothing draws through it.
        """
class EndVolts:
    """
    A device at the end of the tree, in its worst case.
    """
    def __copy__(self) -> EndVolts:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> EndVolts:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def drop_case(self) -> str:
        ...
    @property
    def drop_class(self) -> str:
        ...
    @property
    def drop_ratio(self) -> float:
        ...
    @property
    def drop_v(self) -> float:
        ...
    @property
    def kind(self) -> str:
        ...
    @property
    def limit_ratio(self) -> float:
        ...
    @property
    def lowest_case(self) -> str:
        ...
    @property
    def lowest_v(self) -> float:
        ...
    @property
    def name(self) -> str:
        ...
    @property
    def nominal_v(self) -> float:
        ...
    @property
    def passed(self) -> bool:
        ...
    @property
    def window_low_v(self) -> float | None:
        ...
class Optimality:
    """
    How good the choice is, with proof.
    """
    def __copy__(self) -> Optimality:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Optimality:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def bound(self) -> float:
        ...
    @property
    def branches(self) -> int:
        ...
    @property
    def labels(self) -> int:
        ...
    @property
    def note(self) -> str:
        ...
    @property
    def proven(self) -> bool:
        ...
    @property
    def rounds(self) -> int:
        ...
    @property
    def solves(self) -> int:
        ...
    @property
    def value(self) -> float:
        ...
class SizeUp:
    """
    One size more on one run, everything else as planned.
    """
    def __copy__(self) -> SizeUp:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> SizeUp:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def device(self) -> str:
        ...
    @property
    def drop_gain_v(self) -> float:
        ...
    @property
    def from_(self) -> ConductorSize:
        ...
    @property
    def more_cost(self) -> float:
        ...
    @property
    def more_kg(self) -> float:
        ...
    @property
    def run(self) -> str:
        ...
    @property
    def saved_w(self) -> float:
        ...
    @property
    def to(self) -> ConductorSize:
        ...
class TradeOffPoint:
    """
    Drop limits all multiplied alike.
    """
    def __copy__(self) -> TradeOffPoint:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> TradeOffPoint:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def feasible(self) -> bool:
        ...
    @property
    def limit_share(self) -> float:
        ...
    @property
    def metal_kg(self) -> float:
        ...
    @property
    def value(self) -> float:
        ...
    @property
    def worst_drop_ratio(self) -> float:
        ...
class Change:
    """
    One thing to alter so that the system becomes feasible.
    """
    def __copy__(self) -> Change:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Change:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def __str__(self) -> str:
        ...
    @property
    def amount(self) -> float:
        ...
    @property
    def dimension(self) -> Dimension:
        ...
    @property
    def from_(self) -> float:
        ...
    @property
    def kind(self) -> str:
        ...
    @property
    def run(self) -> str:
        ...
    @property
    def words(self) -> str:
        ...
class ChangeSet:
    """
    Changes that make the system feasible together.
    """
    def __copy__(self) -> ChangeSet:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> ChangeSet:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def changes(self) -> list[Change]:
        ...
    @property
    def mends(self) -> list[str]:
        ...
    @property
    def metal_kg(self) -> float:
        ...
class WiringPlan:
    """
    Every run, the devices, and the proof.
    """
    def __copy__(self) -> WiringPlan:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> WiringPlan:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def run(self, name: str) -> RunPlan:
        """
        The plan of one run.
        """
    @property
    def changes(self) -> list[Change]:
        ...
    @property
    def cost(self) -> float:
        ...
    @property
    def distinct_sizes(self) -> int:
        ...
    @property
    def ends(self) -> list[EndVolts]:
        ...
    @property
    def feasible(self) -> bool:
        ...
    @property
    def metal_kg(self) -> float:
        ...
    @property
    def optimality(self) -> Optimality:
        ...
    @property
    def rule_sets(self) -> list[str]:
        ...
    @property
    def runs(self) -> list[RunPlan]:
        ...
    @property
    def size_ups(self) -> list[SizeUp]:
        ...
    @property
    def trade_off(self) -> list[TradeOffPoint]:
        ...
    @property
    def ways(self) -> list[ChangeSet]:
        ...
class SunTimes:
    """
    Rise, transit and set of one local day, UTC seconds.
    """
    def __copy__(self) -> SunTimes:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> SunTimes:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def polar_day(self) -> bool:
        ...
    @property
    def polar_night(self) -> bool:
        ...
    @property
    def rise_s(self) -> float | None:
        ...
    @property
    def set_s(self) -> float | None:
        ...
    @property
    def transit_s(self) -> float:
        ...
class ClearSkyModel(enum.Enum):
    """
    Models of the clear sky.
    """
    haurwitz = ...
    ineichen = ...
class SkyModel(enum.Enum):
    """
    How the sky's diffuse light is spread.
    """
    hay_davies = ...
    isotropic = ...
    klucher = ...
    perez = ...
    reindl = ...
class IncidenceModel(enum.Enum):
    """
    Loss of the beam at a slant.
    """
    ashrae = ...
    martin_ruiz = ...
    none = ...
    physical = ...
class PlanVerdict(enum.Enum):
    """
    Never good while a danger or a warning stands.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.plan("post.toml").verdict
    'good'
    """
    care = ...
    danger = ...
    good = ...
class Assumption:
    """
    A default taken because the file says nothing.
    """
    def __copy__(self) -> Assumption:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Assumption:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def help(self) -> str:
        ...
    @property
    def key(self) -> str:
        ...
    @property
    def kind(self) -> str:
        ...
    @property
    def names(self) -> list[str]:
        ...
    @property
    def value(self) -> str:
        ...
class RuleUse:
    """
    A rule set or table that had a say.
    """
    def __copy__(self) -> RuleUse:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> RuleUse:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def citations(self) -> list[str]:
        ...
    @property
    def limits(self) -> str:
        ...
    @property
    def name(self) -> str:
        ...
    @property
    def purpose(self) -> str:
        ...
class HeatSources:
    """
    Watts that end in one compartment.
    """
    def __copy__(self) -> HeatSources:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> HeatSources:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def banks_w(self) -> float:
        ...
    @property
    def cables_w(self) -> float:
        ...
    @property
    def converters_w(self) -> float:
        ...
    @property
    def devices_w(self) -> float:
        ...
    @property
    def fans_w(self) -> float:
        ...
    @property
    def sun_w(self) -> float:
        ...
    @property
    def total_w(self) -> float:
        ...
class CompartmentCase:
    """
    One compartment in one case.
    """
    def __copy__(self) -> CompartmentCase:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> CompartmentCase:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def case_name(self) -> str:
        ...
    @property
    def fan_alternates(self) -> bool:
        ...
    @property
    def fan_step(self) -> float:
        ...
    @property
    def heat(self) -> HeatSources:
        ...
    @property
    def outside_c(self) -> float:
        ...
    @property
    def temp_c(self) -> float:
        ...
class CompartmentPlan:
    """
    One compartment, its hottest case.
    """
    def __copy__(self) -> CompartmentPlan:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> CompartmentPlan:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def cases(self) -> list[CompartmentCase]:
        ...
    @property
    def fans_off_c(self) -> float:
        ...
    @property
    def flow_m3s(self) -> float:
        ...
    @property
    def held(self) -> bool:
        ...
    @property
    def hottest(self) -> int:
        ...
    @property
    def limit_c(self) -> float:
        ...
    @property
    def margin_k(self) -> float:
        ...
    @property
    def name(self) -> str:
        ...
    @property
    def needed_flow_m3s(self) -> float | None:
        ...
    @property
    def smallest_step(self) -> int | None:
        ...
    @property
    def temp_at_step_c(self) -> list[float]:
        ...
class HeatPlan:
    """
    Air in the compartments.
    """
    def __copy__(self) -> HeatPlan:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> HeatPlan:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def compartments(self) -> list[CompartmentPlan]:
        ...
    @property
    def last_change_k(self) -> float:
        ...
    @property
    def rounds(self) -> int:
        ...
    @property
    def settled(self) -> bool:
        ...
class EnergyShare:
    """
    Energy of one consumer or bus over a day.
    """
    def __copy__(self) -> EnergyShare:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> EnergyShare:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def day_ah(self) -> float:
        ...
    @property
    def day_at_bank_wh(self) -> float:
        ...
    @property
    def day_wh(self) -> float:
        ...
    @property
    def kind(self) -> str:
        ...
    @property
    def name(self) -> str:
        ...
    @property
    def night_ah(self) -> float:
        ...
    @property
    def night_at_bank_wh(self) -> float:
        ...
    @property
    def night_wh(self) -> float:
        ...
class MonthPlan:
    """
    A mean day of one month, and its night.
    """
    def __copy__(self) -> MonthPlan:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> MonthPlan:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def charge_sunrise(self) -> float:
        ...
    @property
    def charge_sunset(self) -> float:
        ...
    @property
    def charger_wh(self) -> float:
        ...
    @property
    def days_to_dark(self) -> float | None:
        ...
    @property
    def days_to_full(self) -> float | None:
        ...
    @property
    def days_to_reserve(self) -> float | None:
        ...
    @property
    def hours_to_full(self) -> float | None:
        ...
    @property
    def load_wh(self) -> float:
        ...
    @property
    def lowest_v(self) -> float:
        ...
    @property
    def month(self) -> int:
        ...
    @property
    def never_full(self) -> bool:
        ...
    @property
    def night_ah(self) -> float:
        ...
    @property
    def night_h(self) -> float:
        ...
    @property
    def night_wh(self) -> float:
        ...
    @property
    def noon_s(self) -> float:
        ...
    @property
    def outside_c(self) -> float:
        ...
    @property
    def polar(self) -> bool:
        ...
    @property
    def sun_wh(self) -> float:
        ...
    @property
    def sun_worst_wh(self) -> float | None:
        ...
    @property
    def sunrise_local(self) -> str:
        ...
    @property
    def sunrise_s(self) -> float:
        ...
    @property
    def sunset_local(self) -> str:
        ...
    @property
    def sunset_s(self) -> float:
        ...
    @property
    def surplus_wh(self) -> float:
        ...
    @property
    def worst_heading_deg(self) -> float | None:
        ...
class EnergyPlan:
    """
    Day, night and sun.
    """
    def __copy__(self) -> EnergyPlan:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> EnergyPlan:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def buses(self) -> list[EnergyShare]:
        ...
    @property
    def cable_loss_wh(self) -> float:
        ...
    @property
    def converter_loss_wh(self) -> float:
        ...
    @property
    def devices_wh(self) -> float:
        ...
    @property
    def done(self) -> bool:
        ...
    @property
    def hardest(self) -> int:
        ...
    @property
    def ledger(self) -> dict[typing.Any, typing.Any]:
        ...
    @property
    def loads(self) -> list[EnergyShare]:
        ...
    @property
    def months(self) -> list[MonthPlan]:
        ...
    @property
    def standby_wh(self) -> float:
        ...
    @property
    def usable_ah(self) -> float:
        ...
    @property
    def usable_wh(self) -> float:
        ...
    @property
    def why_not(self) -> str:
        ...
class PlanData:
    """
    The C++ side of nightbus.Plan.
    """
    def __copy__(self) -> PlanData:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> PlanData:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    def count(self, severity: Severity) -> int:
        """
        Number of findings of a severity.
        """
    @property
    def assumptions(self) -> list[Assumption]:
        ...
    @property
    def cases(self) -> list[CaseResult]:
        ...
    @property
    def cautions(self) -> list[str]:
        ...
    @property
    def energy(self) -> EnergyPlan:
        ...
    @property
    def findings(self) -> list[Finding]:
        ...
    @property
    def heat(self) -> HeatPlan:
        ...
    @property
    def not_modelled(self) -> list[str]:
        ...
    @property
    def rules(self) -> list[RuleUse]:
        ...
    @property
    def seconds(self) -> float:
        ...
    @property
    def sentence(self) -> str:
        """
        One line for the top of the page.
        """
    @property
    def system(self) -> SystemData:
        ...
    @property
    def verdict(self) -> PlanVerdict:
        ...
    @property
    def wired(self) -> SystemData:
        ...
    @property
    def wiring(self) -> WiringPlan:
        ...
class MonthlyAir:
    """
    The outside air of a year.
    """
    def __copy__(self) -> MonthlyAir:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> MonthlyAir:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def mean_c(self) -> list[float]:
        """
        Of the twelve months, January first. [°C]
        """
    @property
    def swing_k(self) -> float:
        """
        Between night and day. [K]
        """
class ChangeOf(enum.Enum):
    """
    What became of a finding.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.compare("post.toml", "post.toml").findings["change"].to_list()
    []
    """
    appeared = ...
    changed = ...
    gone = ...
class FindingChange:
    """
    A finding that differs between two plans.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> thin = nb.read("post.toml")
    >>> thin.run("door camera").size = "24 AWG"
    >>> nb.compare("post.toml", thin).data.findings[0].what.name
    'appeared'
    """
    def __copy__(self) -> FindingChange:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> FindingChange:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def after(self) -> Finding | None:
        """
        In the second plan; None when it is gone.
        """
    @property
    def before(self) -> Finding | None:
        """
        In the first plan; None when it appeared.
        """
    @property
    def what(self) -> ChangeOf:
        """
        Whether it appeared, went or changed.
        """
class FigureChange:
    """
    A figure that differs between two plans.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> longer = nb.read("post.toml")
    >>> longer.run("door camera").length = "40 m"
    >>> changes = nb.compare("post.toml", longer).data.figures
    >>> [(one.name, one.before, one.after) for one in changes if one.figure == "size"]
    [('door camera', '18 AWG', '12 AWG')]
    """
    def __copy__(self) -> FigureChange:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> FigureChange:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def after(self) -> str:
        """
        As text; empty: not there.
        """
    @property
    def after_value(self) -> float | None:
        """
        As a number; None for words.
        """
    @property
    def before(self) -> str:
        """
        As text; empty: not there.
        """
    @property
    def before_value(self) -> float | None:
        """
        As a number; None for words.
        """
    @property
    def dimension(self) -> Dimension:
        """
        Of the numbers.
        """
    @property
    def figure(self) -> str:
        """
        "size", "lowest volts", "temperature" …
        """
    @property
    def kind(self) -> str:
        """
        "run", "load", "compartment", "month", "system".
        """
    @property
    def name(self) -> str:
        """
        Which one.
        """
class Comparison:
    """
    Two plans side by side.
    """
    def __copy__(self) -> Comparison:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Comparison:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def after(self) -> PlanVerdict:
        ...
    @property
    def before(self) -> PlanVerdict:
        ...
    @property
    def figures(self) -> list[FigureChange]:
        ...
    @property
    def findings(self) -> list[FindingChange]:
        ...
class SimulationEvent:
    """
    Something that switched, and when (UTC seconds).
    """
    def __copy__(self) -> SimulationEvent:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> SimulationEvent:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def index(self) -> int:
        ...
    @property
    def kind(self) -> str:
        ...
    @property
    def time_s(self) -> float:
        ...
    @property
    def value(self) -> float:
        ...
class LoadRecord:
    """
    One load over a run.
    """
    def __copy__(self) -> LoadRecord:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> LoadRecord:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def above_window_s(self) -> float:
        ...
    @property
    def below_window_s(self) -> float:
        ...
    @property
    def down_s(self) -> float:
        ...
    @property
    def drops(self) -> int:
        ...
    @property
    def first_drop_s(self) -> float | None:
        ...
    @property
    def highest_v(self) -> float:
        ...
    @property
    def lowest_time_s(self) -> float:
        ...
    @property
    def lowest_v(self) -> float:
        ...
class BankRecord:
    """
    One bank over a run.
    """
    def __copy__(self) -> BankRecord:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> BankRecord:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def blocked_charge_s(self) -> float:
        ...
    @property
    def charged_ah(self) -> float:
        ...
    @property
    def charged_wh(self) -> float:
        ...
    @property
    def daily_high_soc(self) -> list[float]:
        ...
    @property
    def daily_low_soc(self) -> list[float]:
        ...
    @property
    def discharged_ah(self) -> float:
        ...
    @property
    def discharged_wh(self) -> float:
        ...
    @property
    def final_soc(self) -> float:
        ...
    @property
    def first_full_s(self) -> float | None:
        ...
    @property
    def full_s(self) -> float:
        ...
    @property
    def highest_charge_a(self) -> float:
        ...
    @property
    def highest_discharge_a(self) -> float:
        ...
    @property
    def highest_temp_c(self) -> float:
        ...
    @property
    def highest_v(self) -> float:
        ...
    @property
    def lowest_soc(self) -> float:
        ...
    @property
    def lowest_soc_time_s(self) -> float:
        ...
    @property
    def lowest_temp_c(self) -> float:
        ...
    @property
    def lowest_v(self) -> float:
        ...
class SimulationData:
    """
    What one run gives, as plain data.
    """
    def __copy__(self) -> SimulationData:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> SimulationData:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def banks(self) -> list[BankRecord]:
        ...
    @property
    def charger_input_wh(self) -> float:
        ...
    @property
    def charger_run_s(self) -> float:
        ...
    @property
    def columns(self) -> list[typing.Any]:
        """
        Name, unit and index (-1: none) of each column of the trace.
        """
    @property
    def critical_unmet_wh(self) -> float:
        ...
    @property
    def events(self) -> list[SimulationEvent]:
        ...
    @property
    def hottest_space_c(self) -> list[float]:
        ...
    @property
    def hottest_time_s(self) -> list[float]:
        ...
    @property
    def ledger_wh(self) -> dict[typing.Any, typing.Any]:
        ...
    @property
    def load_wh(self) -> list[float]:
        ...
    @property
    def loads(self) -> list[LoadRecord]:
        ...
    @property
    def longest_unmet_h(self) -> float:
        ...
    @property
    def message(self) -> str:
        ...
    @property
    def relative_gap(self) -> float:
        ...
    @property
    def row_s(self) -> float:
        ...
    @property
    def solves(self) -> int:
        ...
    @property
    def steps(self) -> int:
        ...
    @property
    def stopped(self) -> bool:
        ...
    @property
    def sub_steps(self) -> int:
        ...
    @property
    def time_s(self) -> numpy.typing.NDArray[numpy.float64]:
        ...
    @property
    def unmet_h(self) -> float:
        ...
    @property
    def values(self) -> numpy.typing.NDArray[numpy.float64]:
        ...
class NightReport:
    """
    One night and the way back to a full bank.
    """
    def __copy__(self) -> NightReport:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> NightReport:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def full_s(self) -> float | None:
        ...
    @property
    def hours_to_full(self) -> float | None:
        ...
    @property
    def load_wh(self) -> list[float]:
        ...
    @property
    def lowest_bus_v(self) -> float:
        ...
    @property
    def lowest_bus_v_s(self) -> float:
        ...
    @property
    def never_full(self) -> bool:
        ...
    @property
    def night_ah(self) -> float:
        ...
    @property
    def night_h(self) -> float:
        ...
    @property
    def night_wh(self) -> float:
        ...
    @property
    def polar(self) -> bool:
        ...
    @property
    def soc_sunrise(self) -> float:
        ...
    @property
    def soc_sunset(self) -> float:
        ...
    @property
    def sunrise_s(self) -> float:
        ...
    @property
    def sunset_s(self) -> float:
        ...
class AutonomyReport:
    """
    How long it lasts without sun and chargers.
    """
    def __copy__(self) -> AutonomyReport:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> AutonomyReport:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def first_drop_load(self) -> int:
        ...
    @property
    def span_h(self) -> float:
        ...
    @property
    def until_empty_h(self) -> float | None:
        ...
    @property
    def until_first_drop_h(self) -> float | None:
        ...
class AvailabilityReport:
    """
    What many simulated years say.
    """
    def __copy__(self) -> AvailabilityReport:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> AvailabilityReport:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def availability(self) -> float:
        ...
    @property
    def availability_high(self) -> float:
        ...
    @property
    def availability_low(self) -> float:
        ...
    @property
    def high_unmet_h(self) -> float:
        ...
    @property
    def low_unmet_h(self) -> float:
        ...
    @property
    def mean_unmet_h(self) -> float:
        ...
    @property
    def mean_unmet_wh(self) -> float:
        ...
    @property
    def worst_unmet_h(self) -> float:
        ...
    @property
    def years(self) -> int:
        ...
    @property
    def years_without_failure(self) -> float:
        ...
class SimulationModel:
    """
    A described system ready to be simulated; fill in the weather and run.
    """
    def autonomy(self, from_s: typing.SupportsFloat | typing.SupportsIndex, soc: typing.SupportsFloat | typing.SupportsIndex = 1.0, reserve: typing.SupportsFloat | typing.SupportsIndex = 0.0, step_s: typing.SupportsFloat | typing.SupportsIndex = 60.0, longest_days: typing.SupportsFloat | typing.SupportsIndex = 60.0) -> AutonomyReport:
        """
        Hours without sun and chargers until the reserve and until the first drop.
        """
    def availability(self, years: typing.SupportsInt | typing.SupportsIndex = 30, step_s: typing.SupportsFloat | typing.SupportsIndex = 900.0, block_days: typing.SupportsInt | typing.SupportsIndex = 7, window_days: typing.SupportsInt | typing.SupportsIndex = 15, seed: typing.SupportsInt | typing.SupportsIndex = 1, threads: typing.SupportsInt | typing.SupportsIndex = 0) -> AvailabilityReport:
        """
        Unmet hours over years bootstrapped from the weather that was set.
        """
    def bank_at(self, bank: typing.SupportsInt | typing.SupportsIndex, soc: typing.SupportsFloat | typing.SupportsIndex, temp_c: typing.SupportsFloat | typing.SupportsIndex = 25.0, hysteresis: typing.SupportsFloat | typing.SupportsIndex = 0.0) -> dict[typing.Any, typing.Any]:
        """
        What a bank's tables say at a charge, a temperature and a state of hysteresis.
        """
    def marginal_values(self, years: typing.SupportsInt | typing.SupportsIndex = 10, step_s: typing.SupportsFloat | typing.SupportsIndex = 3600.0, seed: typing.SupportsInt | typing.SupportsIndex = 1, panel_share: typing.SupportsFloat | typing.SupportsIndex = 0.25, battery_share: typing.SupportsFloat | typing.SupportsIndex = 1.0, less_w: typing.SupportsFloat | typing.SupportsIndex = 10.0) -> list[tuple[str, float, AvailabilityReport, float]]:
        """
        What one more panel, one more battery and some watts less buy.
        """
    def night(self, date_s: typing.SupportsFloat | typing.SupportsIndex, soc_noon: typing.SupportsFloat | typing.SupportsIndex = 1.0, step_s: typing.SupportsFloat | typing.SupportsIndex = 60.0, days: typing.SupportsInt | typing.SupportsIndex = 14) -> NightReport:
        """
        The night after the noon of a date, and the time to full.
        """
    def run(self, start_s: typing.SupportsFloat | typing.SupportsIndex, step_s: typing.SupportsFloat | typing.SupportsIndex, steps: typing.SupportsInt | typing.SupportsIndex, record_every: typing.SupportsInt | typing.SupportsIndex = 1, record_loads: bool = True, hourly_sun: bool = False, progress: typing.Any = None) -> tuple[SimulationData, bool]:
        """
        Simulates; the result, and whether an interrupt ended it early.
        """
    def scaled(self, bank: typing.SupportsFloat | typing.SupportsIndex = 1.0, array: typing.SupportsFloat | typing.SupportsIndex = 1.0, draw: typing.SupportsFloat | typing.SupportsIndex = 1.0) -> SimulationModel:
        """
        The same with another bank, array or demand.
        """
    def set_charge(self, soc: typing.SupportsFloat | typing.SupportsIndex) -> None:
        ...
    def set_clear_sky(self, start_s: typing.SupportsFloat | typing.SupportsIndex, step_s: typing.SupportsFloat | typing.SupportsIndex, steps: typing.SupportsInt | typing.SupportsIndex, peak_sun_wh_m2: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex] = [], clearness: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex] = [], daily_clearness: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex] = [], temp_mean_c: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex] = [], temp_swing_k: typing.SupportsFloat | typing.SupportsIndex = 8.0) -> list[float]:
        """
        Clear sky dimmed by month or by day; gives the twelve factors used.
        """
    def set_weather(self, start_s: typing.SupportsFloat | typing.SupportsIndex, step_s: typing.SupportsFloat | typing.SupportsIndex, ghi_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], dni_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], dhi_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], temp_c: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], wind_ms: typing.Annotated[numpy.typing.ArrayLike, numpy.float64]) -> None:
        """
        Values hold from start_s + k step_s for one step.
        """
    def shed(self, rules: collections.abc.Sequence[tuple[typing.SupportsInt | typing.SupportsIndex, typing.SupportsFloat | typing.SupportsIndex, typing.SupportsFloat | typing.SupportsIndex]], delay_s: typing.SupportsFloat | typing.SupportsIndex = 60.0) -> None:
        """
        Rules (priority, off below, on above): loads of that priority and above are shed.
        """
    def size_frontier(self, wanted: typing.SupportsFloat | typing.SupportsIndex, array_factors: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex], years: typing.SupportsInt | typing.SupportsIndex = 10, step_s: typing.SupportsFloat | typing.SupportsIndex = 3600.0, seed: typing.SupportsInt | typing.SupportsIndex = 1, low: typing.SupportsFloat | typing.SupportsIndex = 0.1, high: typing.SupportsFloat | typing.SupportsIndex = 20.0) -> list[tuple[float, float | None]]:
        """
        Smallest bank factor for each array factor; None: none is enough.
        """
    def trace_load(self, name: str, time_s: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], power_w: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], step_s: typing.SupportsFloat | typing.SupportsIndex, longest_fill_s: typing.SupportsFloat | typing.SupportsIndex) -> tuple[int, float, float]:
        """
        Gives a load measured watts; the number of gaps, seconds missing and the longest gap.
        """
    @property
    def arrays(self) -> list[str]:
        ...
    @property
    def assumptions(self) -> list[str]:
        ...
    @property
    def banks(self) -> list[str]:
        ...
    @property
    def chargers(self) -> list[str]:
        ...
    @property
    def compartments(self) -> list[str]:
        ...
    @property
    def converters(self) -> list[str]:
        ...
    @property
    def fans(self) -> list[str]:
        ...
    @property
    def load_kinds(self) -> list[str]:
        ...
    @property
    def load_names(self) -> list[str]:
        ...
class Outcome:
    """
    The figures people scan for.
    """
    def __copy__(self) -> Outcome:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Outcome:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def bank_a(self) -> float:
        ...
    @property
    def charge_sunrise(self) -> float:
        ...
    @property
    def dangers(self) -> int:
        ...
    @property
    def error(self) -> str:
        ...
    @property
    def highest_drop_ratio(self) -> float:
        ...
    @property
    def hottest_compartment(self) -> str:
        ...
    @property
    def hottest_conductor_c(self) -> float:
        ...
    @property
    def hottest_margin_k(self) -> float:
        ...
    @property
    def loss_w(self) -> float:
        ...
    @property
    def metal_kg(self) -> float:
        ...
    @property
    def name(self) -> str:
        ...
    @property
    def night_ah(self) -> float:
        ...
    @property
    def solved(self) -> bool:
        ...
    @property
    def surplus_wh(self) -> float:
        ...
    @property
    def typical_w(self) -> float:
        ...
    @property
    def verdict(self) -> PlanVerdict | None:
        ...
    @property
    def warnings(self) -> int:
        ...
    @property
    def window_case(self) -> str:
        ...
    @property
    def window_device(self) -> str:
        ...
    @property
    def window_margin_v(self) -> float:
        ...
class Figure(enum.Enum):
    """
    A figure of an outcome.
    """
    bank_a = ...
    highest_drop_ratio = ...
    hottest_conductor_c = ...
    hottest_margin_k = ...
    loss_w = ...
    typical_w = ...
    window_margin_v = ...
class Influence:
    """
    How one field moves one figure.
    """
    def __copy__(self) -> Influence:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Influence:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def breaks(self) -> bool:
        ...
    @property
    def high(self) -> float:
        ...
    @property
    def low(self) -> float:
        ...
    @property
    def path(self) -> str:
        ...
    @property
    def step(self) -> float:
        ...
    @property
    def swing(self) -> float:
        ...
    @property
    def value(self) -> float:
        ...
class Reading:
    """
    What a meter showed, and how far it may be off.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> rows = [{"kind": "amps", "at": "bank lead", "value": "1.2 A", "accuracy": "1 %"}]
    >>> reading = nb.read_readings(rows)[0]
    >>> reading.kind, reading.value, round(reading.sigma, 4)
    ('amps', 1.2, 0.012)
    """
    def __copy__(self) -> Reading:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Reading:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def at(self) -> str:
        """
        Name of the point, run, load or bank.
        """
    @property
    def kind(self) -> str:
        """
        volts, drop or amps
        """
    @property
    def sigma(self) -> float:
        """
        Standard deviation of the meter, V or A.
        """
    @property
    def value(self) -> float:
        """
        V or A, by its kind.
        """
    @property
    def where(self) -> Span:
        """
        Its line in the file.
        """
class Suspect:
    """
    One thing that differs: ohms of a joint, or a share of what was planned.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> drop = {"kind": "drop", "at": "door camera", "value": "0.6 V", "accuracy": "5 mV"}
    >>> found = nb.as_measured("post.toml", [drop], case="low, typical, hot")
    >>> suspect = found.suspects[0]
    >>> suspect.kind, suspect.subject, suspect.low < suspect.estimate < suspect.high
    ('joint', 'door camera', True)
    """
    def __copy__(self) -> Suspect:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> Suspect:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def estimate(self) -> float:
        """
        Ohms of a joint, else a share of what was planned.
        """
    @property
    def high(self) -> float:
        """
        Upper end of the 95 % interval, likewise.
        """
    @property
    def kind(self) -> str:
        """
        joint, run or load
        """
    @property
    def low(self) -> float:
        """
        Lower end of the 95 % interval, likewise.
        """
    @property
    def subject(self) -> str:
        """
        Name of the run or load.
        """
class MeasuredExplanation:
    """
    One suspect, or two at once.
    """
    def __copy__(self) -> MeasuredExplanation:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> MeasuredExplanation:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def chi_square(self) -> float:
        ...
    @property
    def drop(self) -> float:
        ...
    @property
    def predicted(self) -> list[float]:
        ...
    @property
    def probability(self) -> float:
        ...
    @property
    def suspects(self) -> list[Suspect]:
        ...
class NextReading:
    """
    The reading that parts the best explanations.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> volts = {"kind": "volts", "at": "door camera", "value": "11.2 V", "accuracy": "5 mV"}
    >>> reading = nb.as_measured("post.toml", [volts], case="low, typical, hot").next
    >>> reading.parting > 1.0
    True
    """
    def __copy__(self) -> NextReading:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> NextReading:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def at(self) -> str:
        """
        Name of the point or run.
        """
    @property
    def first(self) -> float:
        """
        What the best explanation foretells there.
        """
    @property
    def kind(self) -> str:
        """
        volts, drop or amps
        """
    @property
    def parting(self) -> float:
        """
        How far the two lie apart, in standard deviations.
        """
    @property
    def second(self) -> float:
        """
        What the other explanation foretells.
        """
    @property
    def sigma(self) -> float:
        """
        Standard deviation that a meter is taken to have there.
        """
class MeasuredData:
    """
    The C++ side of nightbus.Measured.
    """
    def __copy__(self) -> MeasuredData:
        ...
    def __deepcopy__(self, memo: dict[typing.Any, typing.Any]) -> MeasuredData:
        ...
    def __eq__(self, other: object) -> bool:
        ...
    def __getstate__(self) -> tuple[int, bytes]:
        ...
    def __hash__(self) -> int:
        ...
    def __setstate__(self, arg0: tuple[typing.Any, ...]) -> None:
        ...
    @property
    def alike(self) -> int:
        ...
    @property
    def assumptions(self) -> list[str]:
        ...
    @property
    def chi_square(self) -> float:
        ...
    @property
    def explained(self) -> bool:
        ...
    @property
    def explanations(self) -> list[MeasuredExplanation]:
        ...
    @property
    def findings(self) -> list[Finding]:
        ...
    @property
    def healthy(self) -> bool:
        ...
    @property
    def next(self) -> NextReading | None:
        ...
    @property
    def planned(self) -> list[float]:
        ...
    @property
    def probability(self) -> float:
        ...
    @property
    def sentences(self) -> list[str]:
        ...
    @property
    def status(self) -> str:
        ...
    @property
    def unseen(self) -> list[str]:
        ...
class LookupError(Error, builtins.LookupError):
    """
    A name that the catalogue or the system does not hold; lists near misses.
    
    Examples
    --------
    >>> import nightbus as nb
    >>> nb.read("post.toml").load("door camra")
    Traceback (most recent call last):
        ...
    nightbus._core.LookupError: there is no Load "door camra"; did you mean "door camera"?
    """
def air_density_kg_per_m3(temp_c: typing.SupportsFloat | typing.SupportsIndex, pressure_ratio: typing.SupportsFloat | typing.SupportsIndex = 1.0) -> float:
    """
    Density of air at its own temperature.
    """
def air_pressure_ratio(altitude_m: typing.SupportsFloat | typing.SupportsIndex) -> float:
    """
    Pressure at a height over that at sea level, ISO 2533.
    """
def airflow_m3s(heat_w: typing.SupportsFloat | typing.SupportsIndex, rise_k: typing.SupportsFloat | typing.SupportsIndex, density_kg_per_m3: typing.SupportsFloat | typing.SupportsIndex = 1.204) -> float:
    """
    Air that carries heat away at a rise.
    """
def as_measured(plan: PlanData, catalogue: Catalogue, case: str, readings: collections.abc.Sequence[Reading], *, level: typing.SupportsFloat | typing.SupportsIndex, bank_sigma_v: typing.SupportsFloat | typing.SupportsIndex, load_spread: typing.SupportsFloat | typing.SupportsIndex, run_spread: typing.SupportsFloat | typing.SupportsIndex) -> MeasuredData:
    """
    What differs from the plan, by weighted least squares.
    """
def battery_days(peak_sun_h: typing.SupportsFloat | typing.SupportsIndex) -> dict[typing.Any, typing.Any]:
    """
    Published rules of thumb for the days a bank should last.
    """
def capacitor_life_h(rated_h: typing.SupportsFloat | typing.SupportsIndex, rated_c: typing.SupportsFloat | typing.SupportsIndex, run_c: typing.SupportsFloat | typing.SupportsIndex, cap_h: typing.SupportsFloat | typing.SupportsIndex = 131400.0) -> float:
    """
    Ten-kelvin rule for electrolytic capacitors; common practice, no source.
    """
def check_run(system: SystemData, catalogue: Catalogue, plan: WiringPlan, run: str, size: ConductorSize, device: Device | None = None) -> Candidate:
    """
    Any size and device on one run of a plan, with every check: why not this one?
    """
def check_system(system: SystemData, catalogue: Catalogue) -> list[Problem]:
    """
    What is wrong beyond the values of single fields.
    """
def clear_sky(model: ClearSkyModel, zenith_deg: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], apparent_zenith_deg: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], extraterrestrial_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], altitude_m: typing.SupportsFloat | typing.SupportsIndex = 0.0, linke_turbidity: typing.SupportsFloat | typing.SupportsIndex = 3.0) -> typing.Annotated[list[numpy.typing.NDArray[numpy.float64]], "FixedSize(3)"]:
    """
    Global, direct normal and diffuse under a clear sky, W/m².
    """
def compare(before: PlanData, after: PlanData) -> Comparison:
    """
    What changed.
    """
def comparison_json(comparison: Comparison, indent: typing.SupportsInt | typing.SupportsIndex = 1) -> str:
    """
    The comparison as JSON.
    """
def damage_line(catalogue: Catalogue, material: str, area_mm2: typing.SupportsFloat | typing.SupportsIndex, initial_c: typing.SupportsFloat | typing.SupportsIndex, insulation_c: typing.SupportsFloat | typing.SupportsIndex, time_s: collections.abc.Sequence[typing.SupportsFloat | typing.SupportsIndex]) -> list[tuple[float, float]]:
    """
    Current and time at which a short circuit damages the insulation; empty when no limit is published. Meant for at most 5 s.
    """
def default_cases() -> list[Case]:
    """
    The cases that are examined when the system names none.
    """
def describe_simulation(wired: SystemData, catalogue: Catalogue, offsets: collections.abc.Sequence[tuple[typing.SupportsFloat | typing.SupportsIndex, typing.SupportsFloat | typing.SupportsIndex]] = [], step_s: typing.SupportsFloat | typing.SupportsIndex = 60.0, lumped: bool = False) -> SimulationModel:
    """
    The described system as a simulation.
    """
def dimension_name(dimension: Dimension) -> str:
    """
    What to call it in a sentence: "a length".
    """
def diode_current_a(voltage_v: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], light_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], cell_c: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], alpha_isc_a_per_k: typing.SupportsFloat | typing.SupportsIndex, a_ref_v: typing.SupportsFloat | typing.SupportsIndex, light_current_ref_a: typing.SupportsFloat | typing.SupportsIndex, saturation_ref_a: typing.SupportsFloat | typing.SupportsIndex, shunt_ref_ohm: typing.SupportsFloat | typing.SupportsIndex, series_ohm: typing.SupportsFloat | typing.SupportsIndex) -> numpy.typing.NDArray[numpy.float64]:
    """
    Current of a module held at a voltage.
    """
def diode_points(light_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], cell_c: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], alpha_isc_a_per_k: typing.SupportsFloat | typing.SupportsIndex, a_ref_v: typing.SupportsFloat | typing.SupportsIndex, light_current_ref_a: typing.SupportsFloat | typing.SupportsIndex, saturation_ref_a: typing.SupportsFloat | typing.SupportsIndex, shunt_ref_ohm: typing.SupportsFloat | typing.SupportsIndex, series_ohm: typing.SupportsFloat | typing.SupportsIndex) -> typing.Annotated[list[numpy.typing.NDArray[numpy.float64]], "FixedSize(5)"]:
    """
    Short-circuit current, open-circuit voltage, current, voltage and power at the best point.
    """
def erbs(ghi_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], zenith_deg: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], extraterrestrial_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64]) -> typing.Annotated[list[numpy.typing.NDArray[numpy.float64]], "FixedSize(3)"]:
    """
    Direct normal, diffuse and clearness from global irradiance.
    """
def examine_system(text: str, name: str, catalogue: Catalogue) -> tuple[SystemData, list[Problem]]:
    """
    What could be made of a text, and every problem; never raises on its input.
    """
def extraterrestrial_wm2(day_of_year: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], asce: bool = False, constant_wm2: typing.SupportsFloat | typing.SupportsIndex = 1366.1) -> numpy.typing.NDArray[numpy.float64]:
    """
    Irradiance outside the air.
    """
def faiman_cell_c(plane_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], air_c: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], wind_ms: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], u0: typing.SupportsFloat | typing.SupportsIndex = 25.0, u1: typing.SupportsFloat | typing.SupportsIndex = 6.84) -> numpy.typing.NDArray[numpy.float64]:
    """
    Cell temperature, Faiman 2008.
    """
def field_reference() -> str:
    """
    The field reference, in Markdown.
    """
def field_table() -> list[typing.Any]:
    """
    Every record type and field: the one table behind reader, schema and constructors.
    """
def figure_name(figure: Figure) -> str:
    """
    What to call it in a sentence.
    """
def finding_kind(code: str) -> FindingKind:
    """
    The words of one code.
    """
def finding_kinds() -> list[FindingKind]:
    """
    Every finding the program can make.
    """
def incidence_modifier(model: IncidenceModel, incidence_deg: typing.Annotated[numpy.typing.ArrayLike, numpy.float64]) -> numpy.typing.NDArray[numpy.float64]:
    """
    Share of the beam that enters, 1 square on.
    """
def inside_unit(dimension: Dimension) -> str:
    """
    Preferred spelling of the dimension's inside unit.
    """
def json_schema() -> str:
    """
    JSON Schema of a system file, for editors.
    """
def loads_readings(text: str, name: str) -> list[Reading]:
    """
    The same from text.
    """
def loads_system(text: str, name: str, catalogue: Catalogue) -> SystemData:
    """
    The system of a text, or InputError.
    """
def make_plan(system: SystemData, catalogue: Catalogue, *, offsets: collections.abc.Sequence[tuple[typing.SupportsFloat | typing.SupportsIndex, typing.SupportsFloat | typing.SupportsIndex]] = [], year: typing.SupportsInt | typing.SupportsIndex = 2026, energy: bool = True, margins: bool = True, step_s: typing.SupportsFloat | typing.SupportsIndex = 900.0, trade_off_points: typing.SupportsInt | typing.SupportsIndex = 0, size_ups: bool = True, changes: bool = True) -> PlanData:
    """
    From a description to a plan with its evidence.
    """
def measured_json(measured: MeasuredData, readings: collections.abc.Sequence[Reading], indent: typing.SupportsInt | typing.SupportsIndex = 1) -> str:
    """
    The answer as JSON, "format": 1.
    """
def monthly_air(site: Site) -> MonthlyAir:
    """
    The outside air of a year, from the site's design extremes alone.
    """
def near_misses(word: str, candidates: collections.abc.Sequence[str], most: typing.SupportsInt | typing.SupportsIndex = 3) -> list[str]:
    """
    The candidates nearest in spelling, best first.
    """
def number_paths(system: SystemData) -> list[str]:
    """
    Paths of all numbers that were given or are not zero, in the order of the file.
    """
def persistent_clearness(days: typing.SupportsInt | typing.SupportsIndex, mean: typing.SupportsFloat | typing.SupportsIndex = 0.65, deviation: typing.SupportsFloat | typing.SupportsIndex = 0.25, correlation: typing.SupportsFloat | typing.SupportsIndex = 0.4, seed: typing.SupportsInt | typing.SupportsIndex = 1) -> numpy.typing.NDArray[numpy.float64]:
    """
    Share of the clear sky, day by day, that remembers the day before.
    """
def plain_year(array_w: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], load_w: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], step_s: typing.SupportsFloat | typing.SupportsIndex, capacity_wh: typing.SupportsFloat | typing.SupportsIndex, floor_share: typing.SupportsFloat | typing.SupportsIndex = 0.2, start_share: typing.SupportsFloat | typing.SupportsIndex = 1.0, charge_efficiency: typing.SupportsFloat | typing.SupportsIndex = 0.95) -> dict[typing.Any, typing.Any]:
    """
    The plain balance: watts in, watts out, a bank of watt-hours.
    """
def plain_years(array_w: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], load_w: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], step_s: typing.SupportsFloat | typing.SupportsIndex, steps: typing.SupportsInt | typing.SupportsIndex, capacity_wh: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], array_scale: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], floor_share: typing.SupportsFloat | typing.SupportsIndex = 0.2, start_share: typing.SupportsFloat | typing.SupportsIndex = 1.0, charge_efficiency: typing.SupportsFloat | typing.SupportsIndex = 0.95, threads: typing.SupportsInt | typing.SupportsIndex = 0) -> list[typing.Any]:
    """
    Many plain years at once; row k of the result equals a lone plain_year.
    """
def plan_json(plan: PlanData, indent: typing.SupportsInt | typing.SupportsIndex = 1) -> str:
    """
    The plan as JSON, "format": 1.
    """
def plane_irradiance(model: SkyModel, tilt_deg: typing.SupportsFloat | typing.SupportsIndex, plane_azimuth_deg: typing.SupportsFloat | typing.SupportsIndex, zenith_deg: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], azimuth_deg: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], ghi_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], dni_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], dhi_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], extraterrestrial_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], relative_air_mass: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], albedo: typing.SupportsFloat | typing.SupportsIndex = 0.2) -> typing.Annotated[list[numpy.typing.NDArray[numpy.float64]], "FixedSize(3)"]:
    """
    Beam, sky and ground irradiance on a plane, W/m²; an absent air mass is NaN.
    """
def print_quantity(value: typing.SupportsFloat | typing.SupportsIndex, dimension: Dimension) -> str:
    """
    Shortest text that reads back to the same number.
    """
def print_range(range: Range, dimension: Dimension) -> str:
    """
    Text that reads back to the same range.
    """
def quantity(text: str, dimension: Dimension, plain_unit: str = '') -> float:
    """
    Reads a number with a unit, into the dimension's inside unit.
    """
def range(text: str, dimension: Dimension, plain_unit: str = '') -> Range:
    """
    Reads "8 V to 30 V".
    """
def read_readings(path: str) -> list[Reading]:
    """
    Readings of a CSV file with the header kind,at,value,accuracy.
    """
def read_system(path: os.PathLike[str] | str | bytes, catalogue: Catalogue) -> SystemData:
    """
    The system of a file, or InputError.
    """
def relative_air_mass(apparent_zenith_deg: typing.Annotated[numpy.typing.ArrayLike, numpy.float64]) -> numpy.typing.NDArray[numpy.float64]:
    """
    Kasten and Young 1989; NaN below the horizon.
    """
@typing.overload
def render(problem: Problem) -> str:
    """
    The problem with its line of the file and a caret; plain text.
    """
@typing.overload
def render(problems: collections.abc.Sequence[Problem]) -> str:
    """
    All of them.
    """
def show_quantity(value: typing.SupportsFloat | typing.SupportsIndex, dimension: Dimension, digits: typing.SupportsInt | typing.SupportsIndex = 3) -> str:
    """
    Rounded text for people, with a readable prefix.
    """
def simple_power_w(light_wm2: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], cell_c: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], power_w: typing.SupportsFloat | typing.SupportsIndex, coefficient_per_k: typing.SupportsFloat | typing.SupportsIndex = -0.004) -> numpy.typing.NDArray[numpy.float64]:
    """
    Power of a module in proportion to light.
    """
def status_sentence(status: SolveStatus) -> str:
    """
    One sentence for a status, in words for a network engineer.
    """
def sun_positions(time_s: typing.Annotated[numpy.typing.ArrayLike, numpy.float64], latitude_deg: typing.SupportsFloat | typing.SupportsIndex, longitude_deg: typing.SupportsFloat | typing.SupportsIndex, altitude_m: typing.SupportsFloat | typing.SupportsIndex = 0.0, pressure_pa: typing.SupportsFloat | typing.SupportsIndex | None = None, temp_c: typing.SupportsFloat | typing.SupportsIndex = 12.0, delta_t_s: typing.SupportsFloat | typing.SupportsIndex | None = None, exact: bool = False) -> dict[typing.Any, typing.Any]:
    """
    Zenith, apparent zenith, azimuth (from north, clockwise), distance and equation of time at UTC seconds. exact: every instant by the whole algorithm.
    """
def sun_times(local_noon_s: typing.SupportsFloat | typing.SupportsIndex, latitude_deg: typing.SupportsFloat | typing.SupportsIndex, longitude_deg: typing.SupportsFloat | typing.SupportsIndex, delta_t_s: typing.SupportsFloat | typing.SupportsIndex | None = None) -> SunTimes:
    """
    Rise, transit and set of the day with that noon.
    """
def temperature_rise_k(heat_w: typing.SupportsFloat | typing.SupportsIndex, ua_w_per_k: typing.SupportsFloat | typing.SupportsIndex, flow_m3s: typing.SupportsFloat | typing.SupportsIndex = 0.0, density_kg_per_m3: typing.SupportsFloat | typing.SupportsIndex = 1.204) -> float:
    """
    Rise of a box with walls and airflow.
    """
def unit_spellings(dimension: Dimension) -> list[str]:
    """
    Every spelling that is understood, the preferred one first.
    """
def what_if(system: SystemData, catalogue: Catalogue, asked: collections.abc.Sequence[tuple[str, collections.abc.Sequence[tuple[str, typing.SupportsFloat | typing.SupportsIndex | str | bool]]]], *, whole_plan: bool = False, threads: typing.SupportsInt | typing.SupportsIndex = 0) -> list[Outcome]:
    """
    Many changed systems at once.
    """
def what_matters(system: SystemData, catalogue: Catalogue, figure: Figure, *, relative_step: typing.SupportsFloat | typing.SupportsIndex = 0.1, threads: typing.SupportsInt | typing.SupportsIndex = 0) -> list[Influence]:
    """
    Which fields move a figure, strongest first.
    """
def widest_lanes() -> int:
    """
    Scenarios the processor solves side by side.
    """
def worst(findings: collections.abc.Sequence[Finding]) -> Severity:
    """
    The worst severity present.
    """
def write_system(system: SystemData) -> str:
    """
    TOML that reads back to an equal system.
    """
__version__: str = '0.1.0'
