"""A factor left out of a product or quotient is known and named, and nobody typed it; Python and the page agree."""

from __future__ import annotations

import json
import math

import msgspec
import pytest
import quickjs

from warmyard.course.workspace import Workspace
from warmyard.formula.everyday import factors_of
from warmyard.formula.units import unit_of
from warmyard.item.kinds.numeric.draw import numeric_plan
from warmyard.item.kinds.numeric.left_out import ID
from warmyard.item.kinds.numeric.plan import LinkPlan, NumericPlan
from warmyard.item.kinds.numeric.schema import Numeric
from warmyard.item.marking import mark
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import NumberKey, Variant
from warmyard.item.words import marking_words
from warmyard.page.formula_script import units_script
from warmyard.page.javascript import KIND_SCRIPTS, runtime_text

SEEDS = (1, 2)


@pytest.fixture(scope="module")
def plans(whole_workspace: Workspace) -> dict[str, NumericPlan]:
    """Give every practice item of one formula, made ready."""
    items = [one for one in whole_workspace.items.values() if isinstance(one, Numeric) and one.use == "practice"]
    made = {item.id: numeric_plan(item, whole_workspace.surroundings) for item in items}
    return {id: plan for id, plan in made.items() if len(plan.links) == 1}


def factors_given(link: LinkPlan) -> dict[str, tuple[str, int]]:
    """Return symbol -> (the drawn name that it comes from, its power) of each factor that is given."""
    powers = factors_of(link.form.formula)
    return {symbol: (origin, powers[symbol]) for symbol, origin, _ in link.takes if symbol in powers}


def test_every_factor_is_named_unless_its_number_says_nothing(
    plans: dict[str, NumericPlan], whole_workspace: Workspace
) -> None:
    """Most factors are: their slip says what they stand for, and is never the answer itself."""
    named = 0
    for id, plan in plans.items():
        link = plan.links[0]
        for seed in SEEDS:
            variant = make_variant(whole_workspace.items[id], seed, whole_workspace.surroundings)
            key = variant.key
            assert isinstance(key, NumberKey)
            slips = {one.id: one for one in key.slips}
            for need in link.form.formula.needs:
                if need.symbol not in factors_given(link):
                    continue
                slip = slips.get(f"{ID}{need.symbol}")
                if slip is not None:
                    named += 1
                    assert need.means in slip.say
                    assert not math.isclose(slip.value, key.value, rel_tol=1e-9)
    assert named >= 120


def test_the_density_left_out_takes_litres_for_kilograms(
    plans: dict[str, NumericPlan], whole_workspace: Workspace
) -> None:
    """Worked here by hand: without the density the answer is the density times what it should be."""
    found = 0
    for id, plan in plans.items():
        origin = {symbol: name for symbol, name, _ in plan.links[0].takes}.get("rho_f", "")
        if factors_given(plan.links[0]).get("rho_f", ("", 0))[1] != -1 or origin not in plan.draws.units():
            continue
        variant = make_variant(whole_workspace.items[id], 1, whole_workspace.surroundings)
        assert isinstance(variant.key, NumberKey)
        slip = next((one for one in variant.key.slips if one.id == f"{ID}rho_f"), None)
        shown = {one.id: one.text for one in variant.question.given}.get(origin, "")
        if slip is None or not shown:
            continue
        number, _, unit = shown.partition(" ")
        assert unit_of(plan.draws.units()[origin]).quantity == "density"
        assert slip.value == pytest.approx(variant.key.value * float(number), rel=1e-6), unit
        assert slip.say == "You left out the density of the fuel."
        found += 1
    assert found >= 1


def test_python_and_the_page_name_the_same_factor(whole_workspace: Workspace, plans: dict[str, NumericPlan]) -> None:
    """Each derived slip's own number, typed with its unit, is marked as that slip by both."""
    page = quickjs.Context()
    page.eval(units_script())
    for name in ("wy.js", "number.js", "marking.js", *KIND_SCRIPTS):
        page.eval(runtime_text(name))
    page.eval(f"WY.markingWords = {json.dumps(marking_words())};")
    seen = 0
    for id in plans:
        variant: Variant = make_variant(whole_workspace.items[id], 1, whole_workspace.surroundings)
        assert isinstance(variant.key, NumberKey)
        for slip in variant.key.slips:
            if not slip.id.startswith(ID):
                continue
            response = {"text": repr(slip.value), "verdict": variant.key.verdict}
            given = json.dumps([msgspec.to_builtins(variant), response])
            both = [mark(variant, response).slip, page.eval(f"var g = {given}; WY.marking.mark(g[0], g[1]).slip")]
            assert both == [slip.id, slip.id], id
            seen += 1
    assert seen >= 60
