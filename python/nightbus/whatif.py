"""Many what-ifs of one system, and which of its figures matter most."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from nightbus import _core
from nightbus.frames import frame
from nightbus.quantities import Dimension, given
from nightbus.same import Same

if TYPE_CHECKING:
    import pandas as pd

    from nightbus.system import System

OUTCOME = [
    "window_margin_v",
    "window_device",
    "window_case",
    "highest_drop_ratio",
    "bank_a",
    "typical_w",
    "loss_w",
    "hottest_margin_k",
    "hottest_compartment",
    "hottest_conductor_c",
]
PLANNED = [
    "dangers",
    "warnings",
    "metal_kg",
    "night_ah",
    "surplus_wh",
    "charge_sunrise",
]

Value = float | str | bool


def what_if(
    system: System,
    asked: Mapping[str, Mapping[str, Value]] | Iterable[Mapping[str, Value]],
    *,
    whole_plan: bool = False,
    threads: int = 0,
) -> pd.DataFrame:
    """Work out many changed systems at once.

    Parameters
    ----------
    system : System
        The system as it is.
    asked : mapping of name to changes, or iterable of changes
        Each a mapping of path to value: ``{"load.router.typical": 20.0}``. A number is in the
        inside unit of its field, a text brings its own: ``"20 W"``. A path is kind.name.key, as in
        the file; ``site.temp_hot`` and ``rules.drop_critical`` have no name.
    whole_plan : bool
        Plan everything anew: wiring, fuses, night. Otherwise conductors stay as planned for the
        system as it is, which takes milliseconds.
    threads : int
        0: as many as the machine has. The answers do not depend on it.

    Returns
    -------
    DataFrame
        One row for each, in order. `error` says why one could not be worked out; it spoils no
        other.

    Raises
    ------
    InputError
        When the system as it is cannot be used.

    Examples
    --------
    >>> import nightbus as nb
    >>> system = nb.read("post.toml")
    >>> table = nb.what_if(
    ...     system, {"as it is": {}, "wrong": {"load.nobody.typical": 5.0}}
    ... )
    >>> table[["name", "solved", "window_margin_v"]].round(2)
           name  solved  window_margin_v
    0  as it is    True             0.62
    1     wrong   False             0.00
    """
    if isinstance(asked, Mapping):
        wanted = [(str(name), dict(changes)) for name, changes in asked.items()]
    else:
        wanted = [(str(index), dict(changes)) for index, changes in enumerate(asked)]
    outcomes = _core.what_if(
        system._data(),
        _core.Catalogue(),
        [(name, list(changes.items())) for name, changes in wanted],
        whole_plan=whole_plan,
        threads=threads,
    )
    columns = ["name", "solved", "error", *OUTCOME]
    if whole_plan:
        columns += ["verdict", *PLANNED]
    rows: list[dict[str, Any]] = []
    for outcome in outcomes:
        row = {column: getattr(outcome, column) for column in columns if column != "verdict"}
        if whole_plan:
            row["verdict"] = outcome.verdict.name if outcome.verdict is not None else None
        rows.append(row)
    return frame(rows, columns)


def scan(
    system: System,
    path: str,
    values: Iterable[Value],
    *,
    whole_plan: bool = False,
    threads: int = 0,
) -> pd.DataFrame:
    """Work out one field at several values; the column `value` holds them.

    Parameters
    ----------
    system : System
        The system as it is.
    path : str
        ``kind.name.key``, as in :func:`what_if`.
    values : iterable
        Numbers in the inside unit of the field, or texts with a unit.
    whole_plan, threads
        As in :func:`what_if`.

    Returns
    -------
    DataFrame
        One row for each value, in order.

    Examples
    --------
    >>> import nightbus as nb
    >>> system = nb.System(records=[
    ...     nb.Site(latitude="58.9 deg", longitude="15.4 deg"),
    ...     nb.Bank(name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah"),
    ...     nb.Load(name="router", typical="12 W", window="9 V to 36 V"),
    ...     nb.Run(name="feed", from_="bank", to="router", length="3 m", size="18 AWG"),
    ... ])
    >>> table = nb.scan(system, "run.feed.length", [1.0, 10.0, 20.0])
    >>> bool(table["highest_drop_ratio"].is_monotonic_increasing)
    True
    """
    wanted = list(values)
    table = what_if(
        system, [{path: value} for value in wanted], whole_plan=whole_plan, threads=threads
    )
    table.insert(0, "value", wanted)
    table["name"] = path
    return table


class Influences(Same):
    """Which fields move one figure, strongest first; made by :func:`what_matters`.

    Attributes
    ----------
    figure, title : str
        Name of the figure, as it was asked for and in words.

    Examples
    --------
    >>> import nightbus as nb
    >>> nb.what_matters(nb.read("post.toml"), "typical_w")
    <Influences on typical draw: load.cellular router.typical first of 45>
    """

    def __init__(self, figure: str, title: str, data: list[_core.Influence]) -> None:
        self.figure = figure
        self.title = title
        self.data = data

    @property
    def table(self) -> pd.DataFrame:
        """One row for each field, strongest first.

        `value` and `step` are in the inside unit of the field, `low`, `high` and `swing` in that of
        the figure: a step down, a step up, and the difference. `breaks` says that one of the two
        has no solution any more.

        Examples
        --------
        >>> import nightbus as nb
        >>> found = nb.what_matters(nb.read("post.toml"), "typical_w")
        >>> found.table[["path", "swing"]].head(2).round(2)
                                   path  swing
        0  load.cellular router.typical   1.83
        1      load.door camera.typical   1.03
        """
        return frame(
            (
                {
                    "path": one.path,
                    "value": one.value,
                    "step": one.step,
                    "low": one.low,
                    "high": one.high,
                    "swing": one.swing,
                    "breaks": one.breaks,
                }
                for one in self.data
            ),
            ["path", "value", "step", "low", "high", "swing", "breaks"],
        )

    def chart(self, *, most: int = 15, dark: bool = False) -> Any:
        """Return the bars.

        Parameters
        ----------
        most : int
            How many bars.
        dark : bool
            For a dark page.

        Examples
        --------
        >>> import nightbus as nb
        >>> bars = nb.what_matters(nb.read("post.toml"), "typical_w").chart(most=3)
        >>> type(bars).__name__
        'LayerChart'
        """
        from nightbus import charts

        return charts.what_matters(self, most=most, dark=dark)

    def __repr__(self) -> str:
        first = self.data[0].path if self.data else "nothing"
        return f"<Influences on {self.title}: {first} first of {len(self.data)}>"

    def _repr_html_(self) -> str:
        return str(self.table.to_html(index=False, escape=True))


def what_matters(
    system: System,
    figure: str = "window_margin_v",
    *,
    relative_step: float | str = 0.1,
    threads: int = 0,
) -> Influences:
    """Step every number of a system down and up, and see what that does to one figure.

    Parameters
    ----------
    system : System
        The system as it is; conductors stay as planned for it.
    figure : str
        ``window_margin_v`` (least distance of any device to its window), ``highest_drop_ratio``,
        ``bank_a``, ``typical_w``, ``loss_w``, ``hottest_margin_k`` or ``hottest_conductor_c``.
    relative_step : float or str
        Share of a value that it is stepped by, ``"10 %"``; temperatures are stepped by 5 K.
    threads : int
        0: as many as the machine has.

    Raises
    ------
    LookupError
        With near misses, for an unknown figure.

    Examples
    --------
    >>> import nightbus as nb
    >>> found = nb.what_matters(nb.read("post.toml"), "window_margin_v")
    >>> found.table[["path", "swing"]].head(3).round(2)
                           path  swing
    0  load.door camera.typical   0.03
    1    run.door camera.length   0.02
    2        bank.bank.capacity   0.01
    >>> nb.what_matters(nb.read("post.toml"), "typical")
    Traceback (most recent call last):
        ...
    nightbus._core.LookupError: there is no figure "typical"; did you mean "typical_w"?
    """
    names = [one.name for one in _core.Figure]
    if figure not in names:
        near = _core.near_misses(figure, names)
        hint = f'; did you mean "{near[0]}"?' if near else f": {', '.join(names)}"
        raise _core.LookupError(f'there is no figure "{figure}"{hint}')
    step = given(
        "relative_step", relative_step, Dimension.ratio, 1e-6, 1.0, 'a share up to 1, or "20 %",'
    )
    wanted = _core.Figure[figure]
    found = _core.what_matters(
        system._data(),
        _core.Catalogue(),
        wanted,
        relative_step=step,
        threads=threads,
    )
    return Influences(figure, _core.figure_name(wanted), found)
