"""A decision that is asked for, what it would say, and why it is refused: the words between judge, act and reader."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal, TypeAlias

from warmyard.certify.ledger.bodies import Decision
from warmyard.certify.ledger.state import Fact
from warmyard.certify.rules.conflict import Conflict

Action: TypeAlias = Literal["grant", "suspend", "restore", "withdraw"]
RefusalKind: TypeAlias = Literal[
    "scheme", "reason", "suspended", "conflict", "evidence", "examination", "terms", "state"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """A decision that is asked for. `on` is the day from which a grant counts: never before `signed_on`."""

    person: str
    level: int
    action: Action
    by: str
    because: str
    on: date
    signed_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """All that a decision says that was asked for and may be made."""

    scheme: str
    """Digest of the scheme adopted last."""
    certificate: str = ""
    """The certificate that it is about; a grant gets a new one."""
    activities: tuple[str, ...] = ()
    until: date = date.min
    surveillance_months: int = 0
    grace_days: int = 0
    evidence: tuple[int, ...] = ()
    trainers: tuple[str, ...] = ()
    examiners: tuple[str, ...] = ()
    waiver: int = 0


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a decision may not be made, as `decide` says it; or why one that stands has no force."""

    kind: RefusalKind
    say: str
    conflict: Conflict | None = None
    missing: str = ""
    """The first thing that the evidence lacks."""


def asked(decision: Fact[Decision]) -> Asking:
    """Return what was asked of `decide` for a decision that stands."""
    body, entry = decision.body, decision.entry
    return Asking(
        person=entry.person, level=body.level, action=body.action, by=body.decider, because=body.because,
        on=entry.counts_from(restricts=False), signed_on=entry.recorded_at.date(),
    )  # fmt: skip
