"""Units: what each spelling of the closed table means, by pint, and the way from one to another.

Everything is computed in SI. A temperature point (degC) is kept in degrees Celsius and a difference in kelvin,
so that 20 degC stays 20; % is 0.01, ppm 1e-6, and dB is a base of its own. This is the only file that imports pint.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any

from warmyard.errors import InputError
from warmyard.formula.unit_spellings import ALSO_READ, TABLE
from warmyard.words import say, spoken

Dimension = tuple[tuple[str, Fraction], ...]
"""Base quantities with their exponents, sorted; () is a plain number."""
PLAIN = "1"
"""The spelling of a plain number."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A spelling with what it means: SI value = (value - zero) * factor; a point is kept in degrees Celsius."""

    spelling: str
    quantity: str
    factor: float
    zero: float
    dimension: Dimension
    point: bool

    @property
    def shown(self) -> str:
        """The unit as a reader sees it: W/(m²·K), °C, US gal/h, nothing for a plain number."""
        return show_unit(self.spelling)


def show_unit(spelling: str) -> str:
    """Return a unit as a reader sees it, such as m³/h for m3/h."""
    return "" if spelling == PLAIN else spoken().get(f"unit.{spelling}", spelling)


def name_quantity(quantity: str) -> str:
    """Return what a quantity is called, such as "a pressure"."""
    return say({}, f"quantity.{quantity}")


@lru_cache(maxsize=1)
def _pint() -> Any:
    import pint

    registry: Any = pint.UnitRegistry()
    registry.define("wy_level = [sound_level]")
    return registry


@lru_cache(maxsize=1)
def quantities() -> dict[str, str]:
    """Return the quantity of every spelling, such as pressure for bar."""
    return {spelling: quantity for quantity, units in TABLE.items() for spelling in units}


@lru_cache(maxsize=512)
def unit_in(spelling: str, quantity: str) -> Unit | None:
    """Return a unit as one of a quantity, or None: degC is a point of temperature or a difference."""
    name = {**TABLE[quantity], **ALSO_READ.get(quantity, {})}.get(spelling)
    if name is None:
        return None
    registry = _pint()
    if quantity == "temperature":
        zero = round(float(registry.Quantity(0.0, "degC").to(name).magnitude), 9)
        step = float(registry.Quantity(1.0, f"delta_{name}" if name != "kelvin" else name).to("kelvin").magnitude)
        return Unit(spelling, quantity, step, zero, (("[temperature]", Fraction(1)),), True)
    base = registry.Quantity(1.0, name).to_base_units()
    parts = ((str(key), Fraction(power).limit_denominator(1000)) for key, power in base.dimensionality.items())
    return Unit(spelling, quantity, float(base.magnitude), 0.0, tuple(sorted(parts)), False)


def find_unit(spelling: str) -> Unit | None:
    """Return the unit of the closed table, or None when the table has no such spelling."""
    quantity = quantities().get(spelling)
    return unit_in(spelling, quantity) if quantity else None


def unit_of(spelling: str) -> Unit:
    """Return the unit of the closed table; raise InputError when it has no such spelling."""
    unit = find_unit(spelling)
    if unit is None:
        raise InputError(f"there is no unit {spelling}; write one of formula/unit_spellings.py, such as bar or m3/h")
    return unit


def to_si(value: float, unit: str) -> float:
    """Return a value in SI; a temperature point in degrees Celsius."""
    found = unit_of(unit)
    return (value - found.zero) * found.factor


def from_si(value: float, unit: str) -> float:
    """Return an SI value (a temperature point in degrees Celsius) in a unit."""
    found = unit_of(unit)
    return value / found.factor + found.zero


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """Return a value in another unit of the same dimension; raise InputError when they do not agree."""
    if from_unit == to_unit:
        return value
    here, there = unit_of(from_unit), unit_of(to_unit)
    if here.dimension != there.dimension or here.point != there.point:
        raise InputError(f"{from_unit} cannot be turned into {to_unit}: {_called(here)} is not {_called(there)}")
    return (value - here.zero) * (here.factor / there.factor) + there.zero


def _called(unit: Unit) -> str:
    return name_quantity(unit.quantity)


def spellings_for(quantity: str) -> list[str]:
    """Return the spellings that are read for a quantity, the one that examples use first."""
    return [*TABLE[quantity], *ALSO_READ.get(quantity, {})]


def describe_dimension(dimension: Dimension) -> str:
    """Return the SI unit of a dimension in the table's spelling, such as kg/m3 or W."""
    if not dimension:
        return name_quantity("plain-number")
    for spelling, quantity in quantities().items():
        unit = unit_in(spelling, quantity)
        if unit and not unit.point and unit.factor == 1.0 and unit.dimension == dimension and spelling != "VA":
            return spelling
    return _from_base(dimension)


def si_spelling(spelling: str) -> str:
    """Return the SI unit that a unit is computed in: Pa for psi, degC for degC, 1 for %."""
    unit = unit_of(spelling)
    if unit.point:
        return "degC"
    for other in TABLE[unit.quantity]:
        found = unit_in(other, unit.quantity)
        if found and found.factor == 1.0:
            return other
    return describe_dimension(unit.dimension) if unit.dimension else "1"


_BASE = {
    "[mass]": "kg",
    "[length]": "m",
    "[time]": "s",
    "[temperature]": "K",
    "[current]": "A",
    "[substance]": "mol",
    "[sound_level]": "dB",
}


def _from_base(dimension: Dimension) -> str:
    above: list[str] = []
    below: list[str] = []
    for key, power in sorted(dimension, key=lambda one: list(_BASE).index(one[0])):
        size = "" if abs(power) == 1 else str(abs(power))
        (above if power > 0 else below).append(f"{_BASE[key]}{size}")
    return " ".join(above or ["1"]) + "".join(f"/{part}" for part in below)
