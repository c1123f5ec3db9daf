"""The NumPy face of networks: arrays in and out, rows equal to the plain loop, refusals."""

from __future__ import annotations

import threading

import numpy as np
import pytest

from nightbus import _core
from nightbus._core import ParameterKind, QuantityKind, SolveStatus


def rack() -> tuple[_core.Circuit, list[int], int]:
    """Eight loads on a bus, half of them on their own leads, behind one bank."""
    builder = _core.CircuitBuilder()
    plus, minus, bus = builder.add_node(), builder.add_node(), builder.add_node()
    source = builder.add_source(plus, minus, emf_v=12.8, resistance_ohm=0.01)
    builder.add_resistor(plus, bus, 0.02)
    loads = []
    for k in range(8):
        p = bus
        if k % 2:
            p = builder.add_node()
            builder.add_resistor(bus, p, 0.05 + 0.01 * k)
        loads.append(builder.add_load(p, minus, power_w=4.0 + k, minimum_v=9.0))
    return builder.compile(), loads, source


def table(rows: int, loads: list[int]) -> np.ndarray:
    rng = np.random.default_rng(7)
    return np.column_stack(
        [12.8 + 0.4 * rng.standard_normal(rows) * 0.5, rng.uniform(1.0, 20.0, (rows, len(loads)))]
    )


def keys(source: int, loads: list[int]) -> list[tuple[int, ParameterKind]]:
    return [(source, ParameterKind.EMF_V)] + [(load, ParameterKind.POWER_W) for load in loads]


def test_rows_equal_single_solves_bit_for_bit() -> None:
    circuit, loads, source = rack()
    columns, values = keys(source, loads), table(50, loads)
    wanted = [(QuantityKind.VOLTAGE_V, load) for load in loads]
    wanted += [(QuantityKind.CURRENT_A, loads[0]), (QuantityKind.SUPPLIED_W, 0)]
    result = circuit.solve_batch(columns, values, wanted)
    assert result.values.shape == (50, 10)
    assert (result.status == SolveStatus.SOLVED).all()
    for row in range(50):
        point = circuit.solve(
            [(e, kind, x) for (e, kind), x in zip(columns, values[row], strict=True)]
        )
        expected = [*point.voltage_v[loads], point.current_a[loads[0]], point.supplied_w]
        assert result.values[row].tolist() == expected


@pytest.mark.parametrize("threads", [1, 2, 5])
@pytest.mark.parametrize("lanes", [0, 1, 4, 8, 16])
def test_threads_and_lanes_change_nothing(threads: int, lanes: int) -> None:
    circuit, loads, source = rack()
    columns, values = keys(source, loads), table(333, loads)
    wanted = [(QuantityKind.NODE_V, node) for node in range(circuit.node_count)]
    plain = circuit.solve_batch(columns, values, wanted, threads=1, lanes=1)
    other = circuit.solve_batch(columns, values, wanted, threads=threads, lanes=lanes)
    assert np.array_equal(plain.values, other.values)


def test_a_batch_made_ready_answers_as_one_made_for_the_table() -> None:
    circuit, loads, source = rack()
    columns, values = keys(source, loads), table(60, loads)
    wanted = [(QuantityKind.NODE_V, node) for node in range(circuit.node_count)]
    plain = circuit.solve_batch(columns, values, wanted).values
    ready = circuit.batch(columns, wanted)
    assert (ready.parameter_count, ready.quantity_count) == (len(columns), len(wanted))
    for count in (len(values), 3, len(values)):
        assert np.array_equal(ready.solve(values[:count]).values, plain[:count])
    with pytest.raises(ValueError, match="columns"):
        ready.solve(values[:, 1:])


def test_any_strides_and_a_given_output_are_used_as_they_are() -> None:
    circuit, loads, source = rack()
    columns, values = keys(source, loads), table(40, loads)
    wanted = [(QuantityKind.VOLTAGE_V, load) for load in loads]
    plain = circuit.solve_batch(columns, values, wanted).values
    fortran = circuit.solve_batch(columns, np.asfortranarray(values), wanted).values
    assert np.array_equal(plain, fortran)
    every_other = np.repeat(values, 2, axis=0)[::2]
    assert np.array_equal(plain, circuit.solve_batch(columns, every_other, wanted).values)
    out = np.full((40, 20), np.nan)
    view = out[:, 3:11]
    circuit.solve_batch(columns, values, wanted, out=view)
    assert np.array_equal(view, plain)
    assert np.isnan(out[:, :3]).all()
    assert np.isnan(out[:, 11:]).all()


def test_wrong_shapes_are_refused_with_both_sizes() -> None:
    circuit, loads, source = rack()
    with pytest.raises(ValueError, match="9 columns"):
        circuit.solve_batch(keys(source, loads), np.ones((3, 2)), [])
    with pytest.raises(ValueError, match="3 x 1"):
        circuit.solve_batch(
            [(loads[0], ParameterKind.POWER_W)],
            np.ones((3, 1)),
            [(QuantityKind.VOLTAGE_V, loads[0])],
            out=np.ones((2, 1)),
        )
    with pytest.raises(IndexError):
        circuit.solve_batch([(source, ParameterKind.POWER_W)], np.ones((3, 1)), [])


def test_a_failing_row_keeps_its_own_status() -> None:
    circuit, loads, _ = rack()
    watts = np.array([[10.0], [1e5], [-1.0], [np.nan], [12.0]])
    result = circuit.solve_batch(
        [(loads[0], ParameterKind.POWER_W)], watts, [(QuantityKind.VOLTAGE_V, loads[0])]
    )
    status = [SolveStatus(s) for s in result.status]
    assert status[0] == status[4] == SolveStatus.SOLVED
    assert status[2] == status[3] == SolveStatus.INVALID
    assert np.isfinite(result.values).all()
    assert "range" in _core.status_sentence(status[2])


def test_python_threads_share_a_circuit() -> None:
    circuit, loads, source = rack()
    columns, values = keys(source, loads), table(2000, loads)
    wanted = [(QuantityKind.VOLTAGE_V, load) for load in loads]
    plain = circuit.solve_batch(columns, values, wanted).values
    results: list[np.ndarray] = []
    workers = [
        threading.Thread(
            target=lambda: results.append(circuit.solve_batch(columns, values, wanted).values)
        )
        for _ in range(4)
    ]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert len(results) == 4
    assert all(np.array_equal(plain, result) for result in results)


def test_margins_and_sensitivities_of_a_closed_form() -> None:
    builder = _core.CircuitBuilder()
    p, n = builder.add_node(), builder.add_node()
    source = builder.add_source(p, n, emf_v=12.0, resistance_ohm=0.2)
    load = builder.add_load(p, n, power_w=120.0)
    circuit = builder.compile()
    margins = circuit.margins(windows=[(load, 9.0, 15.0)])
    assert margins.collapse is not None
    assert margins.first_window is not None
    assert margins.collapse.multiplier == pytest.approx(180.0 / 120.0, rel=1e-7)
    assert margins.first_window.multiplier == pytest.approx(9.0 * 3.0 / 0.2 / 120.0, rel=1e-5)
    # V = (E + S) / 2, S = sqrt(E² - 4 R P): dV/dE = (1 + E / S) / 2, dV/dP = -R / S.
    s = np.sqrt(144.0 - 96.0)
    grid = circuit.sensitivities(
        quantities=[(QuantityKind.VOLTAGE_V, load)],
        with_respect_to=[(source, ParameterKind.EMF_V), (load, ParameterKind.POWER_W)],
    )
    assert grid[0] == pytest.approx([0.5 * (1.0 + 12.0 / s), -0.2 / s], rel=1e-9)
