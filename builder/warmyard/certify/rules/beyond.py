"""How a signed decision goes beyond what may be decided from its place: other evidence, more leave, other people."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from warmyard.certify.ledger.bodies import Decision, Observation, Sitting
from warmyard.certify.ledger.schemes import find_level
from warmyard.certify.ledger.state import Fact, View
from warmyard.certify.rules.asking import Refusal, Terms
from warmyard.certify.rules.dates import last_day
from warmyard.certify.rules.standing import last_withdrawal, may_renew
from warmyard.course.scheme_model import Part
from warmyard.words.sentence import named, sentence

NO_PLACE = 0
"""In the status lists no card stands there: nobody would find it when it is suspended."""


def beyond(place: View, decision: Fact[Decision], terms: Terms, since: int) -> Refusal | None:
    """Return how a decision says something else than what may be decided, or None.

    `since` is the entry that had used examinations up.
    """
    body = decision.body
    if body.scheme != terms.scheme:
        return Refusal("scheme", sentence("judge.other_scheme"))
    if body.action != "grant":
        if decision.entry.format == 1 or body.waiver == terms.waiver:
            return None
        return Refusal("terms", sentence("judge.waiver_unnamed"))
    if set(body.activities) != set(terms.activities) or body.until != terms.until.isoformat():
        return Refusal("terms", sentence("judge.gives_less"))
    if tuple(sorted(set(body.evidence))) != terms.evidence:
        other = Refusal("evidence", sentence("judge.other_evidence"))
        return wrong_evidence(place, decision, since) or other
    if (body.trainers, body.examiners, body.waiver) != (terms.trainers, terms.examiners, terms.waiver):
        return Refusal("terms", sentence("judge.other_people"))
    return Refusal("terms", sentence("judge.no_place")) if body.index == NO_PLACE else None


def beyond_scheme(place: View, decision: Fact[Decision]) -> Refusal | None:
    """Return that a grant gives more than the scheme that it names, whatever it rests on, or None."""
    body = decision.body
    scheme = place.whole.schemes.get(body.scheme)
    if scheme is None or body.action != "grant":
        return None
    level = find_level(scheme, body.level)
    if level is None:
        return Refusal("scheme", sentence("judge.scheme_without_level", level=body.level))
    longest = last_day(decision.entry.counts_from(restricts=False), level.valid_months)
    asked = (level.surveillance.every_months, level.surveillance.grace_days)
    if (
        not set(body.activities) <= set(level.activities)
        or date.fromisoformat(body.until) > longest
        or (body.surveillance_months, body.grace_days) != asked
    ):
        return Refusal("terms", sentence("judge.gives_more"))
    return None


def lacking_part(parts: Iterable[Part], facts: Iterable[Fact[Any]]) -> str:
    """Return the first paper or station of some parts that is not among what was passed, or nothing."""
    bodies = [fact.body for fact in facts]
    passed = {body.part for body in bodies if isinstance(body, Sitting) and body.passed}
    seen = {body.station for body in bodies if isinstance(body, Observation) and body.passed}
    for part in parts:
        if part.kind == "paper" and part.id not in passed:
            return part.title
        for station in part.stations:
            if station not in seen:
                return sentence("judge.station", station=named("station", station))
    return ""


def rests_on_less(lacking: str) -> str:
    """Return, as a reader is told, that a decision rests on less than it should."""
    return sentence("judge.rests_on_less", lacking=lacking)


def wrong_evidence(place: View, decision: Fact[Decision], since: int) -> Refusal | None:
    """Return what is wrong with an entry that a grant names as evidence, or None."""
    body, entry = decision.body, decision.entry
    facts = [place.whole.by_number[number] for number in sorted(set(body.evidence))]
    if any((fact.entry.person, getattr(fact.body, "level", 0)) != (entry.person, body.level) for fact in facts):
        return Refusal("evidence", sentence("judge.evidence_of_another"))
    examined = [fact for fact in facts if isinstance(fact.body, Sitting | Observation)]
    if any(_out_since(place, fact) <= since for fact in examined):
        return Refusal("examination", sentence("judge.examination_used_up", entry=since))
    return None


def _out_since(place: View, fact: Fact[Sitting | Observation]) -> int:
    """Return the entry since which an examination was out: that of the paper, or the observation itself."""
    body = fact.body
    return place.whole.papers[body.paper].entry.number if isinstance(body, Sitting) else fact.entry.number


def why_no_renewal(view: View, decision: Fact[Decision], earlier: Sequence[Fact[Decision]]) -> str:
    """Return that a renewal rests on a shorter list than it may, since the certificate before it has no force now."""
    body, entry = decision.body, decision.entry
    level = find_level(view.whole.schemes.get(body.scheme), body.level)
    if level is None or body.action != "grant":
        return ""
    withdrawn = last_withdrawal(view.before(entry.number), entry.person, body.level)
    last = earlier[-1] if earlier and earlier[-1].entry.number > withdrawn else None
    begins = entry.counts_from(restricts=False)
    in_time = last is not None and may_renew(level, date.fromisoformat(last.body.until), begins)
    lacking = "" if in_time else lacking_part(level.parts, [view.whole.by_number[number] for number in body.evidence])
    return rests_on_less(lacking) if lacking else ""
