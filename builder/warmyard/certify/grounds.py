"""What a grant rests on, held against the scheme it names: a decider's own tool gives no more than `decide` would.

`decide` looks at what there is before it grants. Here a grant that stands is looked at by itself: the entries that it
names, and the scheme.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date
from typing import Any

from warmyard.certify.bodies import Decision, Evidence, Observation, Sitting
from warmyard.certify.dates import last_day
from warmyard.certify.state import Fact, State
from warmyard.course.model import Level, Part, Scheme
from warmyard.course.scheme import renewal_parts
from warmyard.course.scheme_shape import HELD_LEVEL

Unsound = Callable[[State, Fact[Decision], Mapping[str, str]], str]


def why_beyond(state: State, grant: Fact[Decision], scheme: Scheme, unsound: Unsound) -> str:
    """Return how a grant goes beyond its scheme, or rests on less than it asks for; or nothing.

    `unsound` says of an earlier grant why it has no force: only after one that has is a renewal's shorter list enough.
    """
    body = grant.body
    level = next((level for level in scheme.levels if level.level == body.level), None)
    if level is None:
        return f"the scheme of the decision has no level {body.level}; it must be decided again"
    longest = last_day(grant.entry.counts_from(restricts=False), level.valid_months)
    asked = (level.surveillance.every_months, level.surveillance.grace_days)
    if (
        not set(body.activities) <= set(level.activities)
        or date.fromisoformat(body.until) > longest
        or (body.surveillance_months, body.grace_days) != asked
    ):
        return "the decision gives more than its scheme allows; it must be decided again"
    facts = [state.by_number[number] for number in body.evidence]
    if any((fact.entry.person, getattr(fact.body, "level", 0)) != (grant.entry.person, body.level) for fact in facts):
        return "the decision rests on evidence of another person or level; it must be decided again"
    lacking = next(_lacking(level, level.parts, facts), "")
    if lacking and any(not unsound(state, each, {}) for each in _earlier(state, grant)):
        lacking = next(_lacking(level, renewal_parts(level), facts), "")
    return (
        f"the decision rests on less than its scheme asks for ({lacking}); it must be decided again" if lacking else ""
    )


def _earlier(state: State, grant: Fact[Decision]) -> Iterator[Fact[Decision]]:
    for fact in state.of(grant.entry.person, Decision):
        same = fact.body.action == "grant" and fact.body.level == grant.body.level
        if same and fact.entry.number < grant.entry.number:
            yield fact


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
