"""The one judge: what a decision needs, whether one that stands has force, and where a grant stands on a day.

`decide` asks `judge` before it signs. A decision that is read is put to the same question from its own place in the
ledger, with what was known there (`refusal_of`), so that a decider's own tool gives no more than `decide` would: what
it would have refused takes leave away at most. Only what comes to light afterwards is looked at from now: a stolen key,
an entry made void, an interest declared late.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

from warmyard.certify.ledger.bodies import Decision
from warmyard.certify.ledger.schemes import find_level, no_such_level, not_adopted
from warmyard.certify.ledger.state import Fact, Record, View, view_of
from warmyard.certify.rules.asking import Asking, Refusal, Terms, asked
from warmyard.certify.rules.beyond import beyond, beyond_scheme, rests_on_less, why_no_renewal, wrong_evidence
from warmyard.certify.rules.by_format import STRICTNESS, TODAY, Strictness
from warmyard.certify.rules.conflict import Conflict, conflict_said, conflicts, conflicts_of, waiver_for
from warmyard.certify.rules.dates import last_day
from warmyard.certify.rules.evidence import EvidenceFound, EvidenceQuery, evidence_for, lacking_in, people_behind
from warmyard.certify.rules.notice import unanswered, until_of
from warmyard.certify.rules.standing import (
    Restrictions,
    Standing,
    grants_of,
    last_withdrawal,
    levels_below,
    may_renew,
    reason_text,
    surveillance_due,
    why_unread,
)
from warmyard.course.scheme_model import Level, Part, Scheme, renewal_parts
from warmyard.words.sentence import sentence

# ---- What is there for a level -----------------------------------------------------------------------------------


def evidence_on(record: Record, level: Level, person: str, on: date) -> EvidenceFound:
    """Return what counts for a person and level on a day."""
    view = view_of(record)
    return evidence_for(evidence_query(view, level, person, on, lambda number: holds_level(view, person, number, on)))


def evidence_query(view: View, level: Level, person: str, on: date, holds: Callable[[int], bool]) -> EvidenceQuery:
    """Return what is asked about a person and level on a day, for whom knows which other levels the person holds."""
    return EvidenceQuery(
        view=view, person=person, level=level, parts=lambda: parts_to_pass(view, person, level, on),
        since=lambda: used_up_by(view, person, level.level), on=on, holds=holds,
    )  # fmt: skip


def parts_to_pass(record: Record, person: str, level: Level, on: date) -> list[Part]:
    """Return what a person must sit and show for a level: for a renewal in time the scheme may ask for less."""
    view = view_of(record)
    grants = grants_with_force(view, person, level.level)
    last = standing(view, grants[-1], on) if grants else None
    if last is None or last.withdrawn is not None or last.begins_on > on or not may_renew(level, last.until, on):
        return list(level.parts)
    return renewal_parts(level)


def used_up_by(record: Record, person: str, level: int) -> int:
    """Return the last entry that used the examinations before it up: a grant with force, or a withdrawal."""
    granted = (grant.entry.number for grant in grants_with_force(record, person, level))
    return max([last_withdrawal(record, person, level), *granted])


def holds_level(record: Record, person: str, level: int, on: date) -> bool:
    """Say whether a person holds a level on a day with nothing against it."""
    return any(not standing(record, grant, on).why_not for grant in grants_of(record, person, level))


def grants_with_force(record: Record, person: str, level: int) -> list[Fact[Decision]]:
    """Return the grants of a level that need not be decided again.

    One without force, signed with a stolen key for example, uses no evidence up.
    """
    view, found = view_of(record), list[Fact[Decision]]()
    for grant in grants_of(view, person, level):
        if has_force(view, grant, found):
            found.append(grant)
    return found


def has_force(record: Record, decision: Fact[Decision], earlier: Sequence[Fact[Decision]] | None = None) -> bool:
    """Say whether a decision of any kind would be made by `decide` from its place, and nothing took its force since.

    `earlier` are the grants of the level before it that have force, where they are known already.
    """
    view = view_of(record)
    key = (view.count, decision.entry.number, view.strict)
    if key not in view.whole.forces:
        why = why_no_force(view, decision) if earlier is None else _why_no_force(view, decision, earlier, {})
        view.whole.forces[key] = not why
    return view.whole.forces[key]


def used_waivers(record: Record, person: str, strictness: Strictness = TODAY) -> frozenset[int]:
    """Return the waivers about a person that serve no more, since a decision rested on them."""
    if not strictness.waiver_for_one_decision:
        return frozenset()
    view = view_of(record)
    return frozenset(_waiver_behind(view, fact) for fact in view.of(person, Decision))


def _waiver_behind(view: View, decision: Fact[Decision]) -> int:
    """Return the waiver that a decision rests on; restorations of the first format did not name theirs."""
    body = decision.body
    if body.waiver or body.action != "restore" or decision.entry.format > 1:
        return body.waiver
    found = judge(view.before(decision.entry.number), asked(decision), STRICTNESS[decision.entry.format])
    return found.waiver if isinstance(found, Terms) else 0


# ---- A decision that is asked for --------------------------------------------------------------------------------


def judge(record: Record, ask: Asking, strictness: Strictness = TODAY) -> Terms | Refusal:
    """Return what a decision says that may be made, or why it may not."""
    view = view_of(record)
    adopted, scheme = view.adopted(), view.scheme_now()
    if adopted is None or scheme is None:
        return Refusal("scheme", not_adopted())
    codes = [reason.id for reason in scheme.reasons if reason.action == ask.action]
    if ask.because not in codes:
        what = sentence(f"judge.no_reason_{ask.action}", because=repr(ask.because), offered=", ".join(codes))
        return Refusal("reason", what)
    digest = adopted.body.digest
    if ask.action == "grant":
        return _judge_grant(view, scheme, digest, ask, strictness)
    return _judge_about_grant(view, scheme, digest, ask, strictness)


def _judge_grant(view: View, scheme: Scheme, digest: str, ask: Asking, strictness: Strictness) -> Terms | Refusal:
    level = find_level(scheme, ask.level)
    if level is None:
        return Refusal("scheme", no_such_level(ask.level, (level.level for level in scheme.levels)))
    held = list(grants_of(view, ask.person, ask.level))
    if held and any(standing(view, grant, ask.on).stopped for grant in held):
        return Refusal("suspended", sentence("judge.is_suspended", level=ask.level, person=ask.person))
    found = evidence_on(view, level, ask.person, ask.on)
    waiver = _waiver(view, scheme, ask, strictness, found.counted)
    if isinstance(waiver, Refusal):
        return waiver
    if found.missing:
        first, more = found.missing[0], len(found.missing) - 1
        what = sentence("judge.cannot_be_granted", person=ask.person, level=ask.level, missing=first)
        if more:
            what = sentence("judge.and_more", said=what, count=more)
        return Refusal("evidence", what, missing=lacking_in(first))
    trainers, examiners = people_behind(view, ask.person, found.counted)
    return Terms(
        scheme=digest, activities=level.activities, until=last_day(ask.on, level.valid_months),
        surveillance_months=level.surveillance.every_months, grace_days=level.surveillance.grace_days,
        evidence=found.counted, trainers=trainers, examiners=examiners, waiver=waiver,
    )  # fmt: skip


def _judge_about_grant(view: View, scheme: Scheme, digest: str, ask: Asking, strictness: Strictness) -> Terms | Refusal:
    # Of a level that the scheme has no more, certificates are still out there.
    grants = grants_with_force(view, ask.person, ask.level) or list(grants_of(view, ask.person, ask.level))
    if not grants:
        return Refusal("state", sentence(f"judge.nothing_to_{ask.action}", person=ask.person, level=ask.level))
    why = _why_no_change(view, grants[-1], ask)
    lifts = ask.action == "restore" or (
        ask.action == "withdraw" and strictness.conflict_in_withdrawal and standing(view, grants[-1], ask.on).stopped
    )
    waiver = _waiver(view, scheme, ask, strictness) if lifts else 0
    if isinstance(waiver, Refusal):
        return waiver
    if why:
        return Refusal("state", why)
    return Terms(scheme=digest, certificate=grants[-1].body.certificate, waiver=waiver)


def _why_no_change(view: View, grant: Fact[Decision], ask: Asking) -> str:
    """Return why a certificate cannot be suspended, restored or withdrawn as it stands, or nothing."""
    found = standing(view, grant, ask.on)
    if found.withdrawn is not None:
        return sentence("judge.withdrawn_already", level=ask.level)
    # A restoration of a day to come ends this suspension; what came up since needs one of its own.
    if ask.action == "suspend" and standing(view, grant, date.max).suspended is not None:
        return sentence("judge.suspended_already")
    if ask.action == "restore" and found.suspended is None:
        return sentence("judge.not_suspended")
    if ask.action == "suspend" and found.until < ask.on:
        return sentence("judge.expired_already", day=found.until)
    return ""


def _waiver(
    view: View, scheme: Scheme, ask: Asking, strictness: Strictness, evidence: tuple[int, ...] = ()
) -> int | Refusal:
    """Return the entry of the waiver that a decision needs, 0 when it needs none; a refusal without it."""
    found = conflicts(view, ask.by, ask.person, ask.on, scheme.conflict_months, evidence)
    if strictness.conflict_when_signed and ask.signed_on != ask.on:
        found += conflicts(view, ask.by, ask.person, ask.signed_on, scheme.conflict_months, evidence)
    if not found:
        return 0
    used_up = used_waivers(view, ask.person, strictness)
    waiver = waiver_for(view, ask.by, ask.person, ask.level, found, view.count + 1, used_up)
    if waiver is not None:
        return waiver.entry.number
    first = found[0]
    did = first.did(ask.person)
    what = (
        sentence("judge.observer_in_conflict", observer=first.observer, person=ask.person, did=did, entry=first.entry)
        if first.observer
        else sentence("judge.decider_in_conflict", decider=ask.by, did=did, entry=first.entry)
    )
    return Refusal("conflict", what, first)


# ---- A decision that stands --------------------------------------------------------------------------------------


def refusal_of(record: Record, decision: Fact[Decision]) -> Refusal | None:
    """Return why `decide` would not have made a decision from its place in the ledger, or None when it would."""
    view = view_of(record)
    known = view.whole.at_their_places
    key = (decision.entry.number, view.strict)
    if key not in known:
        known[key] = _refusal_at(view.before(decision.entry.number), decision)
    found: Refusal | None = known[key]
    return found


def _refusal_at(place: View, decision: Fact[Decision]) -> Refusal | None:
    body, entry = decision.body, decision.entry
    strictness = TODAY if place.strict else STRICTNESS[entry.format]
    found = judge(place, asked(decision), strictness)
    since = used_up_by(place, entry.person, body.level)
    gives_more = beyond_scheme(place, decision)
    if gives_more:
        return gives_more
    if isinstance(found, Terms):
        return beyond(place, decision, found, since)
    if found.kind == "evidence":
        return wrong_evidence(place, decision, since) or found
    return found


def why_no_force(record: Record, decision: Fact[Decision], named: Mapping[str, str] | None = None) -> str:
    """Return why a grant or restoration has no force although it was signed, or nothing."""
    view, entry, earlier = view_of(record), decision.entry, list[Fact[Decision]]()
    if decision.body.action == "grant":
        with_force = grants_with_force(view, entry.person, decision.body.level)
        if any(grant is decision for grant in with_force):
            return ""
        earlier = [grant for grant in with_force if grant.entry.number < entry.number]
    return _why_no_force(view, decision, earlier, named or {})


def _why_no_force(
    view: View, decision: Fact[Decision], earlier: Sequence[Fact[Decision]], named: Mapping[str, str]
) -> str:
    """`earlier` are the grants of the level before this decision that have force."""
    lost = _why_lost(view, decision, named)
    if lost:
        return lost
    refused = refusal_of(view, decision)
    if refused is None:
        return why_no_renewal(view, decision, earlier)
    if refused.kind == "conflict" and refused.conflict is not None:
        return conflict_said(decision, refused.conflict, named)
    if refused.missing:
        return rests_on_less(refused.missing)
    if refused.kind in ("scheme", "terms", "evidence", "examination"):
        return sentence("judge.decide_again", refused=refused.say)
    return sentence("judge.would_be_refused", refused=refused.say)


def _why_lost(view: View, decision: Fact[Decision], named: Mapping[str, str]) -> str:
    """Return what came to light since a decision was made and takes its force, or nothing."""
    body, entry = decision.body, decision.entry
    if view.may_be_forged(entry):
        return sentence("judge.forged_decision")
    facts = [view.whole.by_number[number].entry for number in body.evidence]
    forged = next((fact.number for fact in facts if view.may_be_forged(fact)), 0)
    if forged:
        return sentence("judge.forged_evidence", entry=forged)
    void = next((number for number in body.evidence if view.is_void(number)), 0)
    if void:
        return sentence("judge.void_evidence", entry=void)
    conflict = open_conflict(view, decision)
    return conflict_said(decision, conflict, named) if conflict else ""


def open_conflict(record: Record, decision: Fact[Decision]) -> Conflict | None:
    """Return the first conflict of interest of a grant or restoration that no waiver covers, or None.

    Those that came to light later are looked at too.
    """
    body, entry, view = decision.body, decision.entry, view_of(record)
    if body.action not in ("grant", "restore"):
        return None
    scheme = view.whole.schemes.get(body.scheme)
    found = conflicts_of(view, decision, scheme.conflict_months if scheme else 24)
    strictness = TODAY if view.strict else STRICTNESS[entry.format]
    used_up = used_waivers(view.before(entry.number), entry.person, strictness)
    waived = waiver_for(view, body.decider, entry.person, body.level, found, entry.number, used_up)
    return found[0] if found and not waived else None


# ---- Where a grant stands ----------------------------------------------------------------------------------------


def standing(record: Record, grant: Fact[Decision], on: date, named: Mapping[str, str] | None = None) -> Standing:
    """Return where a grant stands on a day. A grant or restoration counts from the later of its recorded and
    effective dates, a suspension or withdrawal from the earlier."""
    view, until = view_of(record), date.fromisoformat(grant.body.until)
    against = restrictions(view, grant, grant.body.level, on)
    due = surveillance_due(view, grant, on)
    deadline = min(until, due + min(timedelta(days=grant.body.grace_days), until - due)) if due < until else until
    notice = next(unanswered(view, grant, on), None)
    made = Standing(
        grant=grant, begins_on=grant.entry.counts_from(restricts=False), until=until, surveillance_on=due,
        notice=notice, suspended=against.suspended, withdrawn=against.withdrawn, stopped=against.stopped,
        leave_until=min(deadline, until_of(notice)) if notice else deadline, why_not="",
    )  # fmt: skip
    return replace(made, why_not=_why_not(view, made, against, deadline, on, named or {}))


def restrictions(record: Record, grant: Fact[Decision], level: int, on: date) -> Restrictions:
    """Return what was decided against a level of the grant's holder since the grant, as it counts on a day.

    Whatever takes leave away counts, whoever signed it; only what has force ends a suspension.
    """
    view, found = view_of(record), Restrictions()
    for fact in view.of(grant.entry.person, Decision):
        # A restriction is about the person's level: an earlier certificate in the drawer gives no way round it.
        action = fact.body.action
        if fact.body.level != level or fact.entry.number < grant.entry.number or action == "grant":
            continue
        if fact.entry.counts_from(restricts=action != "restore") > on:
            continue
        if action == "suspend":
            found = replace(found, suspended=fact, stopped=True, idle_restoration=None)
        elif not has_force(view, fact):
            # A thief, or a decider's own tool, may take leave away, which harms nobody for long, but never give it.
            idle = fact if action == "restore" and found.suspended else None
            withdrawn = fact if action == "withdraw" else found.withdrawn
            found = replace(found, withdrawn=withdrawn, idle_restoration=idle)
        elif action == "restore":
            found = replace(found, suspended=None, stopped=False, idle_restoration=None)
        else:
            found = replace(found, withdrawn=fact, stopped=False)
    return found


def _why_not(
    view: View, made: Standing, against: Restrictions, deadline: date, on: date, named: Mapping[str, str]
) -> str:
    if made.begins_on > on:
        return sentence("judge.begins", day=made.begins_on)
    if made.withdrawn is not None:
        day = made.withdrawn.entry.counts_from(restricts=True)
        return sentence("judge.withdrawn", day=day, reason=reason_text(view, made.withdrawn))
    if made.suspended is not None:
        day = made.suspended.entry.counts_from(restricts=True)
        idle, reason = against.idle_restoration, reason_text(view, made.suspended)
        if idle is None:
            return sentence("judge.suspended", day=day, reason=reason)
        why = why_no_force(view, idle, named)
        return sentence("judge.suspended_idle", day=day, reason=reason, entry=idle.entry.number, why=why)
    if made.until < on:
        return sentence("judge.expired", day=made.until)
    unsound = why_no_force(view, made.grant, named)
    if unsound:
        return unsound
    if deadline < on:
        return sentence("judge.surveillance_missed", day=made.surveillance_on)
    return why_unread(made.notice, on) or _why_below(view, made.grant, on, named)


def _why_below(view: View, grant: Fact[Decision], on: date, named: Mapping[str, str]) -> str:
    """Return why a lower level, on which the granted one rests, was taken away; that it ended in time is no reason.

    Taken away since this grant: a new grant of the lower level does not bring the higher one back by itself.
    """
    for number in levels_below(view, grant):
        against = restrictions(view, grant, number, on)
        for fact, what in ((against.withdrawn, "withdrawn"), (against.suspended, "suspended")):
            if fact is not None:
                day = fact.entry.counts_from(restricts=True)
                return sentence(f"judge.below_{what}", level=number, day=day, reason=reason_text(view, fact))
        below = list(grants_of(view, grant.entry.person, number))
        unsound = [why_no_force(view, each, named) for each in below]
        if below and all(unsound):
            return sentence("judge.below_without_force", level=number, why=unsound[-1])
    return ""
