"""Stop rules read from course/stop_rules.yaml, and what does not hold of them by themselves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from warmyard.course.catalogue import by_id, entries_of, read_or_fault
from warmyard.course.phrases import is_phrase
from warmyard.course.stop_rule import PhraseGroup, StopAct, StopRule, StopRules
from warmyard.errors import Place, SourceError
from warmyard.fields import offer


def load_stop_rules(path: Path, root: Path, faults: list[SourceError]) -> StopRules:
    """Return the stop rules; a course without the file has none."""
    document = read_or_fault(path, root, faults) if path.exists() else None
    if document is None:
        return StopRules()

    def entries(key: str, kind: Any, what: str) -> tuple[Any, ...]:
        return tuple(by_id(entries_of(document, key, kind, faults), what, faults).values())

    return StopRules(
        groups=entries("groups", PhraseGroup, "group"),
        acts=entries("acts", StopAct, "act"),
        rules=entries("rules", StopRule, "stop rule"),
    )


def check_stop_rules(stops: StopRules) -> list[SourceError]:
    """Return a fault for each phrase that is none, and each name of an act that is not there."""
    groups = {group.id: group.among for group in stops.groups}
    faults: list[SourceError] = []
    for group in stops.groups:
        faults += _check_phrases(group.place, "among", group.among, {})
    known = [act.id for act in stops.acts]
    for act in stops.acts:
        faults += _check_phrases(act.place, "phrases", act.phrases, groups)
        faults += _check_phrases(act.place, "but", act.but, groups)
        faults += _check_widens(act, known)
        faults += _check_freed(act, [rule.id for rule in stops.rules])
    for rule in stops.rules:
        faults += _check_rule(rule, groups, known)
    return faults


def _check_freed(act: StopAct, rules: list[str]) -> Iterator[SourceError]:
    for at, name in enumerate(act.freed_by or ()):
        if name not in rules:
            yield SourceError(act.place.within(f"freed_by.{at}"), f"there is no stop rule {name}", offer(name, rules))


def _check_widens(act: StopAct, known: list[str]) -> Iterator[SourceError]:
    if act.widens and act.widens not in known:
        yield SourceError(act.place.within("widens"), f"there is no act {act.widens}", offer(act.widens, known))


def _check_rule(rule: StopRule, groups: Mapping[str, Iterable[str]], acts: list[str]) -> Iterator[SourceError]:
    yield from _check_phrases(rule.place, "speaks", rule.speaks, groups)
    yield from _check_phrases(rule.place, "dangers", rule.dangers, groups)
    named = [("asks_for", rule.asks_for)]
    for reader, says in (("customer", rule.customer), ("staff", rule.staff)):
        yield from _check_phrases(rule.place, f"{reader}.unless", says.unless, groups)
        named.append((f"{reader}.never", says.never))
    for path, names in named:
        for at, name in enumerate(names):
            if name not in acts:
                place = rule.place.within(f"{path}.{at}")
                yield SourceError(place, f"there is no act {name}", offer(name, acts))


def _check_phrases(
    place: Place, path: str, phrases: Iterable[str], groups: Mapping[str, Iterable[str]]
) -> Iterator[SourceError]:
    for at, phrase in enumerate(phrases):
        if not is_phrase(phrase, groups):
            what_to_do = "write words with spaces between, such as press* back? push|put .. and begin with one"
            yield SourceError(place.within(f"{path}.{at}"), f"{phrase!r} is no phrase", what_to_do)
