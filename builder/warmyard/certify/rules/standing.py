"""Where a grant stands on a day: begun, suspended, withdrawn, expired, surveillance due; what any of it is, in words.

Whether a decision has force at all is not said here but by the judge, which puts a `Standing` together.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from warmyard.certify.ledger.bodies import Decision, Evidence, Notice
from warmyard.certify.ledger.schemes import find_level
from warmyard.certify.ledger.state import Fact, Record, View, view_of
from warmyard.certify.rules.dates import add_months
from warmyard.certify.rules.notice import changed_text, until_of
from warmyard.course.scheme_model import Level
from warmyard.course.scheme_shape import HELD_LEVEL, SURVEILLANCE
from warmyard.words.sentence import sentence


@dataclass(frozen=True, slots=True)
class Standing:
    """One grant on one day. `why_not` is the first reason why it gives no leave that day, or nothing."""

    grant: Fact[Decision]
    begins_on: date
    until: date
    surveillance_on: date
    """Next surveillance; never after `until`."""
    leave_until: date
    """Last day on which it gives leave as things stand: the earlier of expiry and surveillance with its grace."""
    notice: Fact[Notice] | None
    """The notice without an answer that is due first."""
    suspended: Fact[Decision] | None
    withdrawn: Fact[Decision] | None
    stopped: bool
    """True while a suspension holds that nothing with force has ended, a withdrawal included."""
    why_not: str


@dataclass(frozen=True, slots=True)
class Restrictions:
    """What was decided against a level since a grant, as it counts on a day."""

    suspended: Fact[Decision] | None = None
    withdrawn: Fact[Decision] | None = None
    stopped: bool = False
    idle_restoration: Fact[Decision] | None = None
    """A restoration that has no force, of the suspension that still holds."""


def grants_of(record: Record, person: str, level: int | None = None) -> Iterator[Fact[Decision]]:
    """Yield a person's grants in the order of entries, of one level or of all."""
    for fact in view_of(record).of(person, Decision):
        if fact.body.action == "grant" and level in (None, fact.body.level):
            yield fact


def last_withdrawal(record: Record, person: str, level: int) -> int:
    """Return the last entry by which a level was withdrawn, 0 when it never was."""
    withdrawn = [
        fact.entry.number
        for fact in view_of(record).of(person, Decision)
        if (fact.body.level, fact.body.action) == (level, "withdraw")
    ]
    return max(withdrawn, default=0)


def surveillance_due(view: View, grant: Fact[Decision], on: date) -> date:
    """Return when the next surveillance of a grant is due, never after its end."""
    begins, until = grant.entry.counts_from(restricts=False), date.fromisoformat(grant.body.until)
    if not grant.body.surveillance_months:
        return until
    last = begins
    for fact in view.of(grant.entry.person, Evidence):
        if (fact.body.what, fact.body.level) != (SURVEILLANCE, grant.body.level) or view.may_be_forged(fact.entry):
            continue
        if begins < fact.entry.counts_from(restricts=False) <= on:
            last = max(last, fact.entry.effective_on)
    try:
        return min(until, add_months(last, grant.body.surveillance_months))
    except (OverflowError, ValueError):
        return until


def levels_below(record: Record, grant: Fact[Decision]) -> list[int]:
    """Return the levels that the granted one rests on, as the scheme of the decision has it."""
    scheme = view_of(record).whole.schemes.get(grant.body.scheme)
    level = find_level(scheme, grant.body.level)
    found = [HELD_LEVEL.match(wanted.id) for wanted in level.prerequisites] if level else []
    return [int(match.group(1)) for match in found if match]


def may_renew(level: Level, until: date, on: date) -> bool:
    """Say whether a renewal's shorter list is enough on a day after or before a certificate ended."""
    wanted = level.renews_with
    return wanted is not None and on <= add_months(until, wanted.months_after)


def reason_text(record: Record, decision: Fact[Decision]) -> str:
    """Return a decision's reason in the words of its scheme."""
    scheme = view_of(record).whole.schemes.get(decision.body.scheme)
    texts = {reason.id: reason.text for reason in scheme.reasons} if scheme else {}
    return texts.get(decision.body.because, decision.body.because).rstrip(".")


def why_unread(notice: Fact[Notice] | None, on: date) -> str:
    """Return that something was to be read again and was not, or nothing."""
    if notice is None or until_of(notice) >= on:
        return ""
    return sentence("judge.unread", changed=changed_text(notice.body), day=until_of(notice))
