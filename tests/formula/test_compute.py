"""The value of a formula: defaults, refusals in words, slips, relations of items."""

from __future__ import annotations

import math
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_inputs import random_inputs

from warmyard.errors import InputError
from warmyard.formula.compute import compute, compute_relation, compute_slip, holds, read_inputs, warnings_of
from warmyard.formula.expression import NoValue
from warmyard.formula.register import Register


def test_inputs_are_in_the_symbols_own_units(register: Register) -> None:
    """compute takes numbers in the declared units and gives the declared unit."""
    assert compute(register.formulas["temperature-rise"], {"P": 60, "V_dot": 4000}) == pytest.approx(44.7761, rel=1e-6)


def test_a_default_may_be_replaced(register: Register) -> None:
    """What is given comes before a default."""
    formula = register.formulas["temperature-rise"]
    assert compute(formula, {"P": 60, "V_dot": 4000, "rho": 1.0}) == pytest.approx(53.7313, rel=1e-6)


def test_a_rule_fills_its_symbol(register: Register) -> None:
    """A country's value stands in for a default."""
    assert compute(register.formulas["containment"], {"V_1": 205, "N": 4}) == pytest.approx(225.5)


@pytest.mark.parametrize(
    ("id", "inputs", "says"),
    [
        (
            "nozzle-flow",
            {"q_r": 1, "p": -1},
            "p, pump pressure at the nozzle, must lie between 0 bar and 60 bar; -1 bar",
        ),
        ("nozzle-flow", {"q_r": 1}, "p is missing: pump pressure at the nozzle, in bar"),
        ("nozzle-flow", {"q_r": 1, "p": 10, "u": 1}, "nozzle-flow has no symbol u; it takes q_r, p, p_r"),
        ("nozzle-flow", {"q_r": 1, "p": float("nan")}, "must lie between"),
        ("nozzle-flow", {"q_r": 1, "p": float("inf")}, "must lie between"),
        ("time-to-co", {"G": 0.05, "n": 0, "V": 600, "x": 100}, "use time-to-co-sealed"),
        ("warm-up-time", {"C": 2, "H": 6, "P": 150, "dT": 26}, "never reached"),
    ],
)
def test_refusals(register: Register, id: str, inputs: dict[str, float], says: str) -> None:
    """Each refusal says what would be right."""
    with pytest.raises(InputError) as refusal:
        compute(register.formulas[id], inputs)
    assert says in str(refusal.value)


def test_typed_texts_name_their_symbol(register: Register) -> None:
    """A text that cannot be read is refused under the name of its symbol."""
    formula = register.formulas["nozzle-flow"]
    assert read_inputs(formula, {"q_r": "1", "p": "140 psi"})["p"] == pytest.approx(9.65266)
    with pytest.raises(InputError, match="p: “5 L” is a volume"):
        read_inputs(formula, {"q_r": "1", "p": "5 L"})
    with pytest.raises(InputError, match="has no symbol w"):
        read_inputs(formula, {"w": "1"})


def test_warnings_stand_beside_the_value(register: Register) -> None:
    """Above 13 % oxygen the value comes with a warning, below it without."""
    formula = register.formulas["flue-loss"]
    assert warnings_of(formula, {"t_f": 220, "t_a": 20, "O2": 5}) == ()
    (warning,) = warnings_of(formula, {"t_f": 220, "t_a": 20, "O2": 14})
    assert "look for a leak" in warning


def test_carbon_monoxide_always_says_what_to_do(register: Register) -> None:
    """No exposure figure is shown without the action."""
    cases: dict[str, dict[str, float]] = {
        "steady-co": {"G": 0.02, "Q": 1320},
        "eight-hour-average": {"x_1": 0, "t_1": 8},
        "short-exposure-cohb": {"x": 0, "V_m": 10, "t": 10},
    }
    for id, inputs in cases.items():
        assert warnings_of(register.formulas[id], inputs), id


def test_slips_come_to_what_the_mistake_gives(register: Register) -> None:
    """The proportional slip of the nozzle: 2.00 at 7 bar, set to 12 bar, gives 3.43."""
    formula = register.formulas["nozzle-flow"]
    slip = next(one for one in formula.slips if one.id == "proportional")
    assert compute_slip(formula, slip.relation, {"q_r": 2, "p": 12, "p_r": 7}) == pytest.approx(3.43, abs=0.005)


def test_a_slip_without_value_says_so(register: Register) -> None:
    """Celsius in the gas law at 0 degC has no value."""
    formula = register.formulas["air-density"]
    with pytest.raises(NoValue):
        compute_slip(formula, formula.slips[0].relation, {"t": 0})


def test_relations_of_items_are_proved_and_computed() -> None:
    """A relation over drawn quantities with their units gives the unit asked for."""
    drawn = {"P": (60.0, "kW"), "V_dot": (4000.0, "m3/h"), "rho": (1.2, "kg/m3"), "c_p": (1005.0, "J/kgK")}
    assert compute_relation("P/(rho*V_dot*c_p)", drawn, "K") == pytest.approx(44.7761, rel=1e-6)
    with pytest.raises(InputError, match="gives says"):
        compute_relation("P/(rho*V_dot)", drawn, "K")


def test_conditions_of_items() -> None:
    """A condition over drawn quantities compares across units of one kind."""
    drawn = {"answer": (140.0, "psi"), "limit": (9.0, "bar"), "t": (20.0, "degC"), "t_o": (60.0, "degF")}
    assert holds("answer > limit", drawn)
    assert holds("t > t_o and answer < 2*limit", drawn)
    with pytest.raises(InputError):
        holds("answer > t", drawn)


def test_zero_is_never_negative(register: Register) -> None:
    """A result of nothing is 0, not -0."""
    value = compute(register.formulas["time-to-co"], {"G": 0.05, "n": 0.5, "V": 600, "x": 0})
    assert str(value) == "0.0"


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 2**32))
def test_no_accepted_input_is_without_a_finite_number(register: Register, seed: int) -> None:
    """Over the whole ranges an input is refused in the author's words, or it has a finite number."""
    chance = Random(seed)  # a draw for each symbol of the whole register would be more than hypothesis holds
    for formula in register.formulas.values():
        try:
            value = compute(formula, random_inputs(formula, chance))
        except InputError as refusal:
            value, said = 0.0, str(refusal)
            if "has no answer" in said:
                pytest.fail(f"{formula.id}: {said}")
        assert math.isfinite(value)
