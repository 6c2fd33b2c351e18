"""Formulas that say the same thing in two ways agree, over all that they accept."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from warmyard.formula.compute import compute
from warmyard.formula.register import Register
from warmyard.formula.units import convert


@given(oxygen=st.floats(0, 18))
def test_the_air_ratio_is_one_and_the_excess(register: Register, oxygen: float) -> None:
    """The share that a lesson teaches and the ratio that a problem asks are one relation; the exact one lies below."""
    share = compute(register.formulas["excess-air-share"], {"O2": oxygen})
    ratio = compute(register.formulas["excess-air"], {"O2": oxygen})
    assert ratio == pytest.approx(1 + share / 100)
    assert compute(register.formulas["excess-air-exact"], {"O2": oxygen}) == pytest.approx(1 + 0.926 * share / 100)


@given(flow=st.floats(0.1, 40), pressure=st.floats(1, 50))
def test_both_marks_of_a_nozzle_give_one_flow(register: Register, flow: float, pressure: float) -> None:
    """Reckoned from gallons or from kilograms, the same nozzle burns the same oil at the pump's pressure."""
    gallons = compute(register.formulas["nozzle-flow"], {"q_r": flow, "p": pressure})
    other = compute(register.formulas["nozzle-other-mark"], {"q_r": flow})
    kilograms = compute(register.formulas["nozzle-flow-by-mass"], {"m_r": other, "p": pressure})
    assert kilograms == pytest.approx(convert(gallons, "US_gal/h", "L/h") * 0.84)


@given(parts=st.lists(st.floats(0.01, 10_000), min_size=3, max_size=3))
def test_parts_together_insulate_less_than_the_lowest(register: Register, parts: list[float]) -> None:
    """And never less than a third of it, in whatever order they are named."""
    together = compute(register.formulas["insulation-together"], dict(zip(("R_1", "R_2", "R_3"), parts, strict=True)))
    assert min(parts) / 3 * (1 - 1e-9) <= together < min(parts)
    turned = dict(zip(("R_1", "R_2", "R_3"), sorted(parts), strict=True))
    assert compute(register.formulas["insulation-together"], turned) == pytest.approx(together)
