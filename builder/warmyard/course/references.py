"""Every name that one source gives of another: that it is there, and that nothing is left unasked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from warmyard.course.fence_table import fence_of
from warmyard.course.fleet import find_value
from warmyard.course.grammar import Node, find_inlines, may_hold_inlines
from warmyard.course.lesson import Lesson, number_of
from warmyard.course.model import Deck, Picture, Procedure, Station, Term
from warmyard.course.texts import texts_at
from warmyard.course.values import meaning, needed_by
from warmyard.course.workspace import Workspace
from warmyard.errors import FollowingError, Place, SourceError, SourceKind
from warmyard.fields import nearest
from warmyard.formula.model import Formula
from warmyard.item.kind_table import kind_of
from warmyard.item.model import Item
from warmyard.machine.model import Check, SafetyQuestion, Symptom

FEW = 12
"""As many names as a fault lists."""


def faults_between(workspace: Workspace) -> dict[SourceKind, list[SourceError]]:
    """Return every fault between sources other than pages, by the kind that names nothing, and skills never asked."""
    return {
        "skill": list(_check_skills(workspace)),
        "item": list(_check_items(workspace)),
        "source": list(_check_sources(workspace)),
        "machine": [*_check_emergencies(workspace), *_check_spoken(workspace)],
        "stop": list(_check_stop_texts(workspace)),
        "procedure": list(_check_texts(workspace, workspace.procedures)),
        "station": list(_check_texts(workspace, workspace.stations)),
        "picture": list(_check_texts(workspace, workspace.pictures)),
        "term": list(_check_texts(workspace, workspace.terms)),
        "deck": list(_check_texts(workspace, workspace.decks)),
    }


def check_pages(workspace: Workspace) -> list[SourceError]:
    """Return the faults of pages: names of nothing, inputs that a formula refuses."""
    return list(_check_pages(workspace))


NAMED: Mapping[str, SourceKind] = {
    "skill": "skill", "duty": "skill", "item": "item", "picture": "picture", "procedure": "procedure",
    "chart": "chart", "failure mode": "machine", "symptom": "machine", "formula": "formula", "source": "source",
    "rule": "rule", "lesson": "page", "safety question": "machine", "outcome": "machine",
}  # fmt: skip
"""What a source may name -> the sources in which that is written."""


def names_used(lessons: Iterable[Lesson], formulas: Iterable[Formula]) -> dict[str, set[str]]:
    """Return kind -> names that texts of pages and symbols of formulas take: rules, and fields of sheets."""
    found: dict[str, set[str]] = {"rule": set(), "sheet": set()}
    for inline in (inline for lesson in lessons for inline in lesson.inlines):
        if inline.kind in found:
            found[inline.kind].add(inline.name.rpartition(".")[2])
    found["rule"].update(symbol.rule for formula in formulas for symbol in formula.needs if symbol.rule)
    return found


def missing(place: Place, what: str, name: str, known: Mapping[str, Any]) -> Iterator[SourceError]:
    """Yield the fault of a name that is not known, with the nearest one that is."""
    if name in known:
        return
    near = nearest(name, known)
    if near:
        what_to_do = f"did you mean {near}?"
    elif len(known) <= FEW:
        what_to_do = f"known are {', '.join(known) or 'none yet'}"
    else:
        what_to_do = f"write it, or name one of the {len(known)} that are there"
    says = f"there is no {what} {name}"
    yield FollowingError(place, says, what_to_do, (NAMED[what], name), names_nothing=True)


def _check_pages(workspace: Workspace) -> Iterator[SourceError]:
    for lesson in workspace.lessons.values():
        place = lesson.place
        for at, name in enumerate(lesson.front.skills):
            yield from missing(place.within(f"skills.{at}"), "skill", name, workspace.skills)
        for at, outcome in enumerate(lesson.front.outcomes):
            for number, name in enumerate(outcome.items):
                yield from missing(place.within(f"outcomes.{at}.items.{number}"), "item", name, workspace.items)
            if not outcome.items:
                spot = place.within(f"outcomes.{at}")
                yield SourceError(spot, "no item asks this outcome", "name the items that ask it, items: [ID]")
        yield from _check_blocks(workspace, lesson)
        for inline in lesson.inlines:
            try:
                meaning(workspace.shelf, inline)
            except SourceError as fault:
                yield fault


def _check_blocks(workspace: Workspace, lesson: Lesson) -> Iterator[SourceError]:
    for block in lesson.blocks:
        yield from check_node(workspace, block.node)
        yield from _check_words(workspace, block.node, block.node.place)


def check_node(workspace: Workspace, node: Node) -> Iterator[SourceError]:
    """Yield every name of one fence that names nothing, and inputs that its formula refuses."""
    fence = fence_of(node)
    example = fence.example(node)
    for fault in (*_check_names(workspace, node), *fence.check(workspace.shelf, node)):
        if example is not None:
            fault.loses = example.called
        yield fault


def _check_names(workspace: Workspace, node: Node) -> Iterator[SourceError]:
    known = _known(workspace)
    for named in fence_of(node).names(node):
        yield from missing(node.place.within(named.path), named.what, named.name, known[named.what])


def _known(workspace: Workspace) -> Mapping[str, Mapping[str, Any]]:
    """Return the things that a fence may name, by what they are."""
    return {
        "picture": workspace.pictures,
        "item": workspace.items,
        "procedure": workspace.procedures,
        "chart": workspace.charts,
        "formula": workspace.register.formulas,
        "failure mode": workspace.machine.modes,
        "symptom": workspace.machine.symptoms,
    }


def _check_words(workspace: Workspace, thing: Any, place: Place) -> Iterator[SourceError]:
    """Yield the faults of inlines in the texts of a fence, an item, a procedure or a station."""
    faults: list[SourceError] = []
    for path, text in texts_at(thing):
        if not may_hold_inlines(text):
            continue
        at = place.within(path)
        for inline in find_inlines(text, at.file, at.line, faults):
            try:
                meaning(workspace.shelf, replace(inline, place=at))
            except SourceError as fault:
                faults.append(fault)
    yield from faults


def _check_skills(workspace: Workspace) -> Iterator[SourceError]:
    asked = {item.skill for item in workspace.items.values()}
    taught = {name for lesson in workspace.lessons.values() for name in lesson.front.skills}
    for skill in workspace.skills.values():
        yield from missing(skill.place.within("duty"), "duty", skill.duty, workspace.duties)
        if skill.id in taught and skill.id not in asked:
            what_to_do = "write an item for it in quizbank/"
            what = f"a lesson teaches {skill.id} and no item asks it"
            yield FollowingError(skill.place, what, what_to_do, ("item", skill.id))
    drawn = workspace.machine.drawn_calls
    if drawn is not None:
        yield from missing(drawn.place.within("skill"), "skill", drawn.skill, workspace.skills)
    for procedure in workspace.procedures.values():
        yield from missing(procedure.place.within("skill"), "skill", procedure.skill, workspace.skills)
    for station in workspace.stations.values():
        for at, name in enumerate(station.skills):
            yield from missing(station.place.within(f"skills.{at}"), "skill", name, workspace.skills)


def _check_items(workspace: Workspace) -> Iterator[SourceError]:
    for item in workspace.items.values():
        yield from missing(item.place.within("skill"), "skill", item.skill, workspace.skills)
        for at, name in enumerate(item.enemies):
            yield from missing(item.place.within(f"enemies.{at}"), "item", name, workspace.items)
            if name == item.id:
                yield SourceError(item.place.within("enemies"), f"{name} is its own enemy", "take it out of enemies")
        if item.source is not None:
            yield from missing(item.place.within("source"), "source", item.source, workspace.sources)
        for name in kind_of(item).formulas(item):
            place = item.place.within("formula" if "formula" in item.place.parts else "chain")
            yield from missing(place, "formula", name, workspace.register.formulas)
        yield from _check_draws(workspace, item)
        yield from _check_words(workspace, item, item.place)


def _check_draws(workspace: Workspace, item: Item) -> Iterator[SourceError]:
    for symbol, draw in kind_of(item).draws(item).items():
        place = item.place.within(f"draw.{symbol}")
        if draw.rule is not None:
            yield from missing(place, "rule", draw.rule, workspace.rules)
        if draw.sheet is not None and find_value(workspace.sheets, draw.sheet) is None:
            what_to_do = "add it to the sheets in site_config/fleet/"
            what = f"no sheet has the field {draw.sheet}"
            yield FollowingError(place, what, what_to_do, needed_by("sheet", draw.sheet), names_nothing=True)


def _check_sources(workspace: Workspace) -> Iterator[SourceError]:
    known, numbered = workspace.sources, lesson_names(workspace.lessons.values())
    for formula in workspace.register.formulas.values():
        yield from missing(formula.place.within("source"), "source", formula.source, known)
        if formula.lesson:
            yield from missing(formula.place.within("lesson"), "lesson", formula.lesson, numbered)
        for at, worked in enumerate(formula.worked):
            yield from missing(formula.place.within(f"worked.{at}.source"), "source", worked.source, known)
        for at, symbol in enumerate(formula.needs):
            place = formula.place.within(f"needs.{at}")
            if symbol.source is not None and symbol.rule not in workspace.rules:  # else it is the rule's, told there
                yield from missing(place.within("source"), "source", symbol.source, known)
            if symbol.rule is not None and symbol.default is not None:  # without a default the register says it
                yield from missing(place.within("rule"), "rule", symbol.rule, workspace.rules)
    for rules in workspace.rules_by_country.values():
        for rule in rules.values():
            yield from missing(rule.place.within("source"), "source", rule.source, known)


def lesson_names(lessons: Iterable[Lesson]) -> dict[str, Lesson]:
    """Return the lessons by every name that others give them: the page's id, and L13 for a file 13-fuel-filter.md."""
    found = {}
    for lesson in lessons:
        found[lesson.id] = lesson
        number = number_of(lesson.file)
        if number and lesson.front.kind == "lesson":
            found[f"L{number}"] = lesson
    return found


def _check_emergencies(workspace: Workspace) -> Iterator[SourceError]:
    for symptom in workspace.machine.symptoms.values():
        if symptom.emergency is not None:
            place = symptom.place.within("emergency")
            yield from missing(place, "procedure", symptom.emergency, workspace.procedures)


def _check_spoken(workspace: Workspace) -> Iterator[SourceError]:
    """Yield the faults of inlines in what the telephone's script says."""
    machine = workspace.machine
    spoken_of: tuple[SafetyQuestion | Symptom | Check, ...] = (
        *machine.questions,
        *machine.symptoms.values(),
        *machine.checks.values(),
    )
    for spoken in spoken_of:
        yield from _check_words(workspace, spoken, spoken.place)


def _check_texts(
    workspace: Workspace, things: Mapping[str, Procedure | Station | Picture | Term | Deck]
) -> Iterator[SourceError]:
    for thing in things.values():
        yield from _check_words(workspace, thing, thing.place)


def _check_stop_texts(workspace: Workspace) -> Iterator[SourceError]:
    for rule in workspace.stops.rules:
        yield from _check_words(workspace, (rule.when, rule.customer, rule.staff), rule.place)
