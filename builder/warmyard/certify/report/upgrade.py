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
from warmyard.words.sentence import retold


@dataclass(frozen=True, slots=True)
class Change:
    """One person and activity that today's rules would answer otherwise than those of each entry's format."""

    now: Clearance
    then: Clearance

    @property
    def reason(self) -> str:
        """Why it would change."""
        return self.then.reason or self.now.reason

    def as_record(self, words: Mapping[str, str]) -> dict[str, object]:
        """Return the change as `--json` gives it."""
        return {
            "person": self.now.person,
            "activity": self.now.activity,
            "may_go_alone": self.now.may_go_alone,
            "would_go_alone": self.then.may_go_alone,
            "reason": retold(words, self.reason),
        }


def changes_by_todays_rules(state: State, on: date, named: Mapping[str, str]) -> Iterator[Change]:
    """Yield who would lose or gain leave, or days of it, if every decision were judged by today's rules.

    Looked at is the day, and the first day of every certificate that begins later; each change is told once.
    """
    strict, told = View(state, state.count, strict=True), set[tuple[str, str]]()
    begins = (grant.entry.counts_from(restricts=False) for grant in state.grants.values())
    for day in sorted({on, *(each for each in begins if each > on)}):
        for now, then in zip(board(state, day, named=named), board(strict, day, named=named), strict=True):
            key = (now.person, now.activity)
            if (now.may_go_alone, now.until) != (then.may_go_alone, then.until) and key not in told:
                told.add(key)
                yield Change(now, then)


def formats_of(state: State) -> dict[int, int]:
    """Return how many entries are of each format."""
    return dict(sorted(Counter(fact.entry.format for fact in state.by_number.values()).items()))
