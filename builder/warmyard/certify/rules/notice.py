"""Notices "must read again": a lesson, sheet or rule has changed; who is touched, by when, and who has answered.

Touched is whoever holds a level that the notice names, under a grant from before the notice. Who has not answered by
its day goes out alone no longer, until the answer is entered. A notice that was made void touches nobody.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from warmyard.certify.ledger.bodies import Acknowledgement, Decision, Notice
from warmyard.certify.ledger.state import Fact, Record, State, view_of
from warmyard.words.sentence import named, sentence

CHANGED = ("lesson", "sheet", "rule")
"""What a notice is about."""


@dataclass(frozen=True, slots=True)
class Touched:
    """One person whom a notice touches, and the day from which the answer counts; None when there is none."""

    notice: Fact[Notice]
    person: str
    answered_on: date | None


def changed_text(notice: Notice) -> str:
    """Return what is to be read again, in words: `the lesson fuel`."""
    kind, _, name = notice.changed.partition(":")
    word = f"judge.changed_{kind if kind in CHANGED else 'other'}"
    return sentence(word, name=named(kind, name)) if kind in CHANGED else sentence(word, kind=kind, name=name)


def until_of(notice: Fact[Notice]) -> date:
    """Return the last day for an answer."""
    return date.fromisoformat(notice.body.until)


def answered_on(record: Record, notice: Fact[Notice], person: str) -> date | None:
    """Return the day from which a person's answer counts, or None."""
    days = [
        fact.entry.counts_from(restricts=False)
        for fact in view_of(record).of(person, Acknowledgement)
        if fact.body.notice == notice.body.notice and not view_of(record).may_be_forged(fact.entry)
    ]
    return min(days, default=None)


def unanswered(record: Record, grant: Fact[Decision], on: date) -> Iterator[Fact[Notice]]:
    """Yield the notices that touch a grant and have no answer on a day, the one due first first."""
    person, level = grant.entry.person, grant.body.level
    for notice in sorted(view_of(record).notices(), key=until_of):
        if level not in notice.body.levels or notice.entry.number < grant.entry.number:
            continue
        answered = answered_on(record, notice, person)
        if notice.entry.counts_from(restricts=False) <= on and (answered is None or answered > on):
            yield notice


def touched_by(state: State, notice: Fact[Notice], on: date) -> list[Touched]:
    """Return everybody whom a notice touches, answered or not, whose certificate has not ended by a day."""
    found: dict[str, Touched] = {}
    for grant in state.grants.values():
        person = grant.entry.person
        ended = state.people[person].erased or date.fromisoformat(grant.body.until) < on
        withdrawn = any(
            fact.body.action == "withdraw" and fact.body.certificate == grant.body.certificate
            for fact in state.of(person, Decision)
        )
        if ended or withdrawn or grant.body.level not in notice.body.levels:
            continue
        if grant.entry.number < notice.entry.number:
            found[person] = Touched(notice, person, answered_on(state, notice, person))
    return [found[person] for person in sorted(found)]
