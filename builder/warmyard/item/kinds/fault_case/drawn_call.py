"""Calls to play: every mode under every symptom that it shows strongly, and the cases that were written."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal

from warmyard.item.kinds.fault_case.draw import EASY_CHECKS, checks_made, outcome_of
from warmyard.item.kinds.fault_case.schema import FaultCase
from warmyard.item.variant_model import CaseKey, Variant
from warmyard.machine.facts import context_contradicts
from warmyard.machine.memory import OfLastMachine
from warmyard.machine.model import DrawnCalls, Machine, Mode, Symptom
from warmyard.words import say

Difficulty = Literal["easy", "middle", "hard"]
_calls: OfLastMachine[tuple[FaultCase, ...]] = OfLastMachine()
MIDDLE_CHECKS = 5
"""A call is middling up to so many checks of the best way."""


def drawn_calls(machine: Machine) -> tuple[FaultCase, ...]:
    """Return every call that can be drawn; an emergency is never one of them."""
    return _calls.answer(machine, "drawn", lambda: tuple(_drawn_calls(machine)))


def _drawn_calls(machine: Machine) -> Iterator[FaultCase]:
    how = machine.drawn_calls
    if how is None:
        return
    for symptom in machine.symptoms.values():
        for mode in machine.modes.values():
            if symptom.emergency is None and symptom.id in mode.strong:
                call = FaultCase(
                    **_played(how),
                    id=f"call-{symptom.id}-{mode.id}",
                    symptom=symptom.id,
                    mode=mode.id,
                    contexts=_circumstance(machine, symptom, mode),
                    place=mode.place,
                )
                if not dangers(machine, call):
                    yield call


def written_calls(machine: Machine) -> tuple[FaultCase, ...]:
    """Return the cases that were written, with the caller's words and the trap; an emergency is never one of them."""
    asked = ("written", say({}, "case.trap", trap=""))
    return _calls.answer(machine, asked, lambda: tuple(_written_calls(machine)))


def _written_calls(machine: Machine) -> Iterator[FaultCase]:
    how = machine.drawn_calls
    if how is None:
        return
    for written in machine.call_outs.values():
        call = FaultCase(
            **_played(how),
            id=f"call-{written.id}",
            symptom=written.symptom,
            mode=written.mode,
            behind=written.behind,
            contexts=written.contexts,
            as_said=written.as_said,
            seen=written.seen,
            trap=say({}, "case.trap", trap=written.trap),
            place=written.place,
        )
        if machine.symptoms[written.symptom].emergency is None and not dangers(machine, call):
            yield call


def dangers(machine: Machine, call: FaultCase) -> tuple[str, ...]:
    """Return the checks of a case that would show an emergency, carbon monoxide first of all: it is never played."""
    checks = machine.checks.values()
    return tuple(check.id for check in checks if outcome_of(machine, call, check) in check.danger)


def _played(how: DrawnCalls) -> dict[str, Any]:
    return {
        "skill": how.skill,
        "ask": how.ask,
        "starts_at": how.starts_at,
        "level": how.level,
        "criticality": 2,
        "use": "practice",
        "demand": "judge",
    }


def _circumstance(machine: Machine, symptom: Symptom, mode: Mode) -> tuple[str, ...]:
    """Return the circumstance under which the mode is likeliest, where one that goes with the symptom makes it so."""
    likelier = sorted((-factor, context) for context, factor in mode.contexts.items() if factor > 1)
    told = [context for _, context in likelier if not context_contradicts(machine, symptom, context)]
    return tuple(told[:1])


def levels_needed(variant: Variant) -> list[int]:
    """Return the level of each check that the best way through a call makes."""
    if not isinstance(variant.key, CaseKey) or variant.question.case is None:
        return []
    levels = {check.id: check.level for check in variant.question.case.checks}
    return [levels[step] for step in variant.key.best if step in levels]


def difficulty_of(variant: Variant) -> Difficulty:
    """Return how hard a call is: by the checks that the best way through it makes."""
    checks = checks_made(variant.key) if isinstance(variant.key, CaseKey) else 0
    return "easy" if checks <= EASY_CHECKS else "middle" if checks <= MIDDLE_CHECKS else "hard"
