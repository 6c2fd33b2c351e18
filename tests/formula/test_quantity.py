"""The only reader of a number with its unit, and how a number is shown."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from warmyard.errors import InputError
from warmyard.formula.quantity import plain_number, read_quantity, show, split_quantity
from warmyard.formula.typed import unit_table


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("12.5", "bar", 12.5),
        ("12.5 bar", "bar", 12.5),
        ("12.5bar", "bar", 12.5),
        ("  +12.5  bar ", "bar", 12.5),
        ("140 psi", "bar", 9.6526602),
        ("36 degF", "K", 20.0),
        ("20 degC", "K", 20.0),
        ("68 °F", "degC", 20.0),
        ("300 K", "degC", 26.85),
        ("-40 degF", "degC", -40.0),
        ("\u22125", "degC", -5.0),
        ("5 %", "1", 0.05),
        ("400 ppm", "%", 0.04),
        ("1.5 US gal/h", "L/h", 5.678117676),
        ("3 m³/h", "m3/h", 3.0),
        ("2 /h", "1/h", 2.0),
        ("2 1/h", "1/h", 2.0),
        ("5.9 W/(m²·K)", "W/m2K", 5.9),
        ("10 l", "L", 10.0),
        ("1e3 Pa", "kPa", 1.0),
        (".5 m", "mm", 500.0),
        ("70 dB(A)", "dB", 70.0),
    ],
)
def test_reads_what_a_person_types(text: str, unit: str, value: float) -> None:
    """A number with or without a unit, in the unit asked for."""
    assert read_quantity(text, unit) == pytest.approx(value, rel=1e-7)


@pytest.mark.parametrize(
    ("text", "unit", "says"),
    [
        ("12,5 bar", "bar", "such as 12.5 bar"),
        ("5 L", "bar", "“5 L” is a volume, but a pressure is asked"),
        ("5 kW", "kVA", "is a power, but an apparent power is asked"),
        ("60 F", "degC", "degF"),
        ("60 C", "degC", "degC"),
        ("1 gal", "L", "US gal or UK gal"),
        ("nan", "bar", "is not a number"),
        ("-inf", "bar", "is not a number"),
        ("1e400", "bar", "too large"),
        ("9**9**9 bar", "bar", "is not a number"),
        ("1_000", "Pa", "is not a number"),
        ("1 000", "Pa", "is not a number"),
        ("٣", "bar", "is not a number"),
        ("", "bar", "nothing is written there"),
        ("  ", "bar", "nothing is written there"),
        ("5 Bar", "bar", "did you mean bar"),
        ("5 parsec", "m", "there is no unit parsec"),
        ("1" * 100, "m", "is not a number"),
        ("12.5 bar; rm", "bar", "is not a number"),
        ("9.5\n-", "bar", "“9.5 -” is not a number"),
        ("9\u2028,5 ba\x1fr", "bar", "is not a number"),
    ],
)
def test_refuses_with_what_would_be_right(text: str, unit: str, says: str) -> None:
    """Every refusal is one sentence that names the fault."""
    with pytest.raises(InputError) as refusal:
        read_quantity(text, unit)
    assert says in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_shows_as_a_reader_writes() -> None:
    """Fixed decimals, the unit as in print, never minus nothing."""
    assert show(12.5, "bar", 1) == "12.5 bar"
    assert show(20, "degC", 0) == "20 °C"
    assert show(-0.04, "K", 1) == "0.0 K"
    assert show(5.88, "W/m2K", 1) == "5.9 W/(m²·K)"
    assert show(3, "1", 0) == "3"
    assert show(1.2, "kg/m3", 2) == "1.20 kg/m³"
    assert show(1.35, "US_gal/h", 2) == "1.35 US gal/h"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (100.0, "100"),
        (0.1 + 0.2, "0.3"),
        (101325.0, "101325"),
        (1.39e-5, "1.39×10^-5"),
        (2e20, "2×10^20"),
        (-7.5, "-7.5"),
    ],
)
def test_plain_numbers(value: float, text: str) -> None:
    """No needless digits, no exponent that a person would not write."""
    assert plain_number(value) == text


def test_every_unit_can_be_read_back_as_shown() -> None:
    """What the page shows may be typed again."""
    table = unit_table()
    for quantity, units in table["units"].items():
        for spelling in units:
            if spelling in table["quantityOf"] and table["quantityOf"][spelling] == quantity and spelling != "1":
                assert read_quantity(f"2 {table['shown'][spelling]}", spelling) == 2.0


@given(st.text(max_size=80))
def test_any_text_is_a_finite_number_or_one_sentence(text: str) -> None:
    """Whatever is typed, the reader answers with a finite number or an InputError."""
    try:
        value = read_quantity(text, "bar")
    except InputError:
        return
    assert math.isfinite(value)


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e12, max_value=1e12))
def test_a_written_number_reads_back(value: float) -> None:
    """Python's own shortest writing of a number reads back exactly."""
    assert read_quantity(repr(value), "Pa") == value


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [("45 kW", "45", "kW"), ("45kW", "45", "kW"), (" 1.50 US_gal/h ", "1.50", "US_gal/h"), ("-3", "-3", "")],
)
def test_number_and_unit_are_parted_as_they_are_written(text: str, number: str, unit: str) -> None:
    """What stands in a data sheet is shown with the digits that its author wrote."""
    assert split_quantity(text) == (number, unit)


@pytest.mark.parametrize("text", ["gas oil", "240 V, 50 Hz", "1,5 kW", "", "BD56-9017", "5 " + "m" * 60])
def test_what_is_no_number_with_a_unit_is_not_parted(text: str) -> None:
    """Words, two values in a row, a decimal comma, a serial number and what is far too long are none."""
    assert split_quantity(text) is None
