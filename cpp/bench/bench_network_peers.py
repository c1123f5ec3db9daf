#!/usr/bin/env python3
# ruff: noqa: D102, D103 - a script: the classes say what their run() does
"""The same networks through nightbus and through general-purpose solvers, side by side.

Five interleaved rounds (every solver once a round), median operating points a second of processor
time of the solving thread (so that other work on the machine counts less; the line with two
threads is elapsed time), ratio to nightbus from Python with arrays in and out, and the largest
difference of
any node potential.

    python cpp/bench/bench_network_peers.py [--build build/bench] [--rounds 5] [--networks …]

Peers: ngspice in this process (libngspice, a DC sweep over the minutes of the day), SciPy
``root`` with
the Jacobian written out, a dense NumPy Newton, Eigen SparseLU and SuiteSparse KLU with refactoring
(the program network_peers). A peer that is not installed is named and left out.
"""

from __future__ import annotations

import argparse
import ctypes
import ctypes.util
import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import scipy.optimize

from nightbus import _core
from nightbus._core import ParameterKind, QuantityKind, SolveStatus

DAY = 1440
TURN = 2.0 * np.pi / DAY


def emf_v(minute: np.ndarray) -> np.ndarray:
    return 12.8 + 0.4 * np.sin(TURN * minute)


def demand(minute: np.ndarray) -> np.ndarray:
    return 0.75 + 0.25 * np.sin(3.0 * TURN * minute)


class Case:
    """One network and the minutes it is solved for."""

    def __init__(self, peers: Path, name: str, points: int) -> None:
        done = subprocess.run([peers, "export", name], capture_output=True, text=True, check=True)
        self.net = json.loads(done.stdout)
        self.name, self.points, self.peers = name, points, peers
        self.minutes = (np.arange(points) * DAY // points).astype(float)
        self.answer: np.ndarray | None = None


class Nightbus:
    """The batch from Python: a table in, an array of potentials out."""

    def __init__(self, case: Case, lanes: int, threads: int = 1) -> None:
        net = case.net
        builder = _core.CircuitBuilder()
        for _ in range(net["nodes"]):
            builder.add_node()
        for ground in net["grounds"]:
            builder.set_reference(ground)
        p, n, emf, ohm = net["source"]
        source = builder.add_source(p, n, emf_v=emf, resistance_ohm=ohm)
        for a, b, ohm in net["resistors"]:
            builder.add_resistor(a, b, ohm)
        self.columns = [(source, ParameterKind.EMF_V)]
        columns = [emf_v(case.minutes)]
        for p, n, power, current, conductance, minimum in net["loads"]:
            load = builder.add_load(
                p, n, power_w=power, current_a=current, conductance_s=conductance, minimum_v=minimum
            )
            if power > 0.0:
                self.columns.append((load, ParameterKind.POWER_W))
                columns.append(power * demand(case.minutes))
        for a, b, s, t, volts, ohm, standby, loss in net["converters"]:
            builder.add_converter(
                a,
                b,
                s,
                t,
                set_point_v=volts,
                output_resistance_ohm=ohm,
                standby_w=standby,
                loss_fraction=loss,
                minimum_input_v=9.0,
            )
        self.circuit = builder.compile()
        self.table = np.asfortranarray(np.column_stack(columns))
        self.wanted = [(QuantityKind.NODE_V, node) for node in range(net["nodes"])]
        self.out = np.empty((case.points, net["nodes"]), order="F")
        self.threads = threads
        self.batch = self.circuit.batch(self.columns, self.wanted, lanes=lanes)
        self.repeat = max(1, 20_000 // case.points)
        self.run()

    def run(self) -> tuple[float, np.ndarray]:
        clock = time.thread_time if self.threads == 1 else time.perf_counter
        begin = clock()
        for _ in range(self.repeat):
            result = self.batch.solve(self.table, threads=self.threads, out=self.out)
        seconds = (clock() - begin) / self.repeat
        if (result.status != SolveStatus.SOLVED).any():
            sys.exit("nightbus: a point was not solved")
        return seconds, self.out


class Program:
    """A peer inside the program network_peers; it measures itself."""

    def __init__(self, case: Case, what: str) -> None:
        self.case, self.what = case, what

    def run(self) -> tuple[float, np.ndarray]:
        with tempfile.NamedTemporaryFile() as file:
            done = subprocess.run(
                [self.case.peers, self.what, self.case.name, str(self.case.points), file.name],
                capture_output=True,
                text=True,
                check=True,
            )
            volts = np.fromfile(file.name).reshape(self.case.points, -1)
        return float(done.stdout), volts


class Equations:
    """Nodal residual and dense Jacobian, vectorised over the elements."""

    def __init__(self, net: dict) -> None:
        self.count = net["nodes"]
        self.free = np.setdiff1d(np.arange(self.count), net["grounds"])
        resistors = np.array(net["resistors"])
        a, b, g = resistors[:, 0].astype(int), resistors[:, 1].astype(int), 1.0 / resistors[:, 2]
        p, n, _, ohm = net["source"]
        self.linear = np.zeros((self.count, self.count))
        for u, w, s in zip([*a, p], [*b, n], [*g, 1.0 / ohm], strict=True):
            self.linear[u, u] += s
            self.linear[w, w] += s
            self.linear[u, w] -= s
            self.linear[w, u] -= s
        self.source = (p, n, 1.0 / ohm)
        loads = np.array(net["loads"])
        self.p, self.n = loads[:, 0].astype(int), loads[:, 1].astype(int)
        self.power, self.current, self.conductance, self.minimum = loads[:, 2:].T
        self.converters = net["converters"]

    def __call__(self, v: np.ndarray, emf: float, share: float) -> tuple[np.ndarray, np.ndarray]:
        jac = self.linear.copy()
        f = jac @ v
        p, n, g = self.source
        f[p] -= g * emf
        f[n] += g * emf
        u = v[self.p] - v[self.n]
        power = share * self.power
        m = np.maximum(self.minimum, 1e-9)
        below = u < m
        safe = np.where(below, m, u)
        i = power / safe + self.current + self.conductance * safe
        slope = np.where(below, i / m, self.conductance - power / safe**2)
        i = np.where(below, slope * u, i)
        for rows, sign in ((self.p, 1.0), (self.n, -1.0)):
            np.add.at(f, rows, sign * i)
            np.add.at(jac, (rows, self.p), sign * slope)
            np.add.at(jac, (rows, self.n), -sign * slope)
        for a, b, s, t, volts, ohm, standby, loss in self.converters:
            x, y = v[a] - v[b], v[s] - v[t]
            out = (volts - y) / ohm
            drawn = (standby + (1.0 + loss) * y * out) / x
            cross = (1.0 + loss) * (out - y / ohm) / x
            f[a] += drawn
            f[b] -= drawn
            f[s] -= out
            f[t] += out
            for row, sign in ((a, 1.0), (b, -1.0)):
                jac[row, a] -= sign * drawn / x
                jac[row, b] += sign * drawn / x
                jac[row, s] += sign * cross
                jac[row, t] -= sign * cross
            for row, sign in ((s, 1.0), (t, -1.0)):
                jac[row, s] += sign / ohm
                jac[row, t] -= sign / ohm
        return f[self.free], jac[np.ix_(self.free, self.free)]


class Python:
    """SciPy root or a dense NumPy Newton, each point from the one before; a stretch of the day."""

    def __init__(self, case: Case, method: str, points: int) -> None:
        self.case, self.method = case, method
        self.equations = Equations(case.net)
        self.minutes = case.minutes[:: max(1, case.points // points)]
        self.start = case.answer[0] if case.answer is not None else np.zeros(case.net["nodes"])

    def run(self) -> tuple[float, np.ndarray]:
        eq, v = self.equations, self.start.copy()
        free = eq.free
        rows = []
        begin = time.thread_time()
        for minute in self.minutes:
            emf, share = float(emf_v(minute)), float(demand(minute))

            def residual(x: np.ndarray, emf: float = emf, share: float = share) -> tuple:
                full = np.zeros(eq.count)
                full[free] = x
                return eq(full, emf, share)

            if self.method == "scipy":
                v[free] = scipy.optimize.root(
                    residual, v[free], jac=True, method="hybr", tol=1e-13
                ).x
            else:
                for _ in range(30):
                    f, jac = residual(v[free])
                    step = np.linalg.solve(jac, f)
                    v[free] -= step
                    if np.abs(step).max() < 1e-10:
                        break
            rows.append(v.copy())
        seconds = time.thread_time() - begin
        every = max(1, self.case.points // len(self.minutes))
        full = np.full((self.case.points, eq.count), np.nan)
        full[::every][: len(rows)] = rows
        return seconds * self.case.points / len(self.minutes), full


class Vector(ctypes.Structure):
    """struct vector_info of sharedspice.h."""

    _fields_ = [
        ("name", ctypes.c_char_p),
        ("type", ctypes.c_int),
        ("flags", ctypes.c_short),
        ("real", ctypes.POINTER(ctypes.c_double)),
        ("complex", ctypes.c_void_p),
        ("length", ctypes.c_int),
    ]


class Ngspice:
    """A DC sweep in this process; the swept source is the minute, the rest follows from it."""

    library = None

    def __init__(self, case: Case, tolerance: float, emf_only: bool = False) -> None:
        if Ngspice.library is None:
            Ngspice.load()
        self.case = case
        net = case.net
        grounds = set(net["grounds"])

        def name(node: int) -> str:
            return "0" if node in grounds else f"n{node}"

        p, n, _, ohm = net["source"]
        share = "1" if emf_only else f"(0.75+0.25*sin({3.0 * TURN:.17g}*v(minute)))"
        deck = [
            "* a day",
            "vminute minute 0 0",
            f"Bemf emf {name(n)} V = 12.8+0.4*sin({TURN:.17g}*v(minute))",
            f"Remf emf {name(p)} {ohm:.17g}",
        ]
        for k, (a, b, ohm) in enumerate(net["resistors"]):
            deck.append(f"R{k} {name(a)} {name(b)} {ohm:.17g}")
        for k, (p, n, power, current, conductance, minimum) in enumerate(net["loads"]):
            u = f"v({name(p)},{name(n)})"
            if power > 0.0:
                watts = f"{power:.17g}*{share}"
                deck.append(
                    f"B{k} {name(p)} {name(n)} I = {u} > {minimum} ? {watts}/{u} "
                    f": {watts}*{u}/{minimum**2:.17g}"
                )
            if current > 0.0:
                deck.append(f"I{k} {name(p)} {name(n)} {current:.17g}")
            if conductance > 0.0:
                deck.append(f"Rl{k} {name(p)} {name(n)} {1.0 / conductance:.17g}")
        for k, (a, b, s, t, volts, ohm, standby, loss) in enumerate(net["converters"]):
            y = f"v({name(s)},{name(t)})"
            deck += [
                f"Vc{k} c{k} {name(t)} {volts:.17g}",
                f"Rc{k} c{k} {name(s)} {ohm:.17g}",
                f"Bc{k} {name(a)} {name(b)} I = ({standby:.17g}+{1.0 + loss:.17g}"
                f"*{y}*({volts:.17g}-{y})/{ohm:.17g})/v({name(a)},{name(b)})",
            ]
        if case.answer is not None:
            deck += [
                f".nodeset v(n{node})={case.answer[0][node]:.9g}"
                for node in range(net["nodes"])
                if node not in grounds
            ]
        options = f".options reltol={tolerance} numdgt=14 gmin=1e-15"
        if tolerance < 1e-6:
            options += " abstol=1e-12 vntol=1e-10"
        deck += [options, ".end"]
        self.names = [None if node in grounds else f"n{node}" for node in range(net["nodes"])]
        self.deck = [line.encode() for line in deck]

    @classmethod
    def load(cls) -> None:
        path = ctypes.util.find_library("ngspice")
        if path is None:
            msg = "libngspice is not installed"
            raise OSError(msg)
        cls.library = ctypes.CDLL(path)
        text = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_void_p)
        leave = ctypes.CFUNCTYPE(
            ctypes.c_int, ctypes.c_int, ctypes.c_bool, ctypes.c_bool, ctypes.c_int, ctypes.c_void_p
        )
        cls.quiet = text(lambda *_: 0)
        cls.leave = leave(lambda *_: 0)
        cls.library.ngSpice_Init(cls.quiet, cls.quiet, cls.leave, None, None, None, None)
        cls.library.ngGet_Vec_Info.restype = ctypes.POINTER(Vector)

    def command(self, words: str) -> None:
        assert Ngspice.library is not None
        Ngspice.library.ngSpice_Command(words.encode())

    def run(self) -> tuple[float, np.ndarray]:
        lines = (ctypes.c_char_p * (len(self.deck) + 1))(*self.deck, None)
        Ngspice.library.ngSpice_Circ(lines)
        step = DAY // self.case.points
        begin = time.thread_time()
        self.command(f"dc vminute 0 {step * (self.case.points - 1)} {step}")
        seconds = time.thread_time() - begin
        volts = np.zeros((self.case.points, self.case.net["nodes"]))
        for node, name in enumerate(self.names):
            if name is None:
                continue
            vector = Ngspice.library.ngGet_Vec_Info(name.encode())
            if not vector or vector.contents.length != self.case.points:
                sys.exit("ngspice did not finish its sweep")
            volts[:, node] = np.ctypeslib.as_array(vector.contents.real, shape=(self.case.points,))
        self.command("destroy all")
        self.command("remcirc")
        return seconds, volts


def compare(case: Case, rounds: int) -> None:
    solvers: dict[str, object] = {"nightbus": Nightbus(case, 0)}
    case.answer = solvers["nightbus"].run()[1].copy()
    solvers["nightbus scalar"] = Nightbus(case, 1)
    solvers["nightbus 2 threads"] = Nightbus(case, 0, 2)
    solvers["nightbus single"] = Program(case, "nightbus-single")
    solvers["nightbus single, read"] = Program(case, "nightbus-read")
    solvers["KLU refactor"] = Program(case, "klu")
    solvers["Eigen SparseLU"] = Program(case, "eigen")
    if case.net["nodes"] < 1000:
        solvers["NumPy dense"] = Python(case, "numpy", 96)
        solvers["SciPy root"] = Python(case, "scipy", 48)
    if case.net["nodes"] < 10000:
        try:
            solvers["ngspice"] = Ngspice(case, 1e-3)
            solvers["ngspice 1e-10"] = Ngspice(case, 1e-10)
            solvers["ngspice EMF only"] = Ngspice(case, 1e-3, emf_only=True)
        except OSError as error:
            print(f"  left out: {error}")
    times: dict[str, list[float]] = {name: [] for name in solvers}
    gaps: dict[str, float] = {}
    for _ in range(rounds):
        for name, solver in list(solvers.items()):
            try:
                seconds, volts = solver.run()
            except (OSError, subprocess.CalledProcessError) as error:
                print(f"  left out: {name}: {error}")
                del solvers[name]
                continue
            times[name].append(seconds)
            gaps[name] = float(np.nanmax(np.abs(volts - case.answer)))
    own = case.points / statistics.median(times["nightbus"])
    print(
        f"\n{case.name}: {case.net['nodes'] - len(case.net['grounds'])} potentials, "
        f"{case.points} points, medians of {rounds} interleaved rounds"
    )
    print(f"  {'solver':21s} {'points/s':>12s} {'nightbus is':>12s}   largest difference, V")
    for name, seconds in times.items():
        if not seconds:
            continue
        rate = case.points / statistics.median(seconds)
        gap = "another sweep" if "EMF" in name else f"{gaps[name]:.1e}"
        print(f"  {name:21s} {rate:12,.0f} {own / rate:10.1f} x   {gap}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--build", type=Path, default=Path("build/bench"))
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument(
        "--networks",
        nargs="*",
        default=[
            "rack80",
            "rack80-ties",
            "tree-500",
            "tree-5000",
            "tree-50000",
            "mesh-500",
            "mesh-5000",
            "mesh-50000",
        ],
    )
    options = parser.parse_args()
    peers = sorted(options.build.rglob("network_peers"))
    if not peers:
        sys.exit(f"network_peers is not built in {options.build}: cmake --build it first")
    print(f"nightbus runs {_core.widest_lanes()} scenarios side by side on this processor")
    for name in options.networks:
        size = 80 if name.startswith("rack") else int(name.split("-")[1])
        points = DAY if size < 1000 else 96 if size < 10_000 else 48
        compare(Case(peers[0], name, points), options.rounds)


if __name__ == "__main__":
    main()
