"""What a requirement is shown from: a verified record, the sources, the figures; and what comes of looking."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any, Literal, TypeAlias

from warmyard.certify.ledger.bodies import Body, Decision
from warmyard.certify.ledger.schemes import find_level
from warmyard.certify.ledger.state import Fact, State
from warmyard.course.scheme_model import Level, Part
from warmyard.course.workspace import Workspace
from warmyard.words.sentence import sentence

Verdict = Literal["met", "not-met", "cannot"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What the figures say, handed in by the caller, who may see them."""

    groups: int = 0
    """Kinds of paper with figures."""
    most_sittings: int = 0
    share_percent: int = 0
    """A true share, and how often somebody of that share passes."""
    passes_percent: int = 0
    items: int = 0
    flagged: int = 0
    most_answers: int = 0
    pairs: int = 0
    """Points that two observers saw."""
    kappa: str = ""
    """Nothing when no two observers saw the same."""
    near_cut: int = 0
    """Sittings within one standard error of their cut."""


@dataclass(frozen=True, slots=True)
class Finding:
    """A verdict on a requirement, and the facts that its sentence names."""

    verdict: Verdict
    facts: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Looked:
    """What is looked at: a verified record, the sources, the figures, on a day."""

    records: Path
    state: State
    workspace: Workspace
    on: date
    measured: Measured

    def facts(self, kind: type[Body]) -> Iterator[Fact[Any]]:
        """Yield every fact of a kind that is not void, in the order of entries."""
        for number, fact in sorted(self.state.by_number.items()):
            if type(fact.body) is kind and number not in self.state.voided:
                yield fact

    def decisions(self, *actions: str) -> list[Fact[Decision]]:
        """Return the decisions with one of these actions, or all."""
        return [fact for fact in self.facts(Decision) if not actions or fact.body.action in actions]

    def level(self, scheme_digest: str, number: int) -> Level | None:
        """Return a level of a scheme that was adopted."""
        return find_level(self.state.schemes.get(scheme_digest), number)

    def part(self, scheme_digest: str, number: int, part: str) -> Part | None:
        """Return a part of a level of a scheme that was adopted."""
        level = self.level(scheme_digest, number)
        return next((each for each in level.parts if each.id == part), None) if level else None


Probe: TypeAlias = Callable[[Looked], Finding]


def found(is_met: bool, **facts: object) -> Finding:
    """Return met or not met with the facts."""
    return Finding("met" if is_met else "not-met", facts)


def cannot(**facts: object) -> Finding:
    """Return that the record cannot show it, with the facts."""
    return Finding("cannot", facts)


def numbers(facts: list[Any]) -> str:
    """Return entry numbers as text: at most ten, then how many more."""
    shown = [str(fact.entry.number) for fact in facts]
    if not shown:
        return sentence("requirement.none")
    entries = ", ".join(shown[:10])
    return sentence("requirement.and_more", entries=entries, count=len(shown) - 10) if len(shown) > 10 else entries
