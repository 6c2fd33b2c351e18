"""All sources held against the stop rules: their texts, and the keys, orders and ends that rules govern."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from warmyard.course.phrases import sentences_of
from warmyard.course.procedure import closure, find_circle
from warmyard.course.references import missing
from warmyard.course.stop_check import check_passage
from warmyard.course.stop_hearing import CUSTOMER, STAFF, Listener
from warmyard.course.stop_passages import (
    Passage,
    deck_passages,
    item_passages,
    lesson_passages,
    machine_passages,
    passage_of,
    picture_passages,
    procedure_passages,
    station_passages,
    term_passages,
)
from warmyard.course.stop_rule import StopRule, StopRules, told
from warmyard.course.workspace import Workspace
from warmyard.errors import FollowingError, SourceError
from warmyard.item.kind_table import kind_of
from warmyard.item.model import Item
from warmyard.kept import Book, digest_of

READ_IN_ONE_GO = 40
"""Passages that are kept as sound, or read again, together."""
GO_ON = ("fixed", "go-on")
"""Ends after which a customer may still start the heater."""


def check_stops(workspace: Workspace, book: Book | None = None) -> list[SourceError]:
    """Return every fault that the stop rules find in the sources, and every name in them that names nothing.

    What a book calls sound is not read again; what nobody read before is shared among the cores.
    """
    if not workspace.stops.rules:
        return []
    listener = Listener(workspace.stops)
    faults = _check_passages(listener, list(passages(workspace)), workspace.stops, book or Book())
    for rule in workspace.stops.rules:
        faults += [*_check_names(workspace, rule), *_check_orders(workspace, rule), *_check_ends(workspace, rule)]
    faults += _check_heard(listener, workspace)
    for item in workspace.items.values():
        for name in governing(workspace, "items", item.id):
            faults += check_key(listener, item, listener.rules[name])
    return faults


def _check_passages(listener: Listener, every: list[Passage], stops: StopRules, book: Book) -> list[SourceError]:
    rules = digest_of(stops)
    groups = [every[first : first + READ_IN_ONE_GO] for first in range(0, len(every), READ_IN_ONE_GO)]

    def faults_in(group: list[Passage]) -> list[SourceError]:
        return [fault for passage in group for fault in check_passage(listener, passage)]

    def unsound(share: Sequence[int]) -> list[int]:
        return [at for at in share if book.sound("stops", [rules, groups[at]], partial(faults_in, groups[at]))]

    found = sorted(at for share in book.share(range(len(groups)), unsound) for at in share)
    return [fault for at in found for fault in faults_in(groups[at])]


def governing(workspace: Workspace, what: str, name: str) -> tuple[str, ...]:
    """Return the ids of the rules that govern an item, a procedure, a question, an outcome or a symptom."""
    return tuple(rule.id for rule in workspace.stops.rules if name in getattr(rule.governs, what))


def passages(workspace: Workspace) -> Iterator[Passage]:
    """Yield every passage of a workspace in which a stop may be spoken of."""
    govern = partial(governing, workspace)
    for lesson in workspace.lessons.values():
        yield from lesson_passages(lesson)
    for procedure in workspace.procedures.values():
        yield from procedure_passages(procedure, govern)
    for station in workspace.stations.values():
        yield from station_passages(station)
    for item in workspace.items.values():
        yield from item_passages(item, govern)
    for term in workspace.terms.values():
        yield from term_passages(term)
    for deck in workspace.decks.values():
        yield from deck_passages(deck)
    for picture in workspace.pictures.values():
        yield from picture_passages(picture)
    yield from machine_passages(workspace.machine, govern)
    for rule in workspace.stops.rules:
        yield from _rule_passages(rule)


def _rule_passages(rule: StopRule) -> Iterator[Passage]:
    """Yield what a rule itself tells its readers, so that no rule is against another."""
    for reader in (CUSTOMER, STAFF):
        says = told(rule, reader)
        texts = [("first", says.first), *((f"then.{at}", text) for at, text in enumerate(says.then))]
        for path, text in texts:
            yield passage_of([(text, rule.place.within(f"{reader}.{path}"))], reader, governed=[rule.id])


def _check_names(workspace: Workspace, rule: StopRule) -> Iterator[SourceError]:
    checks = workspace.machine.checks.values()
    known: Mapping[str, tuple[str, Mapping[str, object]]] = {
        "items": ("item", workspace.items),
        "procedures": ("procedure", workspace.procedures),
        "questions": ("safety question", {question.id: question for question in workspace.machine.questions}),
        "outcomes": ("outcome", {f"{check.id}.{name}": name for check in checks for name in check.outcomes}),
        "symptoms": ("symptom", workspace.machine.symptoms),
    }
    for field, (what, there) in known.items():
        for at, name in enumerate(getattr(rule.governs, field)):
            path = f"governs.{field}.{name}" if field == "procedures" else f"governs.{field}.{at}"
            yield from missing(rule.place.within(path), what, name, there)
    for at, name in enumerate(rule.sources):
        yield from missing(rule.place.within(f"sources.{at}"), "source", name, workspace.sources)


def _check_orders(workspace: Workspace, rule: StopRule) -> Iterator[SourceError]:
    """Yield a fault for each procedure in which something may come before the first act of its rule."""
    for name, step in rule.governs.procedures.items():
        procedure = workspace.procedures.get(name)
        if procedure is None:
            continue
        ids = [one.id for one in procedure.steps]
        pairs = [(pair.first, pair.then) for pair in procedure.before if {pair.first, pair.then} <= set(ids)]
        if step not in ids:
            place = rule.place.within(f"governs.procedures.{name}")
            yield SourceError(place, f"{name} has no step {step}", f"its steps are {', '.join(ids)}")
        elif not find_circle(ids, pairs):
            late = [one for one in ids if one != step and one not in closure(ids, pairs)[step]]
            if late:
                what = f"{late[0]} may come before {step}, the first act of the stop rule {rule.id}"
                yield SourceError(procedure.place.within("before"), what, f"add first: {step}, then: {late[0]}")


def _check_ends(workspace: Workspace, rule: StopRule) -> Iterator[SourceError]:
    """Yield a fault for each answer after which a customer would still start what the rule stops."""
    if not rule.restart_level:
        return
    for name in rule.governs.outcomes:
        check_id, _, outcome = name.partition(".")
        check = workspace.machine.checks.get(check_id)
        answer = check.answers.get(outcome) if check else None
        if check and answer and answer.end in GO_ON:
            place = check.place.within(f"answers.{outcome}.end")
            what = f"{name} ends in {answer.end}, and the stop rule {rule.id} lets no customer start the heater again"
            yield SourceError(place, what, "write end: stop-using or end: visit")


def _check_heard(listener: Listener, workspace: Workspace) -> Iterator[SourceError]:
    """Yield a fault for each answer that lets a customer go on although its words name what a rule stops."""
    for check in workspace.machine.checks.values():
        for outcome, answer in check.answers.items():
            sees = answer.sees or check.outcomes.get(outcome, "")
            heard = (name for sentence in sentences_of(sees) for name in listener.situations(sentence))
            name = next((name for name in heard if listener.rules[name].restart_level), None)
            if name is not None and answer.end in GO_ON:
                place = check.place.within(f"answers.{outcome}.end")
                what = f"{check.id}.{outcome} names what the stop rule {name} stops, and ends in {answer.end}"
                yield SourceError(place, what, "write end: stop-using or end: visit")


def check_key(listener: Listener, item: Item, rule: StopRule) -> Iterator[SourceError]:
    """Yield a fault where a wrong answer says more of what the rule asks for than any right one does."""
    answers = [(answer, _asked_for(listener, answer.text, rule)) for answer in kind_of(item).says(item)]
    right = max((len(acts) for answer, acts in answers if answer.right), default=0)
    wrong = next((answer for answer, acts in answers if not answer.right and len(acts) > right), None)
    if wrong is not None:
        what = f"the key of {item.id} says less of what the stop rule {rule.id} asks for than a wrong answer does"
        what_to_do = f"the rule says: {rule.staff.first.rstrip('.')}"
        yield FollowingError(item.place.within(wrong.path), what, what_to_do, ("stop", rule.id))


def _asked_for(listener: Listener, text: str, rule: StopRule) -> set[str]:
    """Return the acts that a rule asks for and an answer tells somebody to do."""
    acts = (found.name for one in sentences_of(text) for found, does in listener.acts_in(one, STAFF) if does)
    return {name for name in acts if name in rule.asks_for}
