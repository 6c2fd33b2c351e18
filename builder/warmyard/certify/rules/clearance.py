"""Who may go out alone on a day, and for what: one pure function over what the ledger says."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from warmyard.certify.ledger.people import people_with
from warmyard.certify.ledger.schemes import adopted_scheme, level_of
from warmyard.certify.ledger.state import Record, State, View, view_of
from warmyard.certify.rules.conflict import conflicts, waiver_for
from warmyard.certify.rules.evidence import evidence_for
from warmyard.certify.rules.judge import evidence_query, standing, used_waivers
from warmyard.certify.rules.notice import changed_text, until_of
from warmyard.certify.rules.standing import Standing, grants_of
from warmyard.course.scheme_model import Scheme
from warmyard.errors import InputError
from warmyard.words import say
from warmyard.words.sentence import retold, sentence


@dataclass(frozen=True, slots=True)
class Clearance:
    """One answer of the board. `reason` is the first reason why not; `next_due` is a day and what falls due on it."""

    person: str
    activity: str
    may_go_alone: bool
    until: date | None
    reason: str
    next_due: tuple[date, str] | None

    def said(self, words: Mapping[str, str]) -> tuple[str, str | None]:
        """Return why not and what is due next, in words."""
        if self.next_due is None:
            return retold(words, self.reason), None
        day, what = self.next_due
        return retold(words, self.reason), say(words, "clearance.due", day=day, what=retold(words, what))


def as_records(answers: Sequence[Clearance], words: Mapping[str, str]) -> list[dict[str, object]]:
    """Return the answers as `warmyard clearance --json` gives them."""
    # Most answers of a person are one and the same but for the activity; the very same is told once.
    told: dict[tuple[int, int], tuple[str, str | None]] = {}
    records: list[dict[str, object]] = []
    for answer in answers:
        same = (id(answer.reason), id(answer.next_due))
        if same not in told:
            told[same] = answer.said(words)
        reason, due = told[same]
        until = answer.until.isoformat() if answer.until else None
        records.append(
            {
                "person": answer.person,
                "activity": answer.activity,
                "may_go_alone": answer.may_go_alone,
                "until": until,
                "reason": reason,
                "next_due": due,
            }
        )
    return records


@dataclass(frozen=True, slots=True, kw_only=True)
class _Day:
    """What is the same for everybody who is asked about: the record, the day, the scheme, who may decide."""

    view: View
    on: date
    scheme: Scheme
    deciders: tuple[str, ...]
    named: Mapping[str, str]
    lowest: Mapping[str, int]
    """Activity -> the lowest level that gives it."""


@dataclass(frozen=True, slots=True)
class _Leave:
    """What is answered about an activity, and about every other that the same grants and level give."""

    may_go_alone: bool
    until: date | None
    reason: str
    next_due: tuple[date, str] | None


@dataclass(frozen=True)
class _Case:
    """One person on that day. What does not hang on an activity is looked for once, however many are asked about."""

    day: _Day
    person: str
    leaves: dict[tuple[tuple[int, ...], int | None], _Leave] = field(default_factory=dict)
    """Which of the standings give an activity, and its lowest level -> the answer; filled as it is asked for."""
    undecided: dict[int, str] = field(default_factory=dict)
    """Level -> that no certificate of it is held, and why; filled as it is asked for."""

    @cached_property
    def stranger(self) -> str:
        """That nobody of this id is entered, or that the person was erased; or nothing."""
        member = self.day.view.whole.people.get(self.person)
        if member is None:
            return sentence("judge.unknown")
        return sentence("judge.erased") if member.erased else ""

    @cached_property
    def standings(self) -> list[Standing]:
        """Where each grant stands, in the order of entries; of a stranger none is looked at."""
        if self.stranger:
            return []
        day = self.day
        return [standing(day.view, grant, day.on, day.named) for grant in grants_of(day.view, self.person)]

    def holds(self, level: int) -> bool:
        """Say whether the person holds a level that day with nothing against it."""
        return any(found.grant.body.level == level and not found.why_not for found in self.standings)

    def why_none(self, level: int) -> str:
        """Return that the person holds no grant of a level, and the first reason why."""
        if level not in self.undecided:
            why = _why_undecided(self, level)
            self.undecided[level] = sentence("judge.no_certificate", level=level, why=why)
        return self.undecided[level]


def clearance_of(
    record: Record, person: str, activity: str, on: date, named: Mapping[str, str] | None = None
) -> Clearance:
    """Return whether a person may do an activity alone on a day, until when, the first reason why not, what is due.

    `named` gives names for the people in a reason. Raises InputError for an activity that the scheme does not have.
    """
    return board(record, on, people=[person], activity=activity, named=named)[0]


def _day(record: Record, on: date, named: Mapping[str, str] | None) -> _Day:
    view = view_of(record)
    _, scheme = adopted_scheme(view.whole)
    deciders = tuple(people_with(view.whole, "decider"))
    lowest: dict[str, int] = {}
    for level in scheme.levels:
        for activity in level.activities:
            lowest[activity] = min(level.level, lowest.get(activity, level.level))
    return _Day(view=view, on=on, scheme=scheme, deciders=deciders, named=named or {}, lowest=lowest)


def _clearance(case: _Case, activity: str) -> Clearance:
    level = case.day.lowest.get(activity)
    held = tuple(at for at, found in enumerate(case.standings) if activity in found.grant.body.activities)
    leave = case.leaves.get((held, level))
    if leave is None:
        leave = case.leaves[held, level] = _leave(case, [case.standings[at] for at in held], level)
    return Clearance(case.person, activity, leave.may_go_alone, leave.until, leave.reason, leave.next_due)


def _leave(case: _Case, held: list[Standing], level: int | None) -> _Leave:
    """Return the answer about what `held` grants give, and `level` is the lowest to give."""
    if case.stranger:
        return _Leave(False, None, case.stranger, None)
    day = case.day
    # Suspended at one level is suspended for the work itself, whatever another level would allow.
    stopped = [found for found in held if found.stopped and found.begins_on <= day.on <= found.until]
    if stopped:
        return _Leave(False, None, stopped[-1].why_not, _due(stopped[-1]))
    good = [found for found in held if not found.why_not]
    if good:
        best = max(good, key=lambda found: found.leave_until)
        return _Leave(True, best.leave_until, "", _due(best))
    begun = [found for found in held if found.begins_on <= day.on]
    if begun:
        latest = begun[-1]
        return _Leave(False, None, latest.why_not, _due_without_leave(latest, day.on))
    if level is None:
        return _Leave(False, None, sentence("judge.no_level"), None)
    if held:
        due = (held[0].begins_on, sentence("judge.due_begin"))
        return _Leave(False, None, held[0].why_not, due)
    return _Leave(False, None, case.why_none(level), None)


def _verify_activity(scheme: Scheme, activity: str) -> None:
    if activity not in {known.id for known in scheme.activities}:
        offered = ", ".join(known.id for known in scheme.activities)
        raise InputError(f"the scheme has no activity {activity!r}; it has {offered}")


def _due(found: Standing) -> tuple[date, str]:
    if found.notice is not None and until_of(found.notice) <= min(found.surveillance_on, found.until):
        return until_of(found.notice), sentence("judge.due_notice", changed=changed_text(found.notice.body))
    if found.surveillance_on < found.until:
        return found.surveillance_on, sentence("judge.due_surveillance")
    return found.until, sentence("judge.due_renewal")


def _due_without_leave(found: Standing, on: date) -> tuple[date, str] | None:
    if found.withdrawn is not None:
        return None
    return (found.until, sentence("judge.due_renewal")) if found.until < on else _due(found)


def candidates(state: State) -> list[str]:
    """Return everybody about whom the record says anything towards a certificate, in the order of entry."""
    kinds = {"evidence", "observation", "paper", "sitting", "decision"}
    return [
        member.id
        for member in state.people.values()
        if not member.erased and any(fact.entry.kind in kinds for fact in state.facts.get(member.id, ()))
    ]


def board(
    record: Record,
    on: date,
    *,
    people: Iterable[str] | None = None,
    activity: str | None = None,
    named: Mapping[str, str] | None = None,
) -> list[Clearance]:
    """Return the answers for every candidate (or the people named) and every activity (or the one named)."""
    day = _day(record, on, named)
    if activity is not None:
        _verify_activity(day.scheme, activity)
    activities = [activity] if activity is not None else [known.id for known in day.scheme.activities]
    cases = [_Case(day, person) for person in (people if people is not None else candidates(day.view.whole))]
    return [_clearance(case, each) for case in cases for each in activities]


def _why_undecided(case: _Case, level: int) -> str:
    """Return the first reason why a person holds no grant of a level."""
    day, person = case.day, case.person
    view, scheme, on = day.view, day.scheme, day.on
    found = evidence_for(evidence_query(view, level_of(scheme, level), person, on, case.holds), to_first=True)
    if found.missing:
        return found.missing[0]
    used = used_waivers(view, person)
    deciders = [decider for decider in day.deciders if decider != person]
    if not deciders:
        return sentence("judge.no_decider")
    for decider in deciders:
        reasons = conflicts(view, decider, person, on, scheme.conflict_months, found.counted)
        if not reasons or waiver_for(view, decider, person, level, reasons, view.count + 1, used):
            return sentence("judge.waits")
    first = conflicts(view, deciders[0], person, on, scheme.conflict_months, found.counted)[0]
    who = day.named.get(first.observer or deciders[0], first.observer or deciders[0])
    word = "judge.observer_bars" if first.observer else "judge.decider_bars"
    return sentence(word, name=who, did=first.did(sentence("judge.this_person")))
