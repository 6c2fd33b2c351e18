"""Which evidence a level needs, what is there on a day, and what is missing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from warmyard.certify.ledger.adoption import level_of
from warmyard.certify.ledger.bodies import Evidence, Irregularity, Observation, Paper, Sitting
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.people import people_with
from warmyard.certify.ledger.state import Fact, State
from warmyard.certify.rules.conflict import conflicts, waiver_for
from warmyard.certify.rules.dates import add_months
from warmyard.certify.rules.grounds import last_withdrawal, may_renew
from warmyard.certify.rules.standing import grants_of, standing, with_force
from warmyard.course.model import Cut, Level, Part, Prerequisite, Scheme
from warmyard.course.scheme import renewal_parts
from warmyard.course.scheme_shape import HELD_LEVEL


@dataclass(frozen=True, slots=True)
class Assessment:
    """What there is for a person and level on a day: the entries that count, what is missing, what to look at."""

    evidence: tuple[int, ...]
    missing: tuple[str, ...]
    """Sentences, in the order of the scheme; empty when everything is there."""
    notes: tuple[str, ...]
    """What the decider should look at although it stops nothing."""


def assess(state: State, scheme: Scheme, person: str, level_number: int, on: date) -> Assessment:
    """Return the assessment of a person for a level on a day, from facts that count by then.

    Papers and stations must be younger than the last grant or withdrawal of that level; prerequisites stay.
    """
    level = level_of(scheme, level_number)
    since = _since(state, person, level_number)
    evidence, missing = prerequisites_met(state, level, person, on)
    for part in parts_to_pass(state, person, level, on):
        check = _assess_paper if part.kind == "paper" else _assess_stations
        check(state, person, level, part, since, on, evidence, missing)
    notes = tuple(
        f"irregularity recorded about paper {fact.body.paper} (entry {fact.entry.number}): {fact.body.what}"
        for fact in state.of(person, Irregularity)
    )
    return Assessment(tuple(sorted(evidence)), tuple(missing), (*_renewal_note(state, person, level, on), *notes))


def _renewal_note(state: State, person: str, level: Level, on: date) -> Iterator[str]:
    """Yield that this is a renewal, and of what, for somebody who holds the level or held it."""
    grants = with_force(state, person, level.level, state.count + 1)
    if grants:
        end = standing(state, grants[-1], on).until
        asked = "; ".join(part.title for part in parts_to_pass(state, person, level, on))
        yield f"the last certificate ends or ended on {end}; for another one the scheme asks today for {asked}"


def prerequisites_met(state: State, level: Level, person: str, on: date) -> tuple[list[int], list[str]]:
    """Return the entries that count towards the prerequisites of a level, and a sentence for each that is missing."""
    evidence: list[int] = []
    missing: list[str] = []
    for wanted in level.prerequisites:
        held = HELD_LEVEL.match(wanted.id)
        if held:
            if not holds_level(state, person, int(held.group(1)), on):
                missing.append(f"prerequisite missing: {wanted.text}")
            continue
        facts = [
            fact
            for fact in state.of(person, Evidence)
            if fact.body.what == wanted.id and fact.body.level == level.level and _counts(state, fact.entry, on)
        ]
        fresh = [fact for fact in facts if not _is_too_old(wanted, fact.entry, on)]
        have = sum(fact.body.count for fact in fresh)
        evidence += [fact.entry.number for fact in fresh]
        if have < wanted.count:
            how_many = f" ({have} of {wanted.count})" if wanted.count > 1 else ""
            old = f"; what is older than {wanted.valid_months} months does not count" if len(fresh) < len(facts) else ""
            missing.append(f"prerequisite missing: {wanted.text}{how_many}{old}")
    return evidence, missing


def _is_too_old(wanted: Prerequisite, entry: Entry, on: date) -> bool:
    return wanted.valid_months is not None and add_months(entry.effective_on, wanted.valid_months) < on


def parts_to_pass(state: State, person: str, level: Level, on: date) -> list[Part]:
    """Return what a person must sit and show for a level: for a renewal in time the scheme may ask for less."""
    grants = with_force(state, person, level.level, state.count + 1)
    last = standing(state, grants[-1], on) if grants else None
    if last is None or last.withdrawn is not None or last.begins_on > on or not may_renew(level, last.until, on):
        return list(level.parts)
    return renewal_parts(level)


def _counts(state: State, entry: Entry, on: date) -> bool:
    return entry.counts_from(restricts=False) <= on and not state.may_be_forged(entry)


def _since(state: State, person: str, level: int) -> int:
    """Return the last entry that used the evidence before it up: a grant with force, or a withdrawal."""
    granted = (grant.entry.number for grant in with_force(state, person, level, state.count + 1))
    return max([last_withdrawal(state, person, level, state.count + 1), *granted])


def holds_level(state: State, person: str, level: int, on: date) -> bool:
    """Say whether a person holds a level on a day with nothing against it."""
    return any(
        grant.body.level == level and not standing(state, grant, on).why_not for grant in grants_of(state, person)
    )


def _assess_paper(
    state: State, person: str, level: Level, part: Part, since: int, on: date, evidence: list[int], missing: list[str]
) -> None:
    # A paper that was out before the last grant is no paper for the next, whenever it is handed in.
    sittings = [
        fact
        for fact in state.of(person, Sitting)
        if _of_part(state, fact, level, part, since, on) and state.papers[fact.body.paper].entry.number > since
    ]
    if sittings and sittings[-1].body.passed and part.cut and not reaches(sittings[-1].body, part.cut):
        body = sittings[-1].body
        missing.append(
            f"{part.title} was passed with {body.right} of {body.of} right under an earlier cut of {body.cut_percent} "
            f"%; the scheme asks for {part.cut.percent:g} % now"
        )
    elif sittings and sittings[-1].body.passed:
        evidence.append(sittings[-1].entry.number)
    elif sittings:
        last = sittings[-1]
        missing.append(f"{part.title} was not passed on {last.entry.effective_on}: {why_failed(last.body)}")
    elif any(_of_part(state, fact, level, part, since, on) for fact in state.of(person, Paper)):
        missing.append(f"{part.title}: a paper was issued and is not handed in and marked")
    else:
        missing.append(f"{part.title} was not sat")


def why_failed(sitting: Sitting) -> str:
    """Return in words why a sitting was not passed; a critical miss comes first, nothing makes up for it."""
    missed = len(sitting.critical_missed)
    if missed:
        items = "a critical item" if missed == 1 else f"{missed} critical items"
        return f"{items} missed, {sitting.right} of {sitting.of} right"
    return f"{sitting.right} of {sitting.of} right, the cut is {sitting.cut_percent} %"


def reaches(sitting: Sitting, cut: Cut) -> bool:
    """Say whether the share of right answers reaches a cut, which need not be that of the paper's own scheme."""
    return sitting.right * 100 >= cut.percent * sitting.of - 1e-9


def _of_part(state: State, fact: Fact[Sitting] | Fact[Paper], level: Level, part: Part, since: int, on: date) -> bool:
    same = (fact.body.level, fact.body.part) == (level.level, part.id)
    return same and fact.entry.number > since and _counts(state, fact.entry, on)


def _assess_stations(
    state: State, person: str, level: Level, part: Part, since: int, on: date, evidence: list[int], missing: list[str]
) -> None:
    # The day counts too: a form of before the last grant, or of before a withdrawal, may come to the desk later.
    earliest = state.by_number[since].entry.recorded_at.date() if since else date.min
    for station in part.stations:
        seen = [
            fact
            for fact in state.of(person, Observation)
            if (fact.body.level, fact.body.station) == (level.level, station)
            and fact.entry.number > since
            and fact.entry.effective_on >= earliest
            and _counts(state, fact.entry, on)
        ]
        if not seen:
            missing.append(f"station {station} is missing: nobody has observed it yet")
            continue
        latest = max(fact.entry.effective_on for fact in seen)
        # Two observers may see the same performance; both must have passed it.
        that_day = [fact for fact in seen if fact.entry.effective_on == latest]
        if all(fact.body.passed for fact in that_day):
            evidence += [fact.entry.number for fact in that_day]
        else:
            missing.append(f"station {station} was not passed on {latest}")


def why_undecided(state: State, scheme: Scheme, person: str, level: int, on: date, named: Mapping[str, str]) -> str:
    """Return the first reason why a person holds no grant of a level on a day."""
    found = assess(state, scheme, person, level, on)
    if found.missing:
        return found.missing[0]
    deciders = [decider for decider in people_with(state, "decider") if decider != person]
    if not deciders:
        return "nobody who may decide is entered"
    for decider in deciders:
        reasons = conflicts(state, decider, person, on, scheme.conflict_months, found.evidence)
        if not reasons or waiver_for(state, decider, person, level, reasons, state.count + 1):
            return "the evidence is complete and waits for a decision"
    first = conflicts(state, deciders[0], person, on, scheme.conflict_months, found.evidence)[0]
    who = named.get(first.observer or deciders[0], first.observer or deciders[0])
    if first.observer:
        return f"no decision: an observer, {who}, {first.did('this person')}, so another examiner must observe"
    return f"no decision: the decider, {who}, {first.did('this person')}, so somebody else must decide"
