"""What a stricter tool would change for people whose decisions are of an earlier format, before it changes anything.

Each decision is judged by the rules of its entry's format, so nobody loses by an upgrade what was rightly given. Here
all are judged by today's rules too, and whoever would stand otherwise is named with the reason.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from warmyard.certify.ledger.state import State, View
from warmyard.certify.rules.clearance import Clearance, board


@dataclass(frozen=True, slots=True)
class Change:
    """One person and activity that today's rules would answer otherwise than those of each entry's format."""

    now: Clearance
    then: Clearance

    def as_record(self) -> dict[str, object]:
        """Return the change as `--json` gives it."""
        return {
            "person": self.now.person,
            "activity": self.now.activity,
            "may_go_alone": self.now.may_go_alone,
            "would_go_alone": self.then.may_go_alone,
            "reason": self.then.reason or self.now.reason,
        }


def changes_by_todays_rules(state: State, on: date, named: Mapping[str, str]) -> Iterator[Change]:
    """Yield who would lose or gain leave on a day if every decision were judged by today's rules."""
    today = board(View(state, state.count, strict=True), on, named=named)
    for now, then in zip(board(state, on, named=named), today, strict=True):
        if now.may_go_alone != then.may_go_alone:
            yield Change(now, then)


def formats_of(state: State) -> dict[int, int]:
    """Return how many entries are of each format."""
    return dict(sorted(Counter(fact.entry.format for fact in state.by_number.values()).items()))
