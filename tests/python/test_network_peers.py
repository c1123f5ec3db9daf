"""Random networks solved here, by SciPy's root finder and by the ngspice circuit simulator.

All three get the same list of elements. SciPy works on nodal equations written out below; ngspice
gets a netlist with behavioural sources. Nothing but the element list is shared.
"""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
import pytest
import scipy.optimize

from nightbus import _core

if TYPE_CHECKING:
    from pathlib import Path

Array = np.ndarray


@dataclass
class Load:
    p: int
    n: int
    power_w: float
    current_a: float
    conductance_s: float
    minimum_v: float


@dataclass
class Converter:
    p: int
    n: int
    out: int
    back: int
    set_point_v: float
    resistance_ohm: float
    standby_w: float
    loss_fraction: float


@dataclass
class Net:
    """Nodes 0.. with a list of grounds; starting volts of each node for the plain solvers."""

    start_v: list[float] = field(default_factory=list)
    grounds: list[int] = field(default_factory=list)
    resistors: list[tuple[int, int, float]] = field(default_factory=list)
    sources: list[tuple[int, int, float, float]] = field(default_factory=list)
    loads: list[Load] = field(default_factory=list)
    converters: list[Converter] = field(default_factory=list)

    def node(self, start_v: float = 0.0) -> int:
        self.start_v.append(start_v)
        return len(self.start_v) - 1


def random_net(seed: int) -> Net:
    """A tree or mesh of bus pairs with loads, one to three banks, none to two converters."""
    rng = np.random.default_rng(seed)
    net = Net()
    pairs = int(rng.integers(2, 8))
    plus, minus = [net.node(13.0)], [net.node()]
    net.grounds.append(minus[0])

    def ohm() -> float:
        return float(np.exp(rng.uniform(np.log(5e-4), np.log(0.03))))

    def load(p: int, n: int, volts: float) -> None:
        law = int(rng.integers(4))
        watts = float(rng.uniform(0.5, 15.0))
        net.loads.append(
            Load(
                p,
                n,
                power_w=watts if law in (0, 1) else 0.0,
                current_a=watts / volts if law in (1, 2) else 0.0,
                conductance_s=watts / volts**2 if law in (1, 3) else 0.0,
                minimum_v=0.6 * volts,
            )
        )

    net.sources.append((plus[0], minus[0], float(rng.uniform(12.4, 13.2)), 0.005))
    for k in range(1, pairs):
        feed = int(rng.integers(k))
        back = feed if rng.random() < 0.7 else int(rng.integers(k))
        plus.append(net.node(13.0))
        minus.append(net.node())
        net.resistors.append((plus[feed], plus[k], ohm()))
        net.resistors.append((minus[k], minus[back], ohm()))
    for k in range(pairs):
        load(plus[k], minus[k], 12.8)
        if rng.random() < 0.6:
            p, n = net.node(13.0), net.node()
            net.resistors += [(plus[k], p, ohm()), (n, minus[k], ohm())]
            load(p, n, 12.8)
        if rng.random() < 0.25 and pairs > 2:
            other = int(rng.integers(pairs))
            if other != k:
                net.resistors.append((plus[k], plus[other], ohm()))
    for _ in range(int(rng.integers(0, 3))):
        k = int(rng.integers(pairs))
        net.sources.append((plus[k], minus[k], float(rng.uniform(12.4, 13.2)), 0.01))
    for _ in range(int(rng.integers(0, 3))):
        k = int(rng.integers(pairs))
        volts = float(rng.choice([5.0, 24.0, 54.0]))
        out, back = net.node(volts), net.node()
        net.grounds.append(back)
        net.converters.append(
            Converter(
                plus[k], minus[k], out, back, volts, 0.05, 0.8, float(rng.uniform(0.03, 0.15))
            )
        )
        for _ in range(int(rng.integers(1, 4))):
            p, n = net.node(volts), net.node()
            net.resistors += [(out, p, ohm()), (n, back, ohm())]
            load(p, n, volts)
    return net


def compiled(net: Net) -> _core.Circuit:
    builder = _core.CircuitBuilder()
    for _ in net.start_v:
        builder.add_node()
    for ground in net.grounds:
        builder.set_reference(ground)
    for p, n, emf, ohm in net.sources:
        builder.add_source(p, n, emf_v=emf, resistance_ohm=ohm)
    for a, b, ohm in net.resistors:
        builder.add_resistor(a, b, ohm)
    for load in net.loads:
        builder.add_load(
            load.p,
            load.n,
            power_w=load.power_w,
            current_a=load.current_a,
            conductance_s=load.conductance_s,
            minimum_v=load.minimum_v,
        )
    for c in net.converters:
        builder.add_converter(
            c.p,
            c.n,
            c.out,
            c.back,
            set_point_v=c.set_point_v,
            output_resistance_ohm=c.resistance_ohm,
            standby_w=c.standby_w,
            loss_fraction=c.loss_fraction,
            minimum_input_v=8.0,
        )
    return builder.compile()


def by_scipy(net: Net) -> Array:
    """Node volts from ``scipy.optimize.root`` with the Jacobian written out."""
    count = len(net.start_v)

    def residual(v: Array) -> tuple[Array, Array]:
        f, jac = np.zeros(count), np.zeros((count, count))

        def add(a: int, b: int, current: float, slope: float) -> None:
            f[a] += current
            f[b] -= current
            jac[a, a] += slope
            jac[b, b] += slope
            jac[a, b] -= slope
            jac[b, a] -= slope

        for p, n, emf, ohm in net.sources:
            add(p, n, (v[p] - v[n] - emf) / ohm, 1.0 / ohm)
        for a, b, ohm in net.resistors:
            add(a, b, (v[a] - v[b]) / ohm, 1.0 / ohm)
        for load in net.loads:
            u = v[load.p] - v[load.n]
            m = max(load.minimum_v, 1e-9)
            if u >= m:
                current = load.power_w / u + load.current_a + load.conductance_s * u
                slope = -load.power_w / u**2 + load.conductance_s
            else:
                slope = (load.power_w / m + load.current_a + load.conductance_s * m) / m
                current = slope * u
            add(load.p, load.n, current, slope)
        for c in net.converters:
            x, y = v[c.p] - v[c.n], v[c.out] - v[c.back]
            i = (c.set_point_v - y) / c.resistance_ohm
            g = 1.0 / c.resistance_ohm
            add(c.out, c.back, -i, g)
            power = y * i
            drawn = (c.standby_w + (1.0 + c.loss_fraction) * power) / x
            add(c.p, c.n, drawn, -drawn / x)
            slope = (1.0 + c.loss_fraction) * (i - y * g) / x
            for row, sign in ((c.p, 1.0), (c.n, -1.0)):
                jac[row, c.out] += sign * slope
                jac[row, c.back] -= sign * slope
        for ground in net.grounds:
            f[ground] = v[ground]
            jac[ground, :] = 0.0
            jac[ground, ground] = 1.0
        return f, jac

    start = np.array(net.start_v)
    found = scipy.optimize.root(residual, start, jac=True, method="hybr", tol=1e-13)
    v: Array = found.x
    for _ in range(3):  # its tolerance is relative to the whole vector: polish
        f, jac = residual(v)
        v = v - np.linalg.solve(jac, f)
    return v


def netlist(net: Net, tag: str) -> list[str]:
    """The network for ngspice; every node is ``<tag>_<number>``, grounds are 0."""
    lines = []

    def name(node: int) -> str:
        return "0" if node in net.grounds else f"{tag}_{node}"

    for k, (p, n, emf, ohm) in enumerate(net.sources):
        lines.append(f"V{tag}s{k} {tag}_e{k} {name(n)} {emf:.17g}")
        lines.append(f"R{tag}s{k} {tag}_e{k} {name(p)} {ohm:.17g}")
    for k, (a, b, ohm) in enumerate(net.resistors):
        lines.append(f"R{tag}r{k} {name(a)} {name(b)} {ohm:.17g}")
    for k, load in enumerate(net.loads):
        u = f"v({name(load.p)},{name(load.n)})"
        m = max(load.minimum_v, 1e-9)
        at_m = (load.power_w / m + load.current_a + load.conductance_s * m) / m
        law = f"{load.power_w:.17g}/{u}+{load.current_a:.17g}+{load.conductance_s:.17g}*{u}"
        lines.append(
            f"B{tag}l{k} {name(load.p)} {name(load.n)} I = {u} > {m:.17g} ? {law} : {at_m:.17g}*{u}"
        )
    for k, c in enumerate(net.converters):
        x, y = f"v({name(c.p)},{name(c.n)})", f"v({name(c.out)},{name(c.back)})"
        lines.append(f"V{tag}c{k} {tag}_c{k} {name(c.back)} {c.set_point_v:.17g}")
        lines.append(f"R{tag}c{k} {tag}_c{k} {name(c.out)} {c.resistance_ohm:.17g}")
        power = f"{y}*({c.set_point_v:.17g}-{y})/{c.resistance_ohm:.17g}"
        lines.append(
            f"B{tag}c{k} {name(c.p)} {name(c.n)} "
            f"I = ({c.standby_w:.17g}+{1.0 + c.loss_fraction:.17g}*({power}))/max({x},1)"
        )
    lines += [
        f".nodeset v({name(node)})={volts}"
        for node, volts in enumerate(net.start_v)
        if node not in net.grounds
    ]
    return lines


def by_ngspice(nets: dict[str, Net], folder: Path) -> dict[str, Array]:
    """Node volts of all networks from one operating-point run."""
    deck = ["* random networks"]
    for tag, net in nets.items():
        deck += netlist(net, tag)
    deck += [
        ".options reltol=1e-9 abstol=1e-12 vntol=1e-10 gmin=1e-15 itl1=500 numdgt=14",
        ".control",
        "set numdgt=14",
        "op",
        "print all",
        ".endc",
        ".end",
    ]
    source = folder / "nets.cir"
    source.write_text("\n".join(deck) + "\n")
    done = subprocess.run(
        ["ngspice", "-b", str(source)], capture_output=True, text=True, timeout=120, check=False
    )
    volts: dict[str, float] = {}
    for line in done.stdout.splitlines():
        left, sep, right = line.partition(" = ")
        if sep:
            try:
                volts[left.strip().lower()] = float(right.split()[0])
            except ValueError:
                continue
    answers = {}
    for tag, net in nets.items():
        answers[tag] = np.array(
            [
                0.0 if node in net.grounds else volts[f"{tag}_{node}"]
                for node in range(len(net.start_v))
            ]
        )
    return answers


@pytest.mark.parametrize("block", range(8))
def test_random_networks_agree_with_scipy(block: int) -> None:
    for seed in range(block * 120, (block + 1) * 120):
        net = random_net(seed)
        point = compiled(net).solve()
        assert point.status == _core.SolveStatus.SOLVED, seed
        assert np.abs(point.node_v - by_scipy(net)).max() < 1e-9, seed
        assert point.residual_a < 1e-9, seed
        assert abs(point.balance_w) < 1e-11 * point.supplied_w + 1e-9, seed


@pytest.mark.parametrize("block", range(8))
def test_random_networks_agree_with_ngspice(block: int, tmp_path: Path) -> None:
    if shutil.which("ngspice") is None:
        pytest.skip("ngspice is not installed (apt-get install ngspice): NOT compared with it")
    nets = {f"n{seed}": random_net(10_000 + seed) for seed in range(block * 60, (block + 1) * 60)}
    answers = by_ngspice(nets, tmp_path)
    for tag, net in nets.items():
        point = compiled(net).solve()
        assert point.status == _core.SolveStatus.SOLVED, tag
        assert np.abs(point.node_v - answers[tag]).max() < 1e-6, tag


def test_the_peers_find_an_error_when_there_is_one() -> None:
    net = random_net(3)
    wrong = random_net(3)
    a, b, ohm = wrong.resistors[0]
    wrong.resistors[0] = (a, b, ohm * 1.001)
    gap = np.abs(compiled(net).solve().node_v - by_scipy(wrong)).max()
    assert gap > 1e-6
