"""Whether items are sound: drawn many times, their own answers marked right, their slips apart and named."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from warmyard.errors import InputError, SourceError
from warmyard.formula.quantity import read_quantity
from warmyard.item.chance import chance_for, start_of
from warmyard.item.draw import holders
from warmyard.item.kinds import Choice, FaultCase, Item, Numeric, Ordering, PicturePoint, Reading
from warmyard.item.marking import mark
from warmyard.item.numeric import Numbers, NumericPlan
from warmyard.item.point import words_in_drawing
from warmyard.item.problem import drawn_numbers, numeric_plan, slip_values
from warmyard.item.surroundings import Surroundings
from warmyard.item.tolerance import RIGHT
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import CaseKey, ChoiceKey, Mark, NumberKey, OrderKey, PointKey, Variant

SEEDS = 50
SEEDS_WRITTEN_OUT = 4
"""Draws of a numeric item that are made with all their text; the others only with their numbers."""
LONGEST_IS_RIGHT = 1.6
"""A right option this many times as long as the longest wrong one gives itself away."""
FEWEST_OPTIONS, FEWEST_SLIPS = 3, 2


def check_items(items: Iterable[Item], around: Surroundings, others: Iterable[str] = ()) -> list[SourceError]:
    """Return every fault of the items, each with file and line; enemies must be among the items or the others."""
    every = list(items)
    faults: list[SourceError] = []
    known = {item.id for item in every}.union(others)
    for item in every:
        found = list(_check_common(item, known))
        found.extend(_check_kind(item, around))
        faults.extend(found)
        if not found or isinstance(item, Numeric | Reading):
            faults.extend(check_draws(item, around))
    return faults


def own_answer(variant: Variant) -> dict[str, Any]:
    """Return the response that a variant's own key calls right."""
    match variant.key:
        case ChoiceKey(right=right):
            return {"chosen": list(right)}
        case NumberKey(value=value, unit=unit, verdict=verdict, tolerance=tolerance):
            # A person writes the rounded number; where a whole number must be met, it is one already.
            text = f"{value:.{variant.question.decimals}f}" if tolerance else f"{value:.12g}"
            return {"text": f"{text} {unit}".removesuffix(" 1"), **({"verdict": verdict} if verdict else {})}
        case OrderKey(reference=reference):
            return {"order": list(reference)}
        case PointKey(right=right):
            return {"point": right[0]}
        case CaseKey(best=best, cause=cause, behind=behind, fit=fit):
            return {"path": list(best), "cause": cause, "behind": behind, "fit": fit}


def check_draws(item: Item, around: Surroundings, seeds: int = SEEDS) -> list[SourceError]:
    """Return the first fault that drawing the item with many seeds shows, or an empty list."""
    slips: set[str] = set()
    for seed in range(1 if isinstance(item, FaultCase) else seeds):
        try:
            if isinstance(item, Numeric) and seed >= SEEDS_WRITTEN_OUT:
                plan = numeric_plan(item, around)
                numbers = drawn_numbers(plan, chance_for(start_of(item.id), seed))
                slips.update(slip.id for slip in slip_values(plan, numbers))
                if what := what_is_mixed_up(plan, numbers):
                    return [_fault(item, "slips", f"seed {seed}: {what}", "part the slips or correct the tolerance")]
                continue
            variant = make_variant(item, seed, around)
        except SourceError as fault:
            return [fault]
        except InputError as problem:
            what_to_do = "widen the draw, change keep, or part the slips"
            return [_fault(item, "draw", f"seed {seed}: {problem}", what_to_do)]
        found = mark(variant, own_answer(variant))
        if not found.right or found.share != 1.0:
            what = f"seed {seed}: its own answer is marked wrong ({found.reason})"
            return [_fault(item, "answer", what, "correct the answer, its decimals or its tolerance")]
        mixed_up = _check_slips(item, variant, seed)
        if mixed_up:
            return [mixed_up]
        if isinstance(variant.key, NumberKey):
            slips.update(slip.id for slip in variant.key.slips)
    return _check_seen(item, slips)


def what_is_mixed_up(plan: NumericPlan, numbers: Numbers) -> str:
    """Return which of a draw's own numbers is not marked as what it is, or nothing; no text is made for it."""
    answer = plan.item.answer
    slips = slip_values(plan, numbers)
    values = [slip.value for slip in slips]
    text = f"{numbers.answer:.{answer.decimals}f}" if numbers.reach.tolerance else f"{numbers.answer:.12g}"
    if numbers.reach.what_is_met(read_quantity(text, answer.unit), values) != RIGHT:
        return f"its own answer {text} is marked wrong"
    for at, slip in enumerate(slips):
        if numbers.reach.what_is_met(slip.value, values) != at:
            return f"the slip {slip.id} gives {slip.value:.6g}, which is marked as something else"
    return ""


def _check_slips(item: Item, variant: Variant, seed: int) -> SourceError | None:
    """Return a fault when a slip's own answer, written as a person would, is not marked as that slip."""
    key = variant.key
    if not isinstance(key, NumberKey):
        return None
    for slip in key.slips:
        response = {**own_answer(variant), "text": f"{slip.value!r} {key.unit}".removesuffix(" 1")}
        found: Mark = mark(variant, response)
        if found.right or found.slip != slip.id:
            what = f"seed {seed}: the slip {slip.id} gives {slip.value:.6g}, which is marked as {found.slip or 'none'}"
            return _fault(item, "slips", what, "part the slips or narrow the tolerance")
    return None


def _check_seen(item: Item, seen: set[str]) -> list[SourceError]:
    if not isinstance(item, Numeric | Reading):
        return []
    lost = [slip.id for slip in item.slips if slip.id not in seen]
    faults = [
        _fault(item, "slips", f"the slip {id} leads to no answer in {SEEDS} draws", "correct its relation")
        for id in lost
    ]
    if isinstance(item, Numeric) and len(seen) < FEWEST_SLIPS and not lost:
        what = f"{len(seen)} slips, here and in the formula together"
        faults.append(_fault(item, "slips", what, f"name at least {FEWEST_SLIPS} wrong ways that people take"))
    return faults


def _fault(item: Item, path: str, what: object, what_to_do: str) -> SourceError:
    return SourceError(item.place.within(path), f"{item.id}: {what}".replace(";", ","), what_to_do)


def _check_common(item: Item, known: set[str]) -> Iterator[SourceError]:
    for at, enemy in enumerate(item.enemies):
        if enemy not in known:
            yield _fault(item, f"enemies.{at}", f"the enemy {enemy} is no item", "correct the id or take it out")
    if not item.ask.strip():
        yield _fault(item, "ask", "it asks nothing", "write the question")
    if item.minutes <= 0:
        yield _fault(item, "minutes", "it takes no time", "write the minutes it takes")


def _check_kind(item: Item, around: Surroundings) -> Iterator[SourceError]:
    match item:
        case Choice():
            yield from _check_choice(item)
        case Numeric() | Reading():
            yield from _check_numbers(item)
        case Ordering():
            yield from _check_ordering(item, around)
        case FaultCase():
            yield from _check_case(item, around)
        case PicturePoint():
            yield from _check_point(item, around)


def _check_choice(item: Choice) -> Iterator[SourceError]:
    ids = [option.id for option in item.options]
    right = [option for option in item.options if option.right]
    wrong = [option for option in item.options if not option.right]
    if len(ids) < FEWEST_OPTIONS or len(set(ids)) < len(ids):
        yield _fault(item, "options", f"{len(set(ids))} options of their own", f"write {FEWEST_OPTIONS} or more")
    if not right or (len(right) > 1 and not item.several):
        what_to_do = "mark one option right: true, or set several: true"
        yield _fault(item, "options", f"{len(right)} options are right", what_to_do)
    if not wrong:
        yield _fault(item, "options", "no option is wrong", "write a mistake that people make")
    for at, option in enumerate(item.options):
        if not option.why.strip():
            yield _fault(item, f"options.{at}", f"the option {option.id} has no why", "say why it is right or wrong")
    if right and wrong and not item.several:
        longest = max(len(option.text) for option in wrong)
        if len(right[0].text) > LONGEST_IS_RIGHT * longest and len(right[0].text) > longest + 20:
            at = item.options.index(right[0])
            what_to_do = "shorten it, or write wrong ones of similar length"
            yield _fault(item, f"options.{at}", "the right option gives itself away by its length", what_to_do)


def _check_numbers(item: Numeric | Reading) -> Iterator[SourceError]:
    texts = [("ask", item.ask), ("sense", item.sense)]
    if isinstance(item, Numeric):
        texts += [(f"verdict_texts.{name}", text) for name, text in item.verdict_texts.items()]
        yield from _check_verdicts(item)
    for path, text in texts:
        for name in holders(text):
            if name not in item.draw and name != "machine":
                yield _fault(item, path, f"{{{name}}} is not drawn", f"draw it, or write one of {', '.join(item.draw)}")
    if item.answer.within.strip().endswith("%") and item.answer.unit in ("degC", "degF", "dB"):
        what_to_do = f'write it in the unit, within: "0.5" for 0.5 {item.answer.unit}'
        yield _fault(item, "answer", f"a share of {item.answer.unit} means nothing", what_to_do)
    for at, slip in enumerate(item.slips):
        if not slip.say.strip():
            yield _fault(item, f"slips.{at}", f"the slip {slip.id} says nothing", "name the mistake in words")


def _check_verdicts(item: Numeric) -> Iterator[SourceError]:
    for field in ("verdict_texts", "verdict_why"):
        for name in getattr(item, field):
            if name not in item.verdicts:
                what_to_do = f"the verdicts are {', '.join(item.verdicts) or 'none'}"
                yield _fault(item, f"{field}.{name}", f"there is no verdict {name}", what_to_do)
    for name in item.verdicts:
        if name not in item.verdict_texts:
            yield _fault(item, f"verdicts.{name}", f"the verdict {name} has no text", "add it to verdict_texts")
    if len(item.verdicts) == 1:
        yield _fault(item, "verdicts", "one verdict leaves nothing to choose", "write two or more")


def _named(item: Item, path: str, name: str, known: Mapping[str, Any], what: str) -> Iterator[SourceError]:
    if name not in known:
        near = ", ".join(sorted(known)[:8]) or "none yet"
        yield _fault(item, path, f"there is no {what} {name}", f"there are {near}")


def _check_ordering(item: Ordering, around: Surroundings) -> Iterator[SourceError]:
    yield from _named(item, "procedure", item.procedure, around.orders, "procedure")
    facts = around.orders.get(item.procedure)
    if facts is None:
        return
    for at, step in enumerate(item.steps):
        yield from _named(item, f"steps.{at}", step, facts.steps, "step")
    if len(set(item.steps)) < len(item.steps) or 0 < len(item.steps) < FEWEST_OPTIONS:
        yield _fault(item, "steps", "too few steps, or one twice", f"name {FEWEST_OPTIONS} or more, each once")


def _check_point(item: PicturePoint, around: Surroundings) -> Iterator[SourceError]:
    yield from _named(item, "picture", item.picture, around.pictures, "picture")
    facts = around.pictures.get(item.picture)
    if facts is None:
        return
    offered = item.points or tuple(facts.points)
    for path, names in (("right", item.right), ("points", item.points), ("why", tuple(item.why))):
        for name in names:
            yield from _named(item, path, name, facts.points, f"point in {item.picture}:")
    if not item.right or not set(item.right) <= set(offered) or len(set(offered) - set(item.right)) < 2:
        what_to_do = "name a right point among those offered, and leave two or more wrong ones"
        yield _fault(item, "right", "right and offered points do not fit", what_to_do)
    written = words_in_drawing(facts.svg).lower()
    for name in item.right:
        text = facts.points.get(name, "")
        if text and re.search(rf"\b{re.escape(text.lower())}\b", written):
            what_to_do = f'give that text in {item.picture}.svg class="wy-label"'
            yield _fault(item, "right", f"the drawing writes {text} beside the part that is asked", what_to_do)


def _check_case(item: FaultCase, around: Surroundings) -> Iterator[SourceError]:
    machine = around.machine
    if machine is None:
        yield _fault(item, "mode", "there is no machine model", "write course/machine/")
        return
    lookups: list[tuple[str, str, Mapping[str, Any], str]] = [
        ("symptom", item.symptom, machine.symptoms, "symptom"),
        ("mode", item.mode, machine.modes, "failure mode"),
        ("starts_at", item.starts_at, machine.preconditions, "precondition"),
        *((f"contexts.{at}", name, machine.contexts, "context") for at, name in enumerate(item.contexts)),
        *((f"forbidden.{name}", name, machine.checks, "check") for name in item.forbidden),
    ]
    if item.behind is not None:
        lookups.append(("behind", item.behind, machine.modes, "failure mode"))
    faults = [fault for path, name, known, what in lookups for fault in _named(item, path, name, known, what)]
    yield from faults
    if faults:
        return
    if machine.symptoms[item.symptom].emergency:
        what = f"{item.symptom} is an emergency, never a puzzle"
        yield _fault(item, "symptom", what, "ask the emergency procedure as an ordering item")
