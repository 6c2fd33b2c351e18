"""What a report and a finding say of the heater, and whether they contradict each other."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from warmyard.machine.model import Check, Facts, Machine, Symptom

NOT = "not "
ANY = "any"
"""Stands for every symptom that has no outcome of its own."""


@lru_cache(maxsize=1024)
def closed(order: tuple[str, ...], said: tuple[str, ...]) -> Mapping[str, bool]:
    """Return what follows: with a fact those it builds on hold, without it those that build on it fail."""
    found: dict[str, bool] = {}
    for text in said:
        fact, holds = text.removeprefix(NOT), not text.startswith(NOT)
        found[fact] = holds
        if fact in order:
            at = order.index(fact)
            found.update(dict.fromkeys(order[:at] if holds else order[at + 1 :], holds))
    return found


def contradicts(facts: Facts, one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    """Return whether two that say something cannot both be true."""
    return _contradict(facts.order, one, other)


@lru_cache(maxsize=4096)
def _contradict(order: tuple[str, ...], one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    mine, theirs = closed(order, one), closed(order, other)
    return any(theirs.get(fact, holds) != holds for fact, holds in mine.items())


def context_contradicts(machine: Machine, symptom: Symptom, context: str) -> bool:
    """Return whether what brings a context to light cannot be seen under a symptom."""
    found = [
        check.says.get(outcome, ())
        for check in machine.checks.values()
        for outcome, brought in check.sets.items()
        if brought == context
    ]
    return any(contradicts(machine.facts, symptom.says, said) for said in found)


def seen_as(machine: Machine, symptom: Symptom, check: Check) -> Mapping[str, str]:
    """Return outcome -> what is seen in its place under a symptom that it would contradict; others are left out."""
    if not symptom.says or not check.says:
        return {}
    instead = check.instead.get(symptom.id, check.instead.get(ANY, ""))
    if not instead:
        return {}
    denied = [outcome for outcome, said in check.says.items() if contradicts(machine.facts, symptom.says, said)]
    return dict.fromkeys(denied, instead)
