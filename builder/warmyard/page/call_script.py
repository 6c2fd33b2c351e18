"""The telephone script and "before you call": safety questions, then looks in their best order, then words to read."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from warmyard.machine.evidence import Reasoner, Situation, reasoner_of
from warmyard.machine.model import Check, Machine, SafetyQuestion, Symptom
from warmyard.machine.nearness import must_be_one_of

LEAST_CHANCE = 0.02
"""A look that finds something less often is not asked of a customer."""
MOST_LOOKS = 5
"""A caller is asked no more than this; the rest is for the visit."""
CUSTOMER = 0

End = Literal["emergency", "fixed", "visit", "stop-using", "go-on"]


@dataclass(frozen=True, slots=True)
class Reply:
    """One answer to a look: its id as `--saw` takes it, what is seen, what to do, and how that ends."""

    outcome: str
    sees: str
    say: str
    end: End


@dataclass(frozen=True, slots=True)
class Look:
    """One customer-safe check: what to look at, and what each answer means."""

    check: str
    do: str
    replies: tuple[Reply, ...]
    chance: float
    """How often it finds something, 0 to 1; set for the demo like the weights behind it."""


@dataclass(frozen=True, slots=True)
class Script:
    """What is asked on the telephone for one symptom, in its order; an emergency has no looks."""

    symptom: Symptom
    questions: tuple[SafetyQuestion, ...]
    looks: tuple[Look, ...]
    one_reset: bool
    """True when the heater stands in lockout, so that the rule of the one reset is said."""


def telephone_script(machine: Machine, symptom_id: str) -> Script:
    """Return the script of a symptom; raise InputError when there is no such symptom."""
    must_be_one_of(symptom_id, machine.symptoms, "symptom")
    symptom = machine.symptoms[symptom_id]
    reasoner = reasoner_of(machine, symptom_id)
    bars = reasoner.bars(Situation(symptom_id))
    looks = () if symptom.emergency or any(bar.first for bar in bars) else _looks(machine, reasoner)
    return Script(symptom, machine.questions, looks, any(bar.after_start for bar in bars))


def _looks(machine: Machine, reasoner: Reasoner) -> tuple[Look, ...]:
    situation = Situation(reasoner.symptom, level=CUSTOMER)
    barred = bool(reasoner.bars(situation))
    weights = {h: w for h, w in reasoner.weights(situation).items() if _declares(machine, h.cause, reasoner.symptom)}
    found: list[tuple[bool, float, Look]] = []
    for check in machine.checks.values():
        if check.level > CUSTOMER or (barred and reasoner.is_live(check)):
            continue
        states = reasoner.states_of(check)
        telling = (w for h, w in weights.items() if reasoner.expected(h, check) not in {check.normal, *states})
        chance = math.fsum(telling)
        if check.opens or chance >= LEAST_CHANCE:
            look = _look(check, chance, [seen for seen in check.answers if reasoner.may_be_seen(weights, check, seen)])
            found.append((not check.opens, -chance / check.minutes, look))
    return tuple(look for _, _, look in sorted(found, key=lambda entry: entry[:2])[:MOST_LOOKS])


def _declares(machine: Machine, mode: str, symptom: str) -> bool:
    return symptom in machine.modes[mode].strong or symptom in machine.modes[mode].weak


def _look(check: Check, chance: float, seen: Sequence[str]) -> Look:
    """Return a look with the answers that can be true of a heater with this symptom."""
    replies = tuple(
        Reply(outcome, answer.sees or check.outcomes[outcome], answer.say, answer.end)
        for outcome, answer in ((outcome, check.answers[outcome]) for outcome in seen)
    )
    return Look(check.id, check.customer or check.ask, replies, chance)
