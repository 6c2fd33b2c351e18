"""The scheme's rule for another try: issuing a paper is an attempt, a fail means a wait, a pass ends the series."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from warmyard.certify.ledger.bodies import Paper, Sitting
from warmyard.certify.ledger.state import Fact, State
from warmyard.certify.rules.dates import add_months
from warmyard.course.scheme_model import ReSit
from warmyard.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """The papers of one person for one part of one level, and the sittings of them, in the order of entries."""

    papers: Sequence[Fact[Paper]]
    sittings: Sequence[Fact[Sitting]]


def history_of(state: State, person: str, level: int, part: str) -> History:
    """Return what a person was given and has sat; a sitting that was made void does not count, its paper does."""

    def is_ours(fact: Fact[Paper] | Fact[Sitting]) -> bool:
        return fact.body.level == level and fact.body.part == part

    papers = [fact for fact in state.of(person, Paper) if is_ours(fact)]
    sittings = [fact for fact in state.of(person, Sitting) if is_ours(fact)]
    return History(papers=papers, sittings=sittings)


def verify_re_sit(rule: ReSit, history: History, today: date) -> None:
    """Raise InputError, with the day from which it is allowed, when the scheme does not allow another paper today.

    A paper counts from its issue, so that nobody may look at several and hand in the best. The series begins anew
    after a pass. The wait counts from the day on which a sitting that failed was marked.
    """
    passed = [fact.entry.number for fact in history.sittings if fact.body.passed]
    last_pass = passed[-1] if passed else 0
    series = [fact.entry.recorded_at.date() for fact in history.papers if fact.entry.number > last_pass]
    within = [day for day in series if add_months(day, rule.within_months) > today]
    if len(within) >= rule.attempts:
        free = add_months(within[-rule.attempts], rule.within_months)
        raise InputError(
            f"the scheme allows {rule.attempts} papers in {rule.within_months} months and {len(within)} were issued; "
            f"the next may be issued on {free.isoformat()}. {rule.text}"
        )
    failed = [fact.entry.recorded_at.date() for fact in history.sittings if not fact.body.passed]
    if failed and history.sittings[-1].body.passed is False:
        free = failed[-1] + timedelta(days=rule.wait_days)
        if today < free:
            raise InputError(
                f"the last sitting, marked on {failed[-1].isoformat()}, was not passed; the scheme asks for "
                f"{rule.wait_days} days in between, so the next paper may be issued on {free.isoformat()}. {rule.text}"
            )
