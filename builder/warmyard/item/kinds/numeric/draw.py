"""The text of a numeric item: the question with its numbers, and the worked steps."""

from __future__ import annotations

import math

from markupsafe import Markup

from warmyard.formula.keyed_in import keyed_steps
from warmyard.formula.quantity import show
from warmyard.formula.units import show_unit
from warmyard.item.chance import Chance
from warmyard.item.draw import first_that_serves, put_in, shown_values
from warmyard.item.kinds.numeric.plan import Numbers, NumericPlan, draw_numbers, link_inputs, plan_numeric
from warmyard.item.kinds.numeric.schema import Numeric
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant_model import NumberKey, Question, Shown, SlipValue, Variant
from warmyard.markup import element, joined

MOST_TRIES = 400
READS = 2
"""How an answer to what is drawn today is read."""
MOST_TRIES_FOR_A_VERDICT = 200


def numeric_plan(item: Numeric, around: Surroundings) -> NumericPlan:
    """Return the item made ready, from the surroundings' store when it was made ready before."""
    known = around.prepared.get(item.id)
    if not isinstance(known, NumericPlan) or known.item is not item:
        known = around.prepared[item.id] = plan_numeric(item, around)
    return known


def drawn_numbers(plan: NumericPlan, chance: Chance) -> Numbers:
    """Return the first draw that serves; raise DrawRefused, naming the commonest reason, after many that do not.

    Where a verdict is asked, one is chosen first and numbers are drawn for it: left to the numbers, one verdict would
    mostly be right, and whoever always names it would have half the mark for free.
    """
    found = first_that_serves(lambda: draw_numbers(plan, chance), MOST_TRIES)
    if not plan.verdicts:
        return found
    wanted = plan.verdicts[chance.below(len(plan.verdicts))][0]
    for _ in range(MOST_TRIES_FOR_A_VERDICT):
        if found.verdict == wanted:
            break
        other = draw_numbers(plan, chance, wanted)
        found = found if isinstance(other, str) else other
    return found


def numeric_variant(item: Numeric, seed: int, around: Surroundings, chance: Chance) -> Variant:
    """Return the item with drawn numbers, its answer, the answers of its slips and the worked steps."""
    plan = numeric_plan(item, around)
    numbers = drawn_numbers(plan, chance)
    shown = shown_values(plan.draws, numbers.machine, numbers.values)
    texts = {name: around.inline(text) for name, text in item.verdict_texts.items()}
    verdicts = [Shown(id=name, text=put_in(texts.get(name, name), shown)) for name in item.verdicts]
    question = Question(
        item=item.id,
        seed=seed,
        kind="numeric",
        ask=put_in(around.inline(item.ask), shown),
        skill=item.skill,
        critical=item.critical,
        options=tuple(verdicts),
        unit=item.answer.unit,
        decimals=item.answer.decimals,
        given=tuple(Shown(id=symbol, text=text) for symbol, text in shown.items()),
    )
    key = NumberKey(
        value=numbers.answer,
        shown=show(numbers.answer, item.answer.unit, item.answer.decimals),
        unit=item.answer.unit,
        tolerance=numbers.reach.tolerance,
        share=numbers.reach.share,
        slips=slip_values(plan, numbers),
        steps=_steps(plan, numbers),
        links=dict(numbers.links),
        verdict=numbers.verdict,
        why=dict(item.verdict_why),
        reads=READS,
    )
    sense = item.sense or (plan.links[-1].form.formula.sense if len(plan.links) == 1 else "")
    return Variant(question=question, key=key, sense=put_in(around.inline(sense), shown))


def slip_values(plan: NumericPlan, numbers: Numbers) -> tuple[SlipValue, ...]:
    """Return the slips that lead to an answer in this draw; one made inside a chain names its link."""
    chained = len(plan.links) > 1
    return tuple(
        SlipValue(
            id=slip.id, value=value, say=slip.say, link=plan.links[slip.at].let if chained and slip.at >= 0 else ""
        )
        for slip, value in zip(plan.slips, numbers.slips, strict=True)
        if not math.isnan(value)
    )


def _steps(plan: NumericPlan, numbers: Numbers) -> tuple[str, ...]:
    lines: list[Markup] = []
    named = {**numbers.values, **numbers.links}
    for at, link in enumerate(plan.links):
        if len(plan.links) > 1:
            lines.append(element("b", f"{at + 1}. {link.title}"))
        lines.extend(keyed_steps(link.form.formula, link_inputs(link, named)))
    answer = plan.item.answer
    if plan.links[-1].form.formula.gives.unit != answer.unit:
        lines.append(joined(("= ", _spaced(show(numbers.answer, answer.unit, answer.decimals + 2), answer.unit))))
    final = element("b", _spaced(show(numbers.answer, answer.unit, answer.decimals), answer.unit))
    return tuple(str(line) for line in (*lines, joined(("= ", final))))


def _spaced(text: str, unit: str) -> str:
    """Return a value whose unit never stands alone on the next line."""
    shown = show_unit(unit)
    return text.removesuffix(shown).strip() + ("\u00a0" + shown if shown else "")
