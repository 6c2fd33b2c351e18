"""A survey: formulas linked into one sheet, from what is asked once at its head."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from warmyard.course.fence import Fence, Named
from warmyard.course.grammar import Node
from warmyard.course.shelf import Shelf
from warmyard.course.survey import (
    Ask,
    AskGroup,
    Owner,
    SurveyStep,
    first_takers,
    owner_of,
    start_of,
    takers,
    work_survey,
)
from warmyard.course.values import TAKEN, input_text, needed_by
from warmyard.errors import FollowingError, InputError, Place, SourceError, SourceKind
from warmyard.fields import nearest
from warmyard.formula.model import Symbol
from warmyard.formula.quantity import read_quantity
from warmyard.formula.units import convert, unit_of


class SurveyNode(Node, frozen=True, kw_only=True, tag="wy-survey", tag_field="fence"):
    """Steps that each take what they need by name: from the head, the machine's sheet, a table, or an earlier step."""

    title: str
    head: tuple[AskGroup, ...]
    steps: tuple[SurveyStep, ...]
    answers: tuple[str, ...] = ()
    """Steps whose results stand under the head too."""
    say: str = ""

    def asks(self) -> Iterator[tuple[str, Ask]]:
        """Yield everything that is asked, with the path to it."""
        for at, group in enumerate(self.head):
            for number, ask in enumerate(group.asks):
                yield f"head.{at}.asks.{number}", ask

    def asked(self) -> Mapping[str, str]:
        """Return the name of each thing asked -> the path to it."""
        return {ask.name: path for path, ask in self.asks()}


def _check(shelf: Shelf, node: SurveyNode) -> Iterator[SourceError]:
    """Yield the faults of the survey; what a wrong name alone brings about is not told beside it."""
    known = all(step.formula in shelf.register.formulas for step in node.steps)
    for looks in ((_twice,), (_answers, _symbols, _order, _units, _starts), (_never_taken,)):
        faults = [fault for look in looks for fault in look(shelf, node)]
        yield from faults
        if faults:
            return
    if known:
        yield from _refusals(shelf, node)


def _twice(shelf: Shelf, node: SurveyNode) -> Iterator[SourceError]:
    """Yield a fault for every name that two asks or two steps bear."""
    asks = [(ask.name, path) for path, ask in node.asks()]
    steps = [(step.name, f"steps.{at}.name") for at, step in enumerate(node.steps)]
    for what, named in (("things are asked under the name", asks), ("steps bear the name", steps)):
        for name, count in Counter(name for name, _ in named).items():
            if count > 1:
                path = [path for other, path in named if other == name][-1]
                yield SourceError(node.place.within(path), f"two {what} {name}", "give each a name of its own")


def _answers(shelf: Shelf, node: SurveyNode) -> Iterator[SourceError]:
    steps = {step.name: None for step in node.steps}
    for at, name in enumerate(node.answers):
        if name not in steps:
            yield _no_such(node.place.within(f"answers.{at}"), "step", name, steps)


def _symbols(shelf: Shelf, node: SurveyNode) -> Iterator[SourceError]:
    """Yield a fault for every input that nothing gives, and for what a formula does not take."""
    for at, step in enumerate(node.steps):
        formula = shelf.register.formulas.get(step.formula)
        if formula is None:
            continue
        needs = {symbol.symbol: symbol for symbol in formula.needs}
        for name in step.takes:
            if name not in needs:
                place, what = node.place.within(f"steps.{at}.takes.{name}"), f"{formula.id} has no symbol {name}"
                yield FollowingError(place, what, f"its symbols are {', '.join(needs)}", ("formula", formula.id))
        for symbol in formula.needs:
            if owner_of(step, symbol) is None:
                yield _ownerless(node.place.within(f"steps.{at}.takes.{symbol.symbol}"), step, symbol)


def _ownerless(place: Place, step: SurveyStep, symbol: Symbol) -> SourceError:
    written = step.takes.get(symbol.symbol)
    what = f"nothing gives {symbol.symbol} of the step {step.name}, {symbol.means}"
    if written is not None:
        what = f"{written!r} says not where {symbol.symbol} of the step {step.name} comes from"
    what_to_do = "write head NAME, step NAME, sheet FIELD, table ID LINE or rule ID; a number belongs into the head"
    return FollowingError(place, what, what_to_do.replace(";", ","), ("formula", step.formula))


def _order(shelf: Shelf, node: SurveyNode) -> Iterator[SourceError]:
    """Yield a fault for every input of a step that is not there yet when it is wanted, and for circles."""
    names = {step.name: at for at, step in enumerate(node.steps)}
    rests = _rests_on(shelf, node.steps)
    for step, _, symbol, owner in takers(node.steps, shelf.register):
        place = node.place.within(f"steps.{names[step.name]}.takes.{symbol.symbol}")
        if owner.kind == "head" and owner.name not in node.asked():
            yield _no_such(place, "question in the head", owner.name, node.asked())
        if owner.kind != "step":
            continue
        if owner.name not in names:
            yield _no_such(place, "step", owner.name, names)
        elif names[owner.name] >= names[step.name]:
            what, what_to_do = f"the step {step.name} takes {owner.name}, which comes after it", "put that before it"
            if step.name == owner.name:
                what, what_to_do = f"the step {step.name} takes its own result", "take an earlier step or the head"
            elif step.name in rests[owner.name]:
                what = f"the steps {step.name} and {owner.name} wait for each other"
                what_to_do = f"take {symbol.symbol} from the head or from an earlier step"
            yield SourceError(place, what, what_to_do)


def _rests_on(shelf: Shelf, steps: Iterable[SurveyStep]) -> Mapping[str, set[str]]:
    """Return step -> all steps that it rests on, by however many others."""
    steps = list(steps)
    rests: dict[str, set[str]] = {step.name: set() for step in steps}
    for step, _, _, owner in takers(steps, shelf.register):
        if owner.kind == "step" and owner.name in rests:
            rests[step.name].add(owner.name)
    for _ in steps:
        for name, on in rests.items():
            rests[name] = on.union(*(rests[other] for other in on))
    return rests


def _units(shelf: Shelf, node: SurveyNode) -> Iterator[SourceError]:
    """Yield a fault for every value handed to a symbol that measures something else."""
    at = {step.name: number for number, step in enumerate(node.steps)}
    for step, formula, symbol, owner in takers(node.steps, shelf.register):
        place = node.place.within(f"steps.{at[step.name]}.takes.{symbol.symbol}")
        if owner.kind in ("head", "step"):
            yield from _handed_over(shelf, node, place, symbol, owner)
        elif owner.kind != "usual":
            for machine in shelf.sheets if owner.kind == "sheet" else ("",):
                name = f"{machine}.{owner.name}" if machine else owner.name
                yield from _unreadable(shelf, place, f"{owner.kind} {name}", symbol, ("formula", formula.id))


def _handed_over(shelf: Shelf, node: SurveyNode, place: Place, symbol: Symbol, owner: Owner) -> Iterator[SourceError]:
    """Yield a fault when what was asked, or an earlier step, measures something else than the symbol that takes it."""
    known = shelf.register.formulas
    unit = symbol.unit
    if owner.kind == "head":
        unit = first_takers(node.steps, shelf.register)[owner.name].unit
    for step in node.steps if owner.kind == "step" else ():
        if step.name == owner.name and step.formula in known:
            unit = known[step.formula].gives.unit
    try:
        _alike(unit, symbol.unit)
    except InputError as problem:
        others = {one.id for _, one, _, other in takers(node.steps, shelf.register) if other == owner}
        others |= {step.formula for step in node.steps if owner == Owner("step", step.name)}
        needs: list[tuple[SourceKind, str]] = [("formula", id) for id in sorted(others)]
        what = f"{owner.kind} {owner.name} does not fit {symbol.symbol}, {symbol.means}: {problem}"
        yield FollowingError(place, what.replace(";", ","), "take another", *needs)


def _alike(unit: str, wanted: str) -> None:
    """Raise InputError unless two units measure the same; kW is not kVA, and a difference is no temperature."""
    convert(1.0, unit, wanted)
    if unit_of(unit).quantity != unit_of(wanted).quantity:
        read_quantity(f"1 {unit}", wanted)


def _unreadable(
    shelf: Shelf, place: Place, value: str, symbol: Symbol, *needs: tuple[SourceKind, str]
) -> Iterator[SourceError]:
    kind, _, name = value.partition(" ")
    try:
        read_quantity(input_text(shelf, value, place), symbol.unit)
    except SourceError as fault:
        yield fault
    except InputError as problem:
        what = f"{value} does not fit {symbol.symbol}: {problem}".replace(";", ",")
        yield FollowingError(place, what, "take another value", needed_by(kind, name), *needs)


def _starts(shelf: Shelf, node: SurveyNode) -> Iterator[SourceError]:
    """Yield a fault for starts that cannot be read, and for tables whose lines could not stand in their place."""
    first = first_takers(node.steps, shelf.register)
    for path, ask in node.asks():
        if ask.name not in first:
            continue
        place, unit = node.place.within(path), first[ask.name].unit
        try:
            read_quantity(input_text(shelf, ask.start, place), unit)
        except SourceError as fault:
            yield fault
        except InputError as problem:
            kind, _, name = str(ask.start).partition(" ")
            needs = [needed_by(kind, name)] if kind in TAKEN else []
            what = f"{ask.name}: {problem}".replace(";", ",")
            yield FollowingError(place, what, f"write a start in {unit}", *needs)
        if ask.table:
            yield from _table(shelf, place, ask.table, unit)


def _never_taken(shelf: Shelf, node: SurveyNode) -> Iterator[SourceError]:
    taken = {text for step in node.steps for text in step.takes.values()}
    for name, path in node.asked().items():
        if f"head {name}" not in taken:
            what = f"no step takes what is asked under {name}"
            yield SourceError(node.place.within(path), what, "take it in a step, or ask it not")


def _table(shelf: Shelf, place: Place, name: str, unit: str) -> Iterator[SourceError]:
    table = shelf.tables.get(name)
    if table is None:
        near = nearest(name, shelf.tables)
        what_to_do = f"did you mean {near}?" if near else "write it into course/tables.yaml"
        yield FollowingError(place, f"there is no table {name}", what_to_do, ("table", name), names_nothing=True)
        return
    for row in table.rows:
        yield from _unreadable(shelf, place, f"table {name} {row.key}", Symbol(symbol=name, unit=unit, means=""))


def _refusals(shelf: Shelf, node: SurveyNode) -> Iterator[SourceError]:
    """Yield a fault for every step that refuses what the head begins with, and say for which machines."""
    found: dict[tuple[str, str], list[str]] = {}
    for machine, sheet in shelf.sheets.items():
        try:
            results = work_survey(shelf, node.steps, start_of(shelf, node.head, machine, node.place), node.place)
        except SourceError as fault:
            yield fault
            return
        for name, result in results.items():
            if result.refused:
                found.setdefault((name, result.refused), []).append(sheet.name)
    for (name, refused), machines in found.items():
        at = next(at for at, step in enumerate(node.steps) if step.name == name)
        what = f"the step {name} refuses for {', '.join(machines)}: {refused}".replace(";", ",")
        place = node.place.within(f"steps.{at}.name")
        yield FollowingError(place, what, "begin the head with values that work", *_needs_of(shelf, node, name))


def _needs_of(shelf: Shelf, node: SurveyNode, name: str) -> list[tuple[SourceKind, str]]:
    """Return every name in other sources that a step rests on, by however many others."""
    within = {name, *_rests_on(shelf, node.steps)[name]}
    starts = {ask.name: str(ask.start) for _, ask in node.asks()}
    needs: list[tuple[SourceKind, str]] = []
    for step, formula, symbol, owner in takers(node.steps, shelf.register):
        if step.name not in within:
            continue
        needs.append(("formula", formula.id))
        kind, _, taken = (starts[owner.name] if owner.kind == "head" else f"{owner.kind} {owner.name}").partition(" ")
        if kind in TAKEN:
            needs.append(needed_by(kind, taken))
        if owner.kind == "usual" and symbol.rule:
            needs.append(("rule", symbol.rule))
    return list(dict.fromkeys(needs))


def _no_such(place: Place, what: str, name: str, known: Mapping[str, object]) -> SourceError:
    near = nearest(name, known)
    what_to_do = f"did you mean {near}?" if near else f"known are {', '.join(known) or 'none yet'}"
    return SourceError(place, f"there is no {what} {name}", what_to_do)


FENCE = Fence(
    node=SurveyNode,
    names=lambda node: [Named(f"steps.{at}.formula", "formula", step.formula) for at, step in enumerate(node.steps)],
    check=_check,
    filled_in=True,
)
