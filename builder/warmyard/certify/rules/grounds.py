"""What a grant rests on, held against the scheme it names: a decider's own tool gives no more than `decide` would.

`decide` looks at what there is before it grants. Here a grant that stands is looked at by itself: the entries that it
names, and the scheme.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from warmyard.certify.ledger.bodies import Decision, Evidence, Observation, Sitting
from warmyard.certify.ledger.state import Fact, State
from warmyard.certify.rules.dates import add_months, last_day
from warmyard.course.model import Level, Part, Scheme
from warmyard.course.scheme import renewal_parts
from warmyard.course.scheme_shape import HELD_LEVEL


def why_beyond(state: State, grant: Fact[Decision], scheme: Scheme, before: Sequence[Fact[Decision]]) -> str:
    """Return how a grant goes beyond its scheme, or rests on less than it asks for; or nothing.

    `before` are the earlier grants of the level that have force: their examinations are used up, and only after one
    is a renewal's shorter list enough.
    """
    body = grant.body
    level = next((level for level in scheme.levels if level.level == body.level), None)
    if level is None:
        return f"the scheme of the decision has no level {body.level}; it must be decided again"
    begins = grant.entry.counts_from(restricts=False)
    longest = last_day(begins, level.valid_months)
    asked = (level.surveillance.every_months, level.surveillance.grace_days)
    if (
        not set(body.activities) <= set(level.activities)
        or date.fromisoformat(body.until) > longest
        or (body.surveillance_months, body.grace_days) != asked
    ):
        return "the decision gives more than its scheme allows; it must be decided again"
    facts = [state.by_number[number] for number in sorted(set(body.evidence))]
    if any((fact.entry.person, getattr(fact.body, "level", 0)) != (grant.entry.person, body.level) for fact in facts):
        return "the decision rests on evidence of another person or level; it must be decided again"
    withdrawn = last_withdrawal(state, grant.entry.person, body.level, grant.entry.number)
    since = max([withdrawn, *(each.entry.number for each in before)])
    if any(_out_since(state, fact) <= since for fact in facts if isinstance(fact.body, Sitting | Observation)):
        return f"the decision rests on an examination that entry {since} used up; it must be decided again"
    last = before[-1] if before and before[-1].entry.number > withdrawn else None
    in_time = last is not None and may_renew(level, date.fromisoformat(last.body.until), begins)
    parts = renewal_parts(level) if in_time else level.parts
    lacking = next(_lacking(level, parts, facts), "")
    said = f"the decision rests on less than its scheme asks for ({lacking}); it must be decided again"
    return said if lacking else ""


def last_withdrawal(state: State, person: str, level: int, before: int) -> int:
    """Return the last entry before an entry by which a level was withdrawn, 0 when it never was."""
    decisions = (fact for fact in state.of(person, Decision) if fact.entry.number < before)
    withdrawn = [fact.entry.number for fact in decisions if (fact.body.level, fact.body.action) == (level, "withdraw")]
    return max(withdrawn, default=0)


def _out_since(state: State, fact: Fact[Any]) -> int:
    """Return the entry since which an examination was out: that of the paper, or the observation itself."""
    return state.papers[fact.body.paper].entry.number if isinstance(fact.body, Sitting) else fact.entry.number


def may_renew(level: Level, until: date, on: date) -> bool:
    """Say whether a renewal's shorter list is enough on a day after or before a certificate ended."""
    wanted = level.renews_with
    return wanted is not None and on <= add_months(until, wanted.months_after)


def _lacking(level: Level, parts: list[Part] | tuple[Part, ...], facts: list[Fact[Any]]) -> Iterator[str]:
    """Yield what the scheme asks for and the facts do not hold."""
    bodies = [fact.body for fact in facts]
    for wanted in level.prerequisites:
        have = sum(body.count for body in bodies if isinstance(body, Evidence) and body.what == wanted.id)
        if have < wanted.count and not HELD_LEVEL.match(wanted.id):
            yield wanted.text
    passed = {body.part for body in bodies if isinstance(body, Sitting) and body.passed}
    seen = {body.station for body in bodies if isinstance(body, Observation) and body.passed}
    for part in parts:
        if part.kind == "paper" and part.id not in passed:
            yield part.title
        yield from (f"station {name}" for name in part.stations if name not in seen)
