"""Reading items: an instrument drawn at a computed value, and read by the learner."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from warmyard.errors import InputError, SourceError
from warmyard.formula.quantity import plain_number, show
from warmyard.formula.register import compute_relation
from warmyard.formula.units import show_unit
from warmyard.item.chance import Chance, chance_for, start_of
from warmyard.item.draw import DrawPlan, draw_values, first_that_serves, plan_draws, put_in, shown_values
from warmyard.item.drawing_parts import scale_in
from warmyard.item.drawn_numbers import what_is_mixed_up
from warmyard.item.instrument import SWITCHED, Instrument
from warmyard.item.instrument_drawing import sketch_instrument
from warmyard.item.kind import Tried
from warmyard.item.kinds.reading.schema import Reading
from warmyard.item.standing import SWITCH
from warmyard.item.surroundings import Surroundings
from warmyard.item.tolerance import Tolerance, tolerance_of
from warmyard.item.variant_model import NumberKey, Question, SlipValue, Variant
from warmyard.words import say

MOST_TRIES = 200
READING = "reading"
"""What the instrument shows, as slips and `asked` may name it."""

Quantities = Mapping[str, tuple[float, str]]


@dataclass(frozen=True, slots=True)
class ReadingPlan:
    """A reading item made ready."""

    item: Reading
    instrument: Instrument
    draws: DrawPlan
    tolerance: Tolerance
    shows: str
    """The unit of what the instrument shows."""
    value: Callable[[Quantities], float]
    also: tuple[tuple[str, Callable[[Quantities], float]], ...]
    asked: Callable[[Quantities], float] | None
    slips: tuple[tuple[str, str, Callable[[Quantities], float]], ...]


def plan_reading(item: Reading, around: Surroundings) -> ReadingPlan:
    """Return the item made ready; raise SourceError at the first thing that does not hold."""
    instrument = around.instruments.get(item.instrument)
    if instrument is None:
        what_to_do = f"the instruments are {', '.join(around.instruments) or 'none yet'}"
        raise SourceError(item.place.within("instrument"), f"there is no instrument {item.instrument}", what_to_do)
    shows = _unit_shown(item, instrument)
    draws = plan_draws(item.draw, {}, around, item.place)
    try:
        tolerance = tolerance_of(item.answer)
    except InputError as problem:
        raise SourceError(item.place.within("answer"), str(problem).replace(";", ","), "correct it") from None
    unit = item.answer.unit
    slips = tuple((one.id, one.say, _relation(one.relation, unit)) for one in item.slips)
    also = tuple((name, _relation(text, _unit_of_line(instrument, name))) for name, text in item.lines.items())
    asked = _relation(item.asked, unit) if item.asked is not None else None
    return ReadingPlan(item, instrument, draws, tolerance, shows, _relation(item.value, shows), also, asked, slips)


def _unit_shown(item: Reading, instrument: Instrument) -> str:
    """Return the unit of what is shown; raise SourceError when the item and its instrument do not fit."""
    expected = {line.id for line in instrument.lines} - {item.line}
    if instrument.look in SWITCHED:
        expected = {SWITCH}
    if set(item.lines) != expected or (item.line != "" and item.line not in {line.id for line in instrument.lines}):
        what = f"the lines do not fit the instrument {instrument.id}"
        what_to_do = f"name the line that is asked, and give every other one: {', '.join(sorted(expected)) or 'none'}"
        raise SourceError(item.place.within("lines"), what, what_to_do)
    if item.line:
        units = [_unit_of_line(instrument, item.line)]
    else:
        units = [scale.unit for scale in (instrument.scale, instrument.second) if scale is not None]
    if item.answer.unit in units:
        return item.answer.unit
    if item.asked is None:
        place = item.place.within("answer")
        what = f"the instrument shows {' and '.join(unit for unit in units)}"
        raise SourceError(place, what, "ask the answer in a unit that it shows, or say what is asked")
    return units[0]


def _unit_of_line(instrument: Instrument, name: str) -> str:
    return next((line.unit for line in instrument.lines if line.id == name), instrument.scale.unit)


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
    found, machine, values = _drawn_stand(plan, chance)
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
        drawing=str(sketch_instrument(plan.instrument, found.shows, plan.shows, found.also)),
    )
    key = _key(plan, found, around.inline(plan.instrument.how))
    return Variant(question=question, key=key, sense=put_in(around.inline(item.sense), shown))


def try_reading(item: Reading, seed: int, around: Surroundings) -> Tried:
    """Return the slips of a seed's draw, and what of it is mixed up; the instrument is not sketched for it."""
    plan = reading_plan(item, around)
    stand, _, _ = _drawn_stand(plan, chance_for(start_of(item.id), seed))
    slips = _slip_values(plan, stand)
    mixed_up = what_is_mixed_up(item.answer, stand.answer, plan.tolerance.of(stand.answer), slips)
    return Tried(tuple(slip.id for slip in slips), mixed_up)


def _drawn_stand(plan: ReadingPlan, chance: Chance) -> tuple[Stand, str, dict[str, float]]:
    """Return the first draw that serves, its machine's name, and the value of each symbol."""

    def attempt() -> tuple[Stand, str, dict[str, float]] | str:
        machine, values = draw_values(plan.draws, chance)
        found = _attempt(plan, values)
        return found if isinstance(found, str) else (found, machine, values)

    return first_that_serves(attempt, MOST_TRIES)


@dataclass(frozen=True, slots=True)
class Stand:
    """One draw: what the instrument shows, what else stands on it, the answer, and what each slip gives."""

    shows: float
    also: dict[str, float]
    answer: float
    slips: tuple[float, ...]
    """NaN: the slip gives nothing here."""


def _attempt(plan: ReadingPlan, values: Mapping[str, float]) -> Stand | str:
    """Return how the instrument stands with these numbers, or why they do not serve."""
    quantities = {drawn.symbol: (values[drawn.symbol], drawn.unit) for drawn in plan.draws.symbols}
    try:
        value = plan.value(quantities)
        also = {name: find(quantities) for name, find in plan.also}
        quantities[READING] = (value, plan.shows)
        answer = plan.asked(quantities) if plan.asked else value
    except InputError as problem:
        return f"the value has no answer ({problem})"
    if plan.item.line:
        also[plan.item.line] = value
    if not _fits(plan, value, also):
        return "the value is off the scale"
    slips = tuple(_slip(find, quantities) for _, _, find in plan.slips)
    if not plan.tolerance.of(answer).parts(one for one in slips if not math.isnan(one)):
        return "a slip lies too near the answer or another slip"
    return Stand(value, also, answer, slips)


def _fits(plan: ReadingPlan, value: float, also: Mapping[str, float]) -> bool:
    """Say whether everything that is shown lies on its scale, and the switch at one of its positions."""
    instrument = plan.instrument
    if instrument.lines:
        return all(line.low <= also[line.id] <= line.high for line in instrument.lines)
    if instrument.look in SWITCHED and also[SWITCH] not in instrument.positions:
        return False
    if instrument.look == "clamp-meter":
        return 0 <= value < also[SWITCH]
    scale = scale_in(instrument, plan.shows)
    return scale.low <= value <= scale.high


def _slip(find: Callable[[Quantities], float], quantities: Quantities) -> float:
    try:
        return find(quantities)
    except InputError:
        return math.nan


def _key(plan: ReadingPlan, stand: Stand, how: str) -> NumberKey:
    answer = plan.item.answer
    shown = show(stand.answer, answer.unit, answer.decimals)
    return NumberKey(
        value=stand.answer,
        shown=shown,
        unit=answer.unit,
        tolerance=plan.tolerance.of(stand.answer).tolerance,
        share=plan.tolerance.of(stand.answer).share,
        slips=_slip_values(plan, stand),
        steps=(_told(plan, shown, how),),
    )


def _slip_values(plan: ReadingPlan, stand: Stand) -> tuple[SlipValue, ...]:
    return tuple(
        SlipValue(id=id, value=given, say=words)
        for (id, words, _), given in zip(plan.slips, stand.slips, strict=True)
        if not math.isnan(given)
    )


def _told(plan: ReadingPlan, shown: str, how: str) -> str:
    """Return how the instrument is read, told after the answer."""
    if how:
        return say({}, "reading.told", how=how, shown=shown)
    scale = scale_in(plan.instrument, plan.shows)
    unit = show_unit(scale.unit)
    division = f"{plain_number(scale.division)} {unit}".strip()
    return say({}, "reading.steps", figures=f"{plain_number(scale.figures)} {unit}", division=division, shown=shown)
