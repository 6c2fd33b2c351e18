"""Whether a numeric item is sound: its names, its slips and verdicts, and many draws of numbers without text."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

from warmyard.errors import SourceError
from warmyard.item.chance import chance_for, start_of
from warmyard.item.draw import half_holders, holders
from warmyard.item.drawn_numbers import check_drawn, lost_slips, what_is_mixed_up
from warmyard.item.faults import fault_of
from warmyard.item.kind import Tried
from warmyard.item.kinds.numeric.draw import drawn_numbers, numeric_plan, slip_values
from warmyard.item.kinds.numeric.schema import Link, Numeric
from warmyard.item.surroundings import Surroundings

FEWEST_SLIPS = 2
COMMON_PERCENT = 80
"""A verdict that is right in more draws than this is no choice."""
_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


def check_numeric(item: Numeric, around: Surroundings) -> Iterator[SourceError]:
    """Yield names that are not drawn, verdicts without a text, and slips that say nothing."""
    texts = [(f"verdict_texts.{name}", text) for name, text in item.verdict_texts.items()]
    yield from _check_verdicts(item)
    yield from check_drawn(item, item.draw, item.answer, item.slips, texts)
    yield from _check_shown(item, around)


def _check_shown(item: Numeric, around: Surroundings) -> Iterator[SourceError]:
    """Yield each number that changes from draw to draw and that no reader is told: it was typed, or left out.

    What stands in `keep` alone only chooses among the draws, and nobody needs it for the answer.
    """
    named, needed = holders(item.ask), _needed(item, around)
    if half_holders(item.ask) or any(name not in item.draw and name != "machine" for name in named):
        return  # what was misspelt there is told, and may be the one that is missing
    for symbol, draw in item.draw.items():
        changes = draw.low is not None or len(set(draw.among)) > 1 or (draw.sheet and "machine" not in named)
        if changes and symbol in needed and symbol not in named:
            what = f"{symbol} is drawn anew each time, and the question never shows it"
            yield fault_of(
                item, "ask", what, f"write {{{symbol}}} where its number stands, or draw one value: among: [..]"
            )


def _needed(item: Numeric, around: Surroundings) -> set[str]:
    """Return the symbols that the answer or its verdict takes."""
    links = item.chain or (Link(let="", formula=item.formula or ""),)
    taken: set[str] = set()
    for link in links:
        formula = around.register.formulas.get(link.formula)
        taken.update(link.takes.get(need.symbol, need.symbol) for need in (formula.needs if formula else ()))
    return taken | {name for condition in item.verdicts.values() for name in _NAME.findall(condition)}


def _check_verdicts(item: Numeric) -> Iterator[SourceError]:
    for field in ("verdict_texts", "verdict_why"):
        for name in getattr(item, field):
            if name not in item.verdicts:
                what_to_do = f"the verdicts are {', '.join(item.verdicts) or 'none'}"
                yield fault_of(item, f"{field}.{name}", f"there is no verdict {name}", what_to_do)
    for name in item.verdicts:
        if name not in item.verdict_texts:
            yield fault_of(item, f"verdicts.{name}", f"the verdict {name} has no text", "add it to verdict_texts")
    if len(item.verdicts) == 1:
        yield fault_of(item, "verdicts", "one verdict leaves nothing to choose", "write two or more")


def try_numbers(item: Numeric, seed: int, around: Surroundings) -> Tried:
    """Return what a seed's draw shows; no text is made for it."""
    plan = numeric_plan(item, around)
    numbers = drawn_numbers(plan, chance_for(start_of(item.id), seed))
    slips = slip_values(plan, numbers)
    mixed_up = what_is_mixed_up(item.answer, numbers.answer, numbers.reach, slips)
    named = {slip.id for slip in plan.slips if not slip.derived}
    return Tried(tuple(slip.id for slip in slips if slip.id in named), mixed_up, numbers.verdict)


def check_seen(item: Numeric, seen: set[str], verdicts: Counter[str]) -> list[SourceError]:
    """Return what all draws together show: slips that lead nowhere, too few of them, verdicts without variety."""
    return [*_check_slips(item, seen), *_check_variety(item, verdicts)]


def _check_variety(item: Numeric, verdicts: Counter[str]) -> Iterator[SourceError]:
    """Yield verdicts that are never right, and one that nearly always is: naming it blindly is half a mark for free."""
    draws = verdicts.total()
    never = [name for name in item.verdicts if not verdicts[name]]
    for name in never:
        what = f"the verdict {name} is right in none of {draws} draws"
        yield fault_of(item, f"verdicts.{name}", what, "draw numbers that make it right, or take it out")
    for name, times in verdicts.most_common(1):
        if item.verdicts and not never and 100 * times > COMMON_PERCENT * draws:
            what = f"the verdict {name} is right in {times} of {draws} draws"
            what_to_do = f"draw numbers that make the others right in {100 - COMMON_PERCENT} % of them"
            yield fault_of(item, f"verdicts.{name}", what, what_to_do)


def _check_slips(item: Numeric, seen: set[str]) -> list[SourceError]:
    lost = lost_slips(item, item.slips, seen)
    if len(seen) >= FEWEST_SLIPS or lost:
        return lost
    what = f"{len(seen)} slips, here and in the formula together"
    return [fault_of(item, "slips", what, f"name at least {FEWEST_SLIPS} wrong ways that people take")]
