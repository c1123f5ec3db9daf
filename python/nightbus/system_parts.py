"""What a system holds, asked by name."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from nightbus._core import (
    Array,
    Bank,
    Bus,
    Case,
    Charger,
    Compartment,
    Converter,
    Fan,
    Load,
    PoeLink,
    Price,
    Rules,
    Run,
    Site,
)

if TYPE_CHECKING:
    from nightbus.records import Records

#: Attribute of a System, the key of its records in a system file, and their type.
KINDS: dict[str, tuple[str, type[Any]]] = {
    "banks": ("bank", Bank),
    "buses": ("bus", Bus),
    "loads": ("load", Load),
    "fans": ("fan", Fan),
    "converters": ("converter", Converter),
    "poe_links": ("poe_link", PoeLink),
    "chargers": ("charger", Charger),
    "arrays": ("array", Array),
    "runs": ("run", Run),
    "compartments": ("compartment", Compartment),
    "prices": ("price", Price),
    "cases": ("case", Case),
}


class SystemParts:
    """The records of a system, asked by name."""

    title: str
    note: str
    site: Site
    rules: Rules
    banks: Records[Bank]
    buses: Records[Bus]
    loads: Records[Load]
    fans: Records[Fan]
    converters: Records[Converter]
    poe_links: Records[PoeLink]
    chargers: Records[Charger]
    arrays: Records[Array]
    runs: Records[Run]
    compartments: Records[Compartment]
    prices: Records[Price]
    cases: Records[Case]

    def bank(self, name: str) -> Bank:
        """Return the bank of that name; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.read("post.toml").bank("bank").capacity_ah
        200.0
        """
        return self.banks[name]

    def bus(self, name: str) -> Bus:
        """Return the bus of that name; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.read("post.toml").bus("blok")
        Traceback (most recent call last):
            ...
        nightbus._core.LookupError: there is no Bus "blok"; did you mean "block"?
        """
        return self.buses[name]

    def load(self, name: str) -> Load:
        """Return the load of that name; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.read("post.toml").load("door camera").typical_w
        5.0
        """
        return self.loads[name]

    def fan(self, name: str) -> Fan:
        """Return the fan of that name; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> air = nb.Fan(name="air", step_power=["2 W"], step_flow=["40 m3/h"], cools="rack")
        >>> nb.System(records=[air]).fan("air").step_w
        (2.0,)
        """
        return self.fans[name]

    def converter(self, name: str) -> Converter:
        """Return the converter of that name; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> system = nb.System().add(nb.Converter(name="shelf", output="5 V", power="20 W"))
        >>> system.converter("shelf").output_v
        5.0
        """
        return self.converters[name]

    def poe_link(self, name: str) -> PoeLink:
        """Return the PoE link of that name; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> camera = nb.PoeLink(name="gate", from_="injector", length="30 m", typical="6 W")
        >>> nb.System(records=[camera]).poe_link("gate").length_m
        30.0
        """
        return self.poe_links[name]

    def charger(self, name: str) -> Charger:
        """Return the charger of that name; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> mains = nb.Charger(name="mains", current="20 A")
        >>> nb.System(records=[mains]).charger("mains").current_a
        20.0
        """
        return self.chargers[name]

    def array(self, name: str) -> Array:
        """Return the array of that name; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.read("post.toml").array("roof array").power_w
        300.0
        """
        return self.arrays[name]

    def run(self, name: str) -> Run:
        """Return the run of that name; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> nb.read("post.toml").run("bank lead").length_m
        0.6
        """
        return self.runs[name]

    def compartment(self, name: str) -> Compartment:
        """Return the compartment of that name; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> box = nb.Compartment(name="box", conductance="4 W/K")
        >>> nb.System(records=[box]).compartment("box").conductance_w_per_k
        4.0
        """
        return self.compartments[name]

    def case(self, name: str) -> Case:
        """Return the case of that name; LookupError lists near misses.

        Examples
        --------
        >>> import nightbus as nb
        >>> cold = nb.Case(name="first start", bank="low", demand="peak", temp="-20 °C")
        >>> nb.System(records=[cold]).case("first start").temp_c
        -20.0
        """
        return self.cases[name]

    def points(self) -> dict[str, Any]:
        """Return everything that a run may join, by name.

        Examples
        --------
        >>> import nightbus as nb
        >>> list(nb.read("post.toml").points())
        ['bank', 'block', 'cellular router', 'door camera', 'roof array']
        """
        found: dict[str, Any] = {}
        for attribute in KINDS:
            if attribute not in ("runs", "compartments", "prices", "cases"):
                for record in getattr(self, attribute):
                    found[record.name] = record
        return found

    def assumptions(self) -> list[tuple[str, str, str, Any]]:
        """Return the defaults left standing that matter: kind, name, field, value.

        Examples
        --------
        >>> import nightbus as nb
        >>> taken = nb.read("post.toml").assumptions()
        >>> [row for row in taken if row[2] == "drop_critical"]
        [('rules', '', 'drop_critical', '3 %')]
        """
        found: list[tuple[str, str, str, Any]] = []
        singles: list[tuple[str, Any]] = [("site", self.site), ("rules", self.rules)]
        for kind, record in singles:
            found += [(kind, "", key, value) for key, value in record.assumed().items()]
        for attribute, (kind, _) in KINDS.items():
            for record in getattr(self, attribute):
                name = getattr(record, "name", "")
                found += [(kind, name, key, value) for key, value in record.assumed().items()]
        return found
