"""Reading items: an instrument drawn at a computed value, and read by the learner."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from warmyard.errors import InputError, SourceError
from warmyard.formula.register import compute_relation
from warmyard.formula.units import plain_number, show, show_unit
from warmyard.item.chance import Chance
from warmyard.item.draw import DrawPlan, DrawRefused, draw_values, plan_draws, put_in, shown_values
from warmyard.item.instrument import Instrument
from warmyard.item.instrument_drawing import draw_instrument
from warmyard.item.kinds import Reading
from warmyard.item.surroundings import Surroundings
from warmyard.item.tolerance import Tolerance, tolerance_of
from warmyard.item.variant_model import NumberKey, Question, SlipValue, Variant
from warmyard.item.words import say

MOST_TRIES = 200
READING = "reading"
"""The instrument's true reading, as slips may name it."""

Quantities = Mapping[str, tuple[float, str]]


@dataclass(frozen=True, slots=True)
class ReadingPlan:
    """A reading item made ready."""

    item: Reading
    instrument: Instrument
    draws: DrawPlan
    tolerance: Tolerance
    value: Callable[[Quantities], float]
    slips: tuple[tuple[str, str, Callable[[Quantities], float]], ...]


def plan_reading(item: Reading, around: Surroundings) -> ReadingPlan:
    """Return the item made ready; raise SourceError at the first thing that does not hold."""
    instrument = around.instruments.get(item.instrument)
    if instrument is None:
        what_to_do = f"the instruments are {', '.join(around.instruments) or 'none yet'}"
        raise SourceError(item.place.within("instrument"), f"there is no instrument {item.instrument}", what_to_do)
    scales = [scale for scale in (instrument.scale, instrument.second) if scale is not None]
    if item.answer.unit not in [scale.unit for scale in scales]:
        units = " and ".join(scale.unit for scale in scales)
        place = item.place.within("answer")
        raise SourceError(place, f"the instrument shows {units}", "ask the answer in a unit that it shows")
    draws = plan_draws(item.draw, {}, around, item.place)
    try:
        tolerance = tolerance_of(item.answer)
    except InputError as problem:
        raise SourceError(item.place.within("answer"), str(problem).replace(";", ","), "correct it") from None
    unit = item.answer.unit
    slips = tuple((one.id, one.say, _relation(one.relation, unit)) for one in item.slips)
    return ReadingPlan(item, instrument, draws, tolerance, _relation(item.value, unit), slips)


def _relation(text: str, unit: str) -> Callable[[Quantities], float]:
    return lambda quantities: compute_relation(text, quantities, unit)


def reading_plan(item: Reading, around: Surroundings) -> ReadingPlan:
    """Return the item made ready, from the surroundings' store when it was made ready before."""
    known = around.prepared.get(item.id)
    if not isinstance(known, ReadingPlan) or known.item is not item:
        known = around.prepared[item.id] = plan_reading(item, around)
    return known


def reading_variant(item: Reading, seed: int, around: Surroundings, chance: Chance) -> Variant:
    """Return the item with its instrument drawn at a value on the scale and its slips apart."""
    plan = reading_plan(item, around)
    reasons: list[str] = []
    for _ in range(MOST_TRIES):
        machine, values = draw_values(plan.draws, chance)
        found = _attempt(plan, values)
        if isinstance(found, str):
            reasons.append(found)
            continue
        value, slips = found
        shown = shown_values(plan.draws, machine, values)
        question = Question(
            item=item.id,
            seed=seed,
            kind="reading",
            ask=put_in(around.inline(item.ask), shown),
            skill=item.skill,
            critical=item.critical,
            unit=item.answer.unit,
            decimals=item.answer.decimals,
            drawing=draw_instrument(plan.instrument, value, item.answer.unit),
        )
        return Variant(question=question, key=_key(plan, value, slips), sense=around.inline(item.sense))
    most = max(set(reasons), key=reasons.count)
    raise DrawRefused(f"{MOST_TRIES} draws and none serves; in {reasons.count(most)} of them {most}")


def _attempt(plan: ReadingPlan, values: Mapping[str, float]) -> tuple[float, tuple[float, ...]] | str:
    """Return the reading and what each slip gives (NaN: nothing), or why the numbers do not serve."""
    unit = plan.item.answer.unit
    quantities = {drawn.symbol: (values[drawn.symbol], drawn.unit) for drawn in plan.draws.symbols}
    try:
        value = plan.value(quantities)
    except InputError as problem:
        return f"the value has no answer ({problem})"
    scale = next(one for one in (plan.instrument.scale, plan.instrument.second) if one is not None and one.unit == unit)
    if not scale.low <= value <= scale.high:
        return "the value is off the scale"
    slips = tuple(_slip(find, {**quantities, READING: (value, unit)}) for _, _, find in plan.slips)
    if not plan.tolerance.of(value).parts(one for one in slips if not math.isnan(one)):
        return "a slip lies too near the answer or another slip"
    return value, slips


def _slip(find: Callable[[Quantities], float], quantities: Quantities) -> float:
    try:
        return find(quantities)
    except InputError:
        return math.nan


def _key(plan: ReadingPlan, value: float, slips: tuple[float, ...]) -> NumberKey:
    answer = plan.item.answer
    scale = plan.instrument.scale
    if plan.instrument.second is not None and plan.instrument.second.unit == answer.unit:
        scale = plan.instrument.second
    shown = show(value, answer.unit, answer.decimals)
    unit = show_unit(answer.unit)
    division = f"{plain_number(scale.division)} {unit}".strip()
    step = say({}, "reading.steps", figures=f"{plain_number(scale.figures)} {unit}", division=division, shown=shown)
    return NumberKey(
        value=value,
        shown=shown,
        unit=answer.unit,
        tolerance=plan.tolerance.of(value).tolerance,
        share=plan.tolerance.of(value).share,
        slips=tuple(
            SlipValue(id=id, value=given, say=words)
            for (id, words, _), given in zip(plan.slips, slips, strict=True)
            if not math.isnan(given)
        ),
        steps=(step,),
    )
