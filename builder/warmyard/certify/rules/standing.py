"""Where a grant stands on a day: begun, suspended, withdrawn, expired, surveillance due, or unsound."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from warmyard.certify.ledger.bodies import Decision, Evidence, Notice
from warmyard.certify.ledger.state import Fact, State
from warmyard.certify.rules.conflict import conflicts_of, waiver_for
from warmyard.certify.rules.dates import add_months
from warmyard.certify.rules.grounds import why_beyond
from warmyard.certify.rules.notice import changed_text, unanswered, until_of
from warmyard.course.scheme_shape import HELD_LEVEL, SURVEILLANCE


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
    why_not: str


def grants_of(state: State, person: str) -> Iterator[Fact[Decision]]:
    """Yield a person's grants in the order of entries."""
    return (fact for fact in state.of(person, Decision) if fact.body.action == "grant")


def standing(state: State, grant: Fact[Decision], on: date, named: Mapping[str, str] | None = None) -> Standing:
    """Return where a grant stands on a day. A grant or restoration counts from the later of its recorded and
    effective dates, a suspension or withdrawal from the earlier."""
    body = grant.body
    begins = grant.entry.counts_from(restricts=False)
    until = date.fromisoformat(body.until)
    suspended, withdrawn = _restrictions(state, grant, body.level, on)
    due = _surveillance_due(state, grant, begins, until, on)
    deadline = min(until, due + timedelta(days=body.grace_days)) if due < until else until
    notice = next(unanswered(state, grant, on), None)
    return Standing(
        grant=grant, begins_on=begins, until=until, surveillance_on=due, notice=notice, suspended=suspended,
        withdrawn=withdrawn, leave_until=min(deadline, until_of(notice)) if notice else deadline,
        why_not=_why_not(state, grant, begins, until, due, deadline, suspended, withdrawn, on, named or {})
        or _why_unread(notice, on)
        or _why_below(state, grant, on, named or {}),
    )  # fmt: skip


def _restrictions(
    state: State, grant: Fact[Decision], level: int, on: date
) -> tuple[Fact[Decision] | None, Fact[Decision] | None]:
    """Return what was decided against a level of the grant's holder since the grant, as it counts on a day."""
    suspended: Fact[Decision] | None = None
    withdrawn: Fact[Decision] | None = None
    for fact in state.of(grant.entry.person, Decision):
        # A restriction is about the person's level: an earlier certificate in the drawer gives no way round it.
        if fact.body.level != level or fact.entry.number < grant.entry.number or fact.body.action == "grant":
            continue
        if fact.entry.counts_from(restricts=fact.body.action != "restore") > on:
            continue
        if fact.body.action == "suspend":
            suspended = fact
        elif fact.body.action == "restore":
            # A thief may take leave away, which harms nobody for long, but never give it back.
            suspended = suspended if state.may_be_forged(fact.entry) else None
        elif fact.body.action == "withdraw":
            withdrawn = fact
    return suspended, withdrawn


def _surveillance_due(state: State, grant: Fact[Decision], begins: date, until: date, on: date) -> date:
    months = grant.body.surveillance_months
    if not months:
        return until
    last = begins
    for fact in state.of(grant.entry.person, Evidence):
        counted = fact.entry.counts_from(restricts=False)
        if state.may_be_forged(fact.entry):
            continue
        if fact.body.what == SURVEILLANCE and fact.body.level == grant.body.level and begins < counted <= on:
            last = max(last, fact.entry.effective_on)
    return min(until, add_months(last, months))


def _why_not(
    state: State,
    grant: Fact[Decision],
    begins: date,
    until: date,
    due: date,
    deadline: date,
    suspended: Fact[Decision] | None,
    withdrawn: Fact[Decision] | None,
    on: date,
    named: Mapping[str, str],
) -> str:
    if begins > on:
        return f"the certificate begins on {begins}"
    if withdrawn is not None:
        return f"withdrawn on {withdrawn.entry.counts_from(restricts=True)}: {_because(state, withdrawn)}"
    if suspended is not None:
        return f"suspended on {suspended.entry.counts_from(restricts=True)}: {_because(state, suspended)}"
    if until < on:
        return f"expired on {until}"
    unsound = why_unsound(state, grant, named)
    if unsound:
        return unsound
    return f"surveillance was due on {due} and is not recorded" if deadline < on else ""


def _why_unread(notice: Fact[Notice] | None, on: date) -> str:
    if notice is None or until_of(notice) >= on:
        return ""
    return f"{changed_text(notice.body)} was to be read again by {until_of(notice)} and no answer is recorded"


def _why_below(state: State, grant: Fact[Decision], on: date, named: Mapping[str, str]) -> str:
    """Return why a lower level, on which the granted one rests, was taken away; that it ended in time is no reason.

    Taken away since this grant: a new grant of the lower level does not bring the higher one back by itself.
    """
    scheme = state.schemes.get(grant.body.scheme)
    levels = [level for level in scheme.levels if level.level == grant.body.level] if scheme else []
    found = [HELD_LEVEL.match(wanted.id) for level in levels for wanted in level.prerequisites]
    for number in [int(match.group(1)) for match in found if match]:
        suspended, withdrawn = _restrictions(state, grant, number, on)
        for fact, what in ((withdrawn, "withdrawn"), (suspended, "suspended")):
            if fact is not None:
                day = fact.entry.counts_from(restricts=True)
                return f"level {number}, on which this level rests, was {what} on {day}: {_because(state, fact)}"
        below = [each for each in grants_of(state, grant.entry.person) if each.body.level == number]
        unsound = [why_unsound(state, each, named) for each in below]
        if below and all(unsound):
            return f"level {number}, on which this level rests, has no force: {unsound[-1]}"
    return ""


def _because(state: State, decision: Fact[Decision]) -> str:
    scheme = state.schemes.get(decision.body.scheme)
    texts = {reason.id: reason.text for reason in scheme.reasons} if scheme else {}
    return texts.get(decision.body.because, decision.body.because).rstrip(".")


def why_unsound(state: State, grant: Fact[Decision], named: Mapping[str, str]) -> str:
    """Return why a grant has no force although it was signed: conflict, stolen key, evidence made void, or more than
    its scheme gives; or nothing."""
    before = with_force(state, grant.entry.person, grant.body.level, grant.entry.number)
    return _why_faulty(state, grant, named) or _why_beyond(state, grant, before)


def _why_beyond(state: State, grant: Fact[Decision], before: Sequence[Fact[Decision]]) -> str:
    scheme = state.schemes.get(grant.body.scheme)
    return why_beyond(state, grant, scheme, before) if scheme else ""


def with_force(state: State, person: str, level: int, before: int) -> list[Fact[Decision]]:
    """Return the grants of a level before an entry that need not be decided again; each is judged by those before it.

    One without force, signed with a stolen key for example, uses no evidence up.
    """
    found: list[Fact[Decision]] = []
    for each in grants_of(state, person):
        if each.body.level != level or each.entry.number >= before:
            continue
        if not _why_faulty(state, each, {}) and not _why_beyond(state, each, found):
            found.append(each)
    return found


def _why_faulty(state: State, grant: Fact[Decision], named: Mapping[str, str]) -> str:
    body, entry = grant.body, grant.entry
    decider = named.get(body.decider, body.decider)
    if state.may_be_forged(entry):
        return "the decision was signed with a key that was reported stolen; it must be decided again"
    forged = next((number for number in body.evidence if state.may_be_forged(state.by_number[number].entry)), 0)
    if forged:
        return f"evidence (entry {forged}) was signed with a key that was reported stolen; it must be entered again"
    void = next((number for number in body.evidence if number in state.voided), 0)
    if void:
        return f"evidence that the decision rests on (entry {void}) was made void; it must be decided again"
    scheme = state.schemes.get(body.scheme)
    found = conflicts_of(state, grant, scheme.conflict_months if scheme else 24)
    if found and waiver_for(state, body.decider, entry.person, body.level, found, entry.number) is None:
        first = found[0]
        if first.observer:
            observer = named.get(first.observer, first.observer)
            return f"an observer, {observer}, {first.did('this person')}; let another observe, and decide again"
        return f"the decider, {decider}, {first.did('this person')}; another decider must decide"
    return ""
