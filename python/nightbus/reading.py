"""System files in and out, and what is wrong with a system."""

from __future__ import annotations

from pathlib import Path

from nightbus import _core
from nightbus.system import System


def read(path: str | Path, *, catalogue: _core.Catalogue | None = None) -> System:
    """Read a system file.

    Parameters
    ----------
    path : str or Path
        A TOML file; see ``nightbus fields`` for every key.
    catalogue : Catalogue, optional
        Tables that names in the file refer to; the built-in ones when left out.

    Returns
    -------
    System
        With the place of every record in the file, for messages.

    Raises
    ------
    InputError
        With every problem of the file in ``problems``, each with its line and how to mend it.
    Error
        When the file cannot be opened; names files of its folder that come near.

    Examples
    --------
    >>> import nightbus as nb
    >>> nb.read("post.toml")
    <System "Trail shelter post": 1 bank, 1 bus, 2 loads, 1 array, 4 runs>
    """
    wanted = Path(path)
    if not wanted.exists() and wanted.parent.is_dir():
        beside = sorted(one.name for one in wanted.parent.glob("*.toml"))
        near = _core.near_misses(wanted.name, beside)
        if near:
            raise _core.Error(
                f'cannot open the system file "{path}"; did you mean "{wanted.with_name(near[0])}"?'
            )
    return System._from(_core.read_system(str(path), catalogue or _core.Catalogue()))


def loads(text: str, name: str = "text", *, catalogue: _core.Catalogue | None = None) -> System:
    r"""Read a system from text.

    Parameters
    ----------
    text : str
        What a system file would hold.
    name : str
        Stands in messages instead of a file name.
    catalogue : Catalogue, optional
        Tables that names in the text refer to; the built-in ones when left out.

    Returns
    -------
    System
        With the place of every record, for messages.

    Raises
    ------
    InputError
        With every problem of the text in ``problems``.

    Examples
    --------
    >>> import nightbus as nb
    >>> try:
    ...     nb.loads("nightbus = 1\ntitel = 'hut'")
    ... except nb.InputError as error:
    ...     print([p.mend for p in error.problems if p.code == "unknown-key"])
    ['did you mean "title"?']
    """
    return System._from(_core.loads_system(text, name, catalogue or _core.Catalogue()))


def check(system: System, *, catalogue: _core.Catalogue | None = None) -> list[_core.Problem]:
    """Return what is wrong with a system wherever it was built; empty when a plan can be made.

    Parameters
    ----------
    system : System
        Read from a file or built in code.
    catalogue : Catalogue, optional
        Tables that its names refer to; the built-in ones when left out.

    Returns
    -------
    list of Problem
        In the order of the description.

    Examples
    --------
    >>> import nightbus as nb
    >>> lost = nb.System(records=[nb.Load(name="router", typical="12 W")])
    >>> [problem.code for problem in nb.check(lost)] != []
    True
    """
    return _core.check_system(system._data(), catalogue or _core.Catalogue())


def write(system: System, path: str | Path) -> None:
    """Write a system file that reads back to an equal system.

    Parameters
    ----------
    system : System
        Read from a file or built in code.
    path : str or Path
        An existing file is replaced in one step.

    Examples
    --------
    >>> import nightbus as nb
    >>> system = nb.read("post.toml")
    >>> system.title = "Second post"
    >>> nb.write(system, "second.toml")
    >>> nb.read("second.toml").title
    'Second post'
    """
    system.write(path)
