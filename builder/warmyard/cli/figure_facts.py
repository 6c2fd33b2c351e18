"""What the figures stand on, from the ledger: papers given out, sittings, observations, and the rules of the scheme."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from warmyard.errors import VerificationError
from warmyard.measure.report import ObservationFacts, PartRule, SittingFacts

if TYPE_CHECKING:
    from warmyard.certify.ledger.state import State


def papers_of(state: State) -> dict[str, tuple[str, ...]]:
    """Return the items of every paper that was given out."""
    return {name: tuple(fact.body.items) for name, fact in state.papers.items()}


def sittings_of(state: State, records: Path) -> list[SittingFacts]:
    """Return the sittings that count, each with its try and, where they can still be read, its wrong answers."""
    from warmyard.certify.exam.answers import wrong_answers

    found = []
    for name, fact in state.sittings.items():
        if fact.entry.number in state.voided:
            continue
        paper = state.papers[name]
        taken: dict[str, tuple[str, ...]] = {}
        offered: dict[str, tuple[str, ...]] = {}
        if not state.people[fact.entry.person].erased:
            try:
                taken, offered = wrong_answers(records, paper, fact)
            except VerificationError as problem:
                print(f"the answers of {name} are left out: {problem}", file=sys.stderr)
        found.append(
            SittingFacts(
                person=fact.entry.person,
                level=fact.body.level,
                part=fact.body.part,
                attempt=paper.body.attempt,
                passed=fact.body.passed,
                right=fact.body.right,
                of=fact.body.of,
                cut_percent=float(fact.body.cut_percent),
                marks=fact.body.marks,
                taken=taken,
                offered=offered,
            )
        )
    return found


def observations_of(state: State) -> list[ObservationFacts]:
    """Return what each observer noted; an entry that several signed together is one view, not two."""
    from warmyard.certify.ledger.bodies import Observation

    return [
        ObservationFacts(
            person=person,
            station=fact.body.station,
            day=fact.entry.effective_on.isoformat(),
            observer="+".join(sorted(fact.body.observers)),
            passed=fact.body.passed,
            points=fact.body.points,
        )
        for person in list(state.facts)
        for fact in state.of(person, Observation)
    ]


def rules_of(state: State) -> dict[tuple[int, str], PartRule]:
    """Return for each level and part of the adopted scheme its critical items and the tries that it allows."""
    scheme = state.scheme_now()
    if scheme is None:
        return {}
    return {
        (level.level, part.id): PartRule(part.critical_items, level.re_sit.attempts)
        for level in scheme.levels
        for part in level.parts
    }
