"""Systems that several tests share."""

from __future__ import annotations

from pathlib import Path

import pytest

import nightbus as nb

ROOT = Path(__file__).parents[2]
SYSTEMS = sorted((ROOT / "notebooks" / "systems").glob("*.toml"))


def small_system() -> nb.System:
    """All kinds of point: bank, bus, loads, converter, PoE camera, fan, array."""
    return (
        nb.System("Shed", "For tests.")
        .add(
            nb.Site(
                name="Hill",
                latitude="41 deg",
                longitude="14 deg",
                time_zone="Europe/Rome",
                temp_cold="3 °C",
                temp_hot="33 °C",
                clearness=[0.6, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.85, 0.75, 0.7, 0.6, 0.55],
            )
        )
        .add(nb.Compartment(name="cupboard", conductance="6 W/K"))
        .add(
            nb.Bank(
                name="bank", chemistry="LFP", voltage="12 V", capacity="100 Ah", resistance="6 mOhm"
            )
        )
        .add(nb.Bus(name="bus", compartment="cupboard"))
        .add(nb.Run(name="lead", from_="bank", to="bus", length="1 m"))
        .add(
            nb.Load(
                name="router",
                typical="12 W",
                peak="18 W",
                window="9 V to 36 V",
                compartment="cupboard",
            ),
            feed={"from_": "bus", "length": "3 m"},
        )
        .add(
            nb.Load(
                name="lamp",
                typical="6 W",
                behaviour="resistance",
                window="10 V to 15 V",
                drop_class="general",
                schedule=["18:00-23:00"],
            ),
            feed={"from_": "bus", "length": "5 m"},
        )
        .add(
            nb.Fan(
                name="fan",
                step_power=["1 W", "2 W"],
                step_flow=["20 m3/h", "40 m3/h"],
                cools="cupboard",
                window="9 V to 15 V",
            ),
            feed={"from_": "bus", "length": "1 m"},
        )
        .add(
            nb.Converter(
                name="injector",
                kind="injector",
                output="54 V",
                power="60 W",
                efficiency=[(0.1, 0.8), (1.0, 0.9)],
                window="10 V to 16 V",
                compartment="cupboard",
            ),
            feed={"from_": "bus", "length": "1 m"},
        )
        .add(
            nb.PoeLink(
                name="camera", from_="injector", length="20 m", class_=3, typical="6 W", peak="10 W"
            )
        )
        .add(
            nb.Array(name="roof", power="800 W", controller_current="60 A"),
            feed={"to": "bus", "length": "2 m"},
        )
    )


@pytest.fixture
def shed() -> nb.System:
    return small_system()


@pytest.fixture(scope="session")
def shed_plan() -> nb.Plan:
    return nb.plan(small_system())


@pytest.fixture(scope="session")
def demo_plan() -> nb.Plan:
    """A demo system as found: with dangers and warnings."""
    return nb.plan(ROOT / "notebooks" / "systems" / "travelling-library-before.toml")
