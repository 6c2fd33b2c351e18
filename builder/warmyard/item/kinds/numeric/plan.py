"""Numeric items made ready once: the chain of formulas, its slips, its verdicts, and the cheap draw of numbers."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from warmyard.errors import InputError, SourceError
from warmyard.formula.compute import Ready, ready, result_of, take
from warmyard.formula.expression import (
    Condition,
    parse_condition,
    parse_relation,
    parts_joined_by_and,
    truth_of,
    value_of,
)
from warmyard.formula.proof import prove_condition, prove_relation
from warmyard.formula.units import unit_of
from warmyard.item.chance import Chance
from warmyard.item.draw import DrawPlan, draw_values, plan_draws
from warmyard.item.kinds.numeric.left_out import ID, left_out
from warmyard.item.kinds.numeric.schema import Link, Numeric
from warmyard.item.surroundings import Surroundings
from warmyard.item.tied import Tie, tie
from warmyard.item.tolerance import WHOLE_REACH, Reach, Tolerance, tolerance_of

ANSWER = "answer"
"""The answer's name in conditions."""
Holds = Callable[[Mapping[str, float]], bool]


@dataclass(frozen=True, slots=True)
class Turn:
    """How a value goes from one unit to another: value * factor + zero."""

    factor: float
    zero: float


@dataclass(frozen=True, slots=True)
class LinkPlan:
    """One step of the chain: its formula, and for each formula symbol the name it comes from and the way there."""

    let: str
    form: Ready
    takes: tuple[tuple[str, str, Turn], ...]
    title: str
    decimals: int | None


@dataclass(frozen=True, slots=True)
class SlipPlan:
    """A slip: the step at which it is made (or -1: at the answer), and how its wrong value is found."""

    id: str
    say: str
    at: int
    find: Callable[[Mapping[str, float], Mapping[str, float]], float]
    """(values by name in their own units, the link's inputs in SI) -> wrong value of the link, or the answer."""
    derived: bool = False
    """True for a factor left out, which nobody typed: it gives way to whatever lies near it."""


@dataclass(frozen=True, slots=True)
class Numbers:
    """One draw: the symbols, every link's value, the answer, what each slip gives (NaN: nothing), the verdict."""

    machine: str
    values: dict[str, float]
    links: dict[str, float]
    answer: float
    reach: Reach
    slips: tuple[float, ...]
    verdict: str


@dataclass(frozen=True, slots=True)
class NumericPlan:
    """A numeric item made ready."""

    item: Numeric
    draws: DrawPlan
    links: tuple[LinkPlan, ...]
    to_answer: Turn
    slips: tuple[SlipPlan, ...]
    tolerance: Tolerance
    keeps: tuple[tuple[Holds, ...], ...]
    """The parts of `keep`, each as early as it can be asked: before the first link, after each one, of the answer."""
    verdicts: tuple[tuple[str, Holds], ...]


def turn(from_unit: str, to_unit: str) -> Turn:
    """Return how a value goes from one unit to another; raise InputError when they measure different things."""
    here, there = unit_of(from_unit), unit_of(to_unit)
    if here.dimension != there.dimension or here.point != there.point:
        raise InputError(f"{from_unit} cannot be turned into {to_unit}: {here.quantity} is not {there.quantity}")
    factor = here.factor / there.factor
    return Turn(factor, there.zero - here.zero * factor)


def plan_numeric(item: Numeric, around: Surroundings) -> NumericPlan:
    """Return the item made ready; raise SourceError at the first thing that does not hold."""
    chain = item.chain or ((Link(let=ANSWER, formula=item.formula),) if item.formula else ())
    if not chain or (item.chain and item.formula):
        raise SourceError(item.place, f"{item.id} needs a formula or a chain", "give one of the two")
    draws = plan_draws(item.draw, _wanted_units(chain, around), around, item.place)
    return _Planner(item, around, draws).plan(chain)


def _wanted_units(chain: tuple[Link, ...], around: Surroundings) -> dict[str, str]:
    """Return the unit in which the chain's formulas take each name, the first formula that takes it deciding."""
    wanted: dict[str, str] = {}
    for link in chain:
        formula = around.register.formulas.get(link.formula)
        for symbol in formula.needs if formula else ():
            wanted.setdefault(link.takes.get(symbol.symbol, symbol.symbol), symbol.unit)
    return wanted


class _Planner:
    """Makes one item ready, with the place of every part at hand."""

    def __init__(self, item: Numeric, around: Surroundings, draws: DrawPlan) -> None:
        self.item, self.around, self.draws = item, around, draws
        self.units = draws.units()
        self.lets: dict[str, int] = {}

    def fault(self, path: str, what: object, what_to_do: str) -> SourceError:
        return SourceError(self.item.place.within(path), f"{self.item.id}: {what}".replace(";", ","), what_to_do)

    def plan(self, chain: tuple[Link, ...]) -> NumericPlan:
        links = []
        for at, link in enumerate(chain):
            path = f"chain.{at}" if self.item.chain else "formula"
            links.append(self.link(link, path))
            self.lets[link.let] = at
            self.units[link.let] = links[-1].form.formula.gives.unit
        last = links[-1].form.formula.gives.unit
        try:
            to_answer = turn(last, self.item.answer.unit)
            tolerance = tolerance_of(self.item.answer)
        except InputError as problem:
            raise self.fault("answer", problem, f"give the answer in {last} or a unit like it") from None
        slips = tuple(self.slips(links, to_answer))
        draws, keeps = self.keeps()
        verdicts = tuple((name, self.condition(when, f"verdicts.{name}")) for name, when in self.item.verdicts.items())
        return NumericPlan(
            self.item,
            draws,
            tuple(links),
            to_answer,
            slips,
            tolerance,
            keeps,
            verdicts,
        )

    def link(self, link: Link, path: str) -> LinkPlan:
        formula = self.around.register.formulas.get(link.formula)
        if formula is None:
            raise self.fault(path, f"there is no formula {link.formula}", "name a formula of course/formulas")
        symbols = {symbol.symbol: symbol for symbol in formula.needs}
        for name in link.takes:
            if name not in symbols:
                raise self.fault(path, f"{formula.id} has no symbol {name}", f"its symbols are {', '.join(symbols)}")
        takes = []
        for name, symbol in symbols.items():
            origin = link.takes.get(name, name)
            if origin in self.units:
                try:
                    takes.append((name, origin, turn(self.units[origin], symbol.unit)))
                except InputError as problem:
                    raise self.fault(path, f"{origin} for {name}: {problem}", "give it another unit") from None
            elif name in link.takes or symbol.default is None:
                raise self.fault(path, f"{formula.id} needs {name}, nothing gives it", f"draw {origin}, or name a link")
        return LinkPlan(link.let, ready(formula), tuple(takes), link.shown_as or formula.title, link.decimals)

    def slips(self, links: list[LinkPlan], to_answer: Turn) -> list[SlipPlan]:
        plans = []
        for at, link in enumerate(links):
            for slip in link.form.formula.slips:
                id = f"{link.let}.{slip.id}" if len(links) > 1 else slip.id
                plans.append(SlipPlan(id, slip.say, at, _register_slip(link.form, slip.relation)))
        for number, own in enumerate(self.item.slips):
            path = f"slips.{number}"
            if own.link is not None and own.link not in self.lets:
                raise self.fault(path, f"there is no link {own.link}", f"the links are {', '.join(self.lets)}")
            at = self.lets[own.link] if own.link is not None else -1
            form = links[at].form
            gives = form.formula.gives.unit if own.link is not None else self.item.answer.unit
            plans.append(SlipPlan(own.id, own.say, at, self.relation(own.relation, gives, path, form)))
        plans += [plan for at, link in enumerate(links) for plan in self.left_out(link, at, len(links) > 1)]
        taken = [plan.id for plan in plans]
        for id in taken:
            if taken.count(id) > 1:
                raise self.fault("slips", f"the slip {id} stands twice, here or in the formula", "give it another id")
        return plans

    def left_out(self, link: LinkPlan, at: int, chained: bool) -> Iterator[SlipPlan]:
        given = {symbol: self.units[origin] for symbol, origin, _ in link.takes}
        for one in left_out(link.form, given):
            id = f"{ID}{one.symbol}"
            yield SlipPlan(f"{link.let}.{id}" if chained else id, one.say, at, one.find, derived=True)

    def relation(
        self, text: str, gives: str, path: str, form: Ready
    ) -> Callable[[Mapping[str, float], Mapping[str, float]], float]:
        """Return the way to a slip's value; the link's own defaults may be named as well."""
        units = dict(self.units)
        defaults = {}
        for need in form.needs:
            if need.symbol.symbol not in units and need.symbol.default is not None:
                units[need.symbol.symbol] = need.symbol.unit
                defaults[need.symbol.symbol] = (need.symbol.default - need.zero) * need.factor
        try:
            prove_relation(text, units, gives)
            relation, unit = parse_relation(text), unit_of(gives)
        except InputError as problem:
            raise self.fault(path, problem, "write it in the drawn symbols, with units that agree") from None
        to_si = self.to_si(relation.names)

        def find(values: Mapping[str, float], inputs: Mapping[str, float]) -> float:
            return value_of(relation, {**defaults, **to_si(values)}) / unit.factor + unit.zero

        return find

    def condition(self, text: str, path: str) -> Holds:
        return self.holds(self.proved(text, path))

    def proved(self, text: str, path: str) -> Condition:
        try:
            prove_condition(text, {**self.units, ANSWER: self.item.answer.unit})
            return parse_condition(text)
        except InputError as problem:
            raise self.fault(path, problem, "write it in the drawn symbols and `answer`") from None

    def holds(self, condition: Condition) -> Holds:
        to_si = self.to_si(condition.names, {**self.units, ANSWER: self.item.answer.unit})
        return lambda values: truth_of(condition, to_si(values))

    def keeps(self) -> tuple[DrawPlan, tuple[tuple[Holds, ...], ...]]:
        """Return the draws with what `keep` ties drawn together, and what is left of it to ask at each stage."""
        whole = self.proved(self.item.keep, "keep") if self.item.keep else None
        stages: list[list[Tie]] = [[] for _ in range(len(self.lets) + 2)]
        for part in parts_joined_by_and(whole) if whole else ():
            stages[self.stage(part)].append(Tie(frozenset(part.names), self.holds(part)))
        draws, stages[0] = tie(self.draws, stages[0])
        return draws, tuple(tuple(one.holds for one in stage) for stage in stages)

    def stage(self, condition: Condition) -> int:
        """Return how many links must be computed before a condition can be asked; of the answer, one more than all."""
        if ANSWER in condition.names:
            return len(self.lets) + 1
        return max((self.lets[name] + 1 for name in condition.names if name in self.lets), default=0)

    def to_si(
        self, names: tuple[str, ...], units: Mapping[str, str] | None = None
    ) -> Callable[[Mapping[str, float]], dict[str, float]]:
        found = ((name, unit_of((units or self.units)[name])) for name in names if name in (units or self.units))
        ways = tuple((name, unit.factor, unit.zero) for name, unit in found)
        return lambda values: {name: (values[name] - zero) * factor for name, factor, zero in ways}


def _register_slip(form: Ready, text: str) -> Callable[[Mapping[str, float], Mapping[str, float]], float]:
    relation = parse_relation(text)

    def find(values: Mapping[str, float], inputs: Mapping[str, float]) -> float:
        return value_of(relation, inputs) / form.factor + form.zero

    return find


def draw_numbers(plan: NumericPlan, chance: Chance, wanted: str = "") -> Numbers | str:
    """Return one draw, or the reason in words why its numbers do not serve. No text of the question is made.

    Where a verdict is wanted, no other serves.
    """
    machine, values = draw_values(plan.draws, chance)
    named: dict[str, float] = dict(values)
    inputs: list[dict[str, float]] = []
    if reason := _unkept(plan, 0, named):
        return reason
    for at, link in enumerate(plan.links, start=1):
        try:
            given = take(link.form, link_inputs(link, named))
            named[link.let] = result_of(link.form, given)
        except InputError as problem:
            return f"the formula refuses the numbers ({problem})"
        inputs.append(given)
        if reason := _unkept(plan, at, named):
            return reason
    answer = named[plan.links[-1].let] * plan.to_answer.factor + plan.to_answer.zero
    reach = plan.tolerance.of(answer)
    with_answer = {**named, ANSWER: answer}
    if reason := _unkept(plan, len(plan.links) + 1, with_answer):
        return reason
    reason, verdict = _judged(plan, with_answer, reach.tolerance)
    if reason or (wanted and verdict != wanted):
        return reason or f"the verdict is not {wanted}"
    slips = _slip_answers(plan, reach, named, inputs)
    if isinstance(slips, str):
        return slips
    links = {link.let: named[link.let] for link in plan.links}
    return Numbers(machine, values, links, answer, reach, slips, verdict)


def link_inputs(link: LinkPlan, named: Mapping[str, float]) -> dict[str, float]:
    """Return the formula's inputs in its symbols' units."""
    return {symbol: named[origin] * way.factor + way.zero for symbol, origin, way in link.takes}


def _unkept(plan: NumericPlan, stage: int, named: Mapping[str, float]) -> str:
    """Return why the numbers do not meet what is asked of them at a stage, or nothing."""
    try:
        kept = all(holds(named) for holds in plan.keeps[stage])
    except InputError as problem:
        return f"a condition has no answer ({problem})"
    return "" if kept else "the numbers do not meet `keep`"


def _judged(plan: NumericPlan, named: dict[str, float], tolerance: float) -> tuple[str, str]:
    """Return why the numbers do not serve (or nothing) and the verdict; on the edge of a verdict nobody is asked."""
    if not plan.verdicts:
        return "", ""
    try:
        verdicts = {_verdict(plan, {**named, ANSWER: named[ANSWER] + way * tolerance}) for way in (-1, 0, 1)}
    except InputError as problem:
        return f"a condition has no answer ({problem})", ""
    if len(verdicts) > 1:
        return "the answer is on the edge of a verdict", ""
    verdict = verdicts.pop()
    return ("", verdict) if verdict else ("no verdict holds", "")


def _verdict(plan: NumericPlan, named: Mapping[str, float]) -> str:
    return next((name for name, holds in plan.verdicts if holds(named)), "")


def _slip_answers(
    plan: NumericPlan, reach: Reach, named: Mapping[str, float], inputs: list[dict[str, float]]
) -> tuple[float, ...] | str:
    """Return what each slip gives (NaN: nothing of its own), or which two lie too near each other.

    Two slips may write the very same number: somebody who rounds down and somebody who rounds to the nearest may both
    write 3. Nobody can tell from the 3 which of the two it was, so the earlier one names it and the later one gives
    nothing.
    """
    met = [(reach.answer, reach.tolerance or WHOLE_REACH, "the answer")]
    values: list[float] = []
    for slip in plan.slips:
        value = _slip_answer(plan, slip, named, inputs)
        if any(math.isclose(value, other, rel_tol=1e-12) for other in values):
            value = math.nan
        values.append(value)
        if math.isnan(value):
            continue
        own = reach.of_slip(value)
        near = next((name for other, its, name in met if abs(value - other) <= own + its), "")
        if near and not slip.derived:
            return f"the slip {slip.id} and {near} lie too near each other"
        if near:
            values[-1] = math.nan
        else:
            met.append((value, own, f"the slip {slip.id}"))
    return tuple(values)


def _slip_answer(
    plan: NumericPlan, slip: SlipPlan, named: Mapping[str, float], inputs: list[dict[str, float]]
) -> float:
    """Return the answer of somebody who made this slip and did the rest rightly; NaN when it leads nowhere."""
    try:
        if slip.at < 0:
            return slip.find(named, {})
        wrong = dict(named)
        own = plan.links[slip.at]
        wrong[own.let] = slip.find(named, inputs[slip.at])
        for link in plan.links[slip.at + 1 :]:
            wrong[link.let] = result_of(link.form, take(link.form, link_inputs(link, wrong)))
    except InputError:
        return math.nan
    return wrong[plan.links[-1].let] * plan.to_answer.factor + plan.to_answer.zero
