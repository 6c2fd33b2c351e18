"""The closed table of units: factors, points and differences, dimensions."""

from __future__ import annotations

from typing import Any

import pint
import pytest

from warmyard.errors import InputError
from warmyard.formula.typed import unit_table
from warmyard.formula.units import convert, describe_dimension, find_unit, from_si, si_spelling, to_si, unit_of


def test_factors_are_those_of_the_unit_library() -> None:
    """Every unit of the table converts as pint alone does."""
    registry: Any = pint.UnitRegistry()
    names = {"US_gal/h": "US_liquid_gallon/hour", "mbar": "millibar", "W/m2K": "W/m**2/K", "mV/A/m": "mV/A/m"}
    for spelling, name in names.items():
        expected = registry.Quantity(1.0, name).to_base_units().magnitude
        assert to_si(1.0, spelling) == pytest.approx(expected, rel=1e-15)


def test_exact_definitions() -> None:
    """Units that are defined exactly: the inch, the pound, the gallons, the kilowatt-hour."""
    assert to_si(1, "psi") == pytest.approx(4.4482216152605 / 0.0254**2, rel=1e-14)
    assert to_si(1, "US_gal") == pytest.approx(3.785411784e-3, rel=1e-14)
    assert to_si(1, "UK_gal") == pytest.approx(4.54609e-3, rel=1e-14)
    assert to_si(1, "kWh") == 3.6e6
    assert to_si(1, "%2/K") == pytest.approx(1e-4)
    assert to_si(1, "ppm") == pytest.approx(1e-6)


def test_a_point_stays_in_celsius() -> None:
    """A temperature point is kept in degrees Celsius, a difference in kelvin."""
    assert to_si(20, "degC") == 20
    assert from_si(20, "degF") == pytest.approx(68)
    assert unit_of("degC").point
    assert not unit_of("K").point


def test_convert_refuses_another_quantity() -> None:
    """Kilowatts are not litres, and a point is no difference."""
    assert convert(1, "kW", "W") == 1000
    with pytest.raises(InputError, match="a power is not a volume"):
        convert(1, "kW", "L")
    with pytest.raises(InputError):
        convert(1, "degC", "K")


def test_every_unit_has_an_si_unit_of_the_same_dimension() -> None:
    """Worked steps can always fall back to SI."""
    for spelling in unit_table()["quantityOf"]:
        unit, base = unit_of(spelling), find_unit(si_spelling(spelling))
        assert base is not None, spelling
        assert (base.dimension, base.factor) == (unit.dimension, 1.0), spelling


def test_dimensions_are_described_by_their_si_unit() -> None:
    """A fault names kg/m3, not a list of exponents."""
    assert describe_dimension(unit_of("bar").dimension) == "Pa"
    assert describe_dimension(unit_of("kVA").dimension) == "W"
    assert describe_dimension(()) == "a plain number"
    assert describe_dimension(unit_of("kg/L").dimension) == "kg/m3"
