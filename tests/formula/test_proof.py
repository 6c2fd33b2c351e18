"""The proof of units: dimension, and temperature point against difference."""

from __future__ import annotations

import pytest

from warmyard.errors import InputError
from warmyard.formula.proof import UnitFault, find_conversion, prove_condition, prove_relation

UNITS = {
    "P": "kW",
    "V_dot": "m3/h",
    "rho": "kg/m3",
    "c_p": "J/kgK",
    "t_1": "degC",
    "t_2": "degC",
    "dT": "K",
    "x": "%",
    "n": "1",
    "L_1": "dB",
    "a": "mm",
    "b": "mm",
}


@pytest.mark.parametrize(
    ("text", "gives"),
    [
        ("P/(rho*V_dot*c_p)", "K"),
        ("t_1 + dT", "degC"),
        ("dT + t_1", "degC"),
        ("t_1 - dT", "degC"),
        ("t_1 - t_2", "K"),
        ("kelvin(t_1)/kelvin(t_2)", "1"),
        ("min(t_1, t_2)", "degC"),
        ("max(P, 0)", "W"),
        ("P*(1 + x)", "kW"),
        ("L_1 + 2*L_1*log10(n)", "dB"),
        ("1.30*(a*b)**0.625/(a + b)**0.25", "mm"),
        ("sqrt(a*b)", "m"),
        ("n**x", "1"),
        ("exp(-dT/kelvin(t_1))", "%"),
        ("-P", "kW"),
        ("0", "kW"),
        ("t_1 - zero_celsius", "K"),
    ],
)
def test_proved(text: str, gives: str) -> None:
    """Relations whose units agree."""
    prove_relation(text, UNITS, gives)


@pytest.mark.parametrize(
    ("text", "gives", "says"),
    [
        ("P/(rho*V_dot)", "K", "the relation gives"),
        ("rho*V_dot", "kg/m3", "the relation gives kg/s, but gives says kg/m3"),
        ("t_1 + t_2", "degC", "adds two temperature points"),
        ("2*t_1", "degC", "multiplies a temperature point"),
        ("P/t_1", "kW/K", "divides with a temperature point"),
        ("-t_1", "degC", "turns the sign of a temperature point"),
        ("sqrt(t_1)", "K", "takes sqrt of a temperature point"),
        ("dT - t_1", "degC", "subtracts"),
        ("t_1", "K", "the relation gives a temperature point (degC), but gives says K"),
        ("dT", "degC", "the relation gives K, but gives says a temperature point"),
        ("kelvin(dT)", "K", "kelvin() takes a temperature point"),
        ("P + dT", "kW", "adds W with K"),
        ("max(P, a)", "kW", "compares W with m"),
        ("ln(P)", "1", "takes ln of W"),
        ("ceil(P)", "kW", "takes ceil of W"),
        ("n**P", "1", "its exponent measures W"),
        ("P**n", "kW", "divide the unit out first"),
        ("q*P", "kW", "it uses q, which is not among its symbols"),
        ("min(t_1, 0)", "degC", "compares a temperature point"),
    ],
)
def test_disproved(text: str, gives: str, says: str) -> None:
    """Relations whose units do not agree, each with both sides named."""
    with pytest.raises(UnitFault) as fault:
        prove_relation(text, UNITS, gives)
    assert says in str(fault.value)


def test_conditions_compare_like_with_like() -> None:
    """A condition compares the same kinds; a literal zero fits every difference, but no point."""
    prove_condition("dT >= 0 and t_1 > t_2 or P > 0", UNITS)
    with pytest.raises(UnitFault):
        prove_condition("P > dT", UNITS)
    with pytest.raises(UnitFault):
        prove_condition("t_1 > 0", UNITS)
    with pytest.raises(UnitFault):
        prove_condition("t_1 > dT", UNITS)


def test_unknown_unit_is_an_input_error() -> None:
    """A unit outside the table is named."""
    with pytest.raises(InputError, match="there is no unit furlong"):
        prove_relation("a", {"a": "furlong"}, "m")


@pytest.mark.parametrize(("text", "literal"), [("3600*n", "3600"), ("n/60", "60"), ("n + 273.15", "273.15")])
def test_typed_conversions_are_found(text: str, literal: str) -> None:
    """A literal that looks like a unit conversion is found; a coefficient is not."""
    assert find_conversion(text) == literal
    assert find_conversion("11.53*n + 44/12") is None
