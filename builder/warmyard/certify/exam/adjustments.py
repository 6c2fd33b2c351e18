"""Adjustments of a paper for one candidate: extra time and reading aloud, asked for, approved and recorded.

An adjustment changes how a paper is sat and never what it asks: no item is left out, no cut is lowered.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from warmyard.certify.ledger.people import known_person
from warmyard.certify.ledger.state import State
from warmyard.errors import InputError
from warmyard.page.words import need_words

LEAST_PERCENT, MOST_PERCENT = 5, 100
READ_ALOUD = "read-aloud"
APPROVERS = ("custodian", "decider")
LONGEST_REASON = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjustments:
    """What is adjusted, why, and who approved it; the reason is personal and goes to a side file."""

    extra_time_percent: int = 0
    read_aloud: bool = False
    because: str = ""
    approved_by: str = ""

    def __bool__(self) -> bool:
        return bool(self.extra_time_percent or self.read_aloud)

    def codes(self) -> tuple[str, ...]:
        """Return the adjustments as the entry holds them: `extra-time:25`, `read-aloud`."""
        time = (f"extra-time:{self.extra_time_percent}",) if self.extra_time_percent else ()
        return (*time, READ_ALOUD) if self.read_aloud else time

    def minutes(self, minutes: int) -> int:
        """Return the whole minutes of a paper with the extra time, rounded up for the candidate."""
        return -(-minutes * (100 + self.extra_time_percent) // 100)


NONE = Adjustments()


def verify_adjustments(state: State, person: str, wanted: Adjustments) -> None:
    """Raise InputError unless the adjustments have a reason and were approved by somebody else who may."""
    if not wanted:
        if wanted.because or wanted.approved_by:
            raise InputError("there is nothing to approve; name --extra-time or --read-aloud")
        return
    if wanted.extra_time_percent and not LEAST_PERCENT <= wanted.extra_time_percent <= MOST_PERCENT:
        raise InputError(f"extra time is {LEAST_PERCENT} to {MOST_PERCENT} %, not {wanted.extra_time_percent}")
    if not wanted.because.strip() or len(wanted.because) > LONGEST_REASON:
        raise InputError(f"write why the paper is adjusted with --because, in at most {LONGEST_REASON} characters")
    if not wanted.approved_by:
        raise InputError("an adjustment is approved by somebody; name a custodian or decider with --approved-by")
    approver = known_person(state, wanted.approved_by)
    if approver == person:
        raise InputError("nobody approves an adjustment for himself or herself")
    if not any(state.has_role(approver, role) for role in APPROVERS):
        raise InputError(f"{approver} is neither custodian nor decider and approves no adjustment")


def adjustment_sentences(wanted: Adjustments, minutes: int, words: Mapping[str, str]) -> tuple[str, ...]:
    """Return what the paper and the slip say about it; `minutes` is the paper's time without it."""
    found = []
    if wanted.extra_time_percent:
        text = need_words(words, ("paper.extra_time",))["paper.extra_time"]
        percent, whole = wanted.extra_time_percent, wanted.minutes(minutes)
        found.append(text.format(percent=percent, minutes=minutes, whole=whole))
    if wanted.read_aloud:
        found.append(need_words(words, ("paper.read_aloud",))["paper.read_aloud"])
    return tuple(found)


def slip_lines(wanted: Adjustments, minutes: int, words: Mapping[str, str]) -> str:
    """Return the lines of the slip about adjustments, or nothing."""
    if not wanted:
        return ""
    line = need_words(words, ("paper.slip_adjusted",))["paper.slip_adjusted"]
    said = "; ".join(adjustment_sentences(wanted, minutes, words))
    return line.format(what=said, approved_by=wanted.approved_by).rstrip("\n") + "\n"
