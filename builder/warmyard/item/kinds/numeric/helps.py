"""What helps with a numeric item before its answer is shown: what to look for, its formulas in words, its sheet."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.formula.everyday import in_words
from warmyard.formula.notation import symbol_mathml
from warmyard.formula.printed import formula_mathml
from warmyard.formula.units import show_unit
from warmyard.item.kind import Helps
from warmyard.item.kinds.numeric.draw import numeric_plan
from warmyard.item.kinds.numeric.plan import LinkPlan, NumericPlan
from warmyard.item.kinds.numeric.schema import Numeric
from warmyard.item.surroundings import Surroundings
from warmyard.markup import element, joined
from warmyard.words import say


def numeric_helps(item: Numeric, around: Surroundings) -> Helps:
    """Return the helps of an item, all of them from the register: nothing is typed twice."""
    plan = numeric_plan(item, around)
    return Helps(
        think=_think(plan),
        formula=str(joined(_formula(link) for link in plan.links)),
        sheet=[(name, _means(plan, name)) for name, draw in item.draw.items() if draw.sheet],
    )


def _think(plan: NumericPlan) -> str:
    if len(plan.links) > 1:
        steps = "; ".join(f"{at}. {link.title}" for at, link in enumerate(plan.links, start=1))
        return say({}, "practice.look_chain", count=str(len(plan.links)), steps=steps)
    link = plan.links[0]
    given = {symbol for symbol, _, _ in link.takes}
    needs = "; ".join(one.means for one in link.form.formula.needs if one.symbol in given)
    return say({}, "practice.look_for", gives=link.form.formula.gives.means, needs=needs)


def _formula(link: LinkPlan) -> Markup:
    """Return a formula in words, and under it its letters with what each stands for."""
    formula = link.form.formula
    given = {symbol for symbol, _, _ in link.takes}
    letters = [
        element("li", element("math", symbol_mathml(one.symbol)), f" {one.means}", _unit(one.unit))
        for one in (formula.gives, *formula.needs)
    ]
    return joined(
        (
            element("p", element("b", link.title)),
            element("p", in_words(formula, given)),
            element("div", formula_mathml(formula), class_="wy-step-line"),
            element("ul", *letters, class_="wy-letters"),
        )
    )


def _unit(spelling: str) -> str:
    shown = show_unit(spelling)
    return f", {shown}" if shown else ""


def _means(plan: NumericPlan, name: str) -> str:
    """Return what a drawn symbol stands for, by the first formula that takes it."""
    for link in plan.links:
        origins = {origin: symbol for symbol, origin, _ in link.takes}
        if name in origins:
            return next(one.means for one in link.form.formula.needs if one.symbol == origins[name])
    return name
