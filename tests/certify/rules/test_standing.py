"""Grants and restrictions by their dates, surveillance, and grants without force."""

from __future__ import annotations

from datetime import date, timedelta

import msgspec
import pytest
from demo_records import Demo
from hypothesis import given
from hypothesis import strategies as st

from warmyard.certify.acts.correction import EraseFile, VoidFile, enter_erase, enter_void
from warmyard.certify.acts.decision import decide
from warmyard.certify.acts.evidence import EvidenceFile, enter_evidence
from warmyard.certify.acts.key import KeyFile, enter_key
from warmyard.certify.rules.asking import Action
from warmyard.certify.rules.clearance import clearance_of
from warmyard.certify.rules.dates import add_months, last_day
from warmyard.certify.rules.judge import standing
from warmyard.certify.rules.standing import grants_of
from warmyard.course.scheme_shape import SURVEILLANCE
from warmyard.errors import InputError

DAY = timedelta(days=1)


def answer(demo: Demo, person: str, on: date) -> tuple[bool, str]:
    """Return yes or no, and the reason, for fuelling and starting."""
    _, state = demo.open()
    found = clearance_of(state, person, "fuel-and-start", on)
    return found.may_go_alone, found.reason


def grant_day(demo: Demo, person: str) -> date:
    """Return the day on which a person's certificate begins."""
    _, state = demo.open()
    return next(grants_of(state, person)).entry.counts_from(restricts=False)


def restrict(demo: Demo, person: str, action: Action, because: str, on: date, minutes: int = 1) -> None:
    """Decide about a person, effective on a day, recorded after the demo was made."""
    ledger, state = demo.open()
    decide(
        ledger, state, person=person, level=2, action=action, by="ines", because=because, on=on,
        now=demo.made + timedelta(minutes=minutes), signer=demo.key("ines"),
    )  # fmt: skip


def test_the_day_before_after_after_suspension_and_after_expiry(demo: Demo) -> None:
    """No, yes, no, no, each with its one reason."""
    begins, today = grant_day(demo, "cleo"), demo.made.date()
    assert answer(demo, "cleo", begins - DAY) == (False, f"the certificate begins on {begins}")
    assert answer(demo, "cleo", begins) == (True, "")
    may, reason = answer(demo, "cleo", today)
    assert (may, reason.partition(":")[0]) == (False, f"suspended on {today - 3 * DAY}")
    begins = grant_day(demo, "bram")
    until = last_day(begins, 36)
    assert answer(demo, "bram", until) == (True, "")
    assert answer(demo, "bram", until + DAY) == (False, f"expired on {until}")


def test_a_restriction_counts_from_the_earlier_day(demo: Demo) -> None:
    """A suspension recorded today for last week holds last week, too."""
    today = demo.made.date()
    restrict(demo, "asta", "suspend", "incident-under-review", today - 7 * DAY)
    assert answer(demo, "asta", today - 8 * DAY)[0]
    assert not answer(demo, "asta", today - 7 * DAY)[0]


def test_a_restriction_for_later_counts_from_now(demo: Demo) -> None:
    """A suspension recorded today for next week holds today."""
    today = demo.made.date()
    restrict(demo, "asta", "suspend", "incident-under-review", today + 7 * DAY)
    assert not answer(demo, "asta", today)[0]


def test_a_restoration_counts_from_the_later_day(demo: Demo) -> None:
    """Restoring back-dated changes no day before it was recorded."""
    today = demo.made.date()
    restrict(demo, "cleo", "restore", "review-closed", today - 2 * DAY)
    assert not answer(demo, "cleo", today - DAY)[0]
    assert answer(demo, "cleo", today)[0]


def test_withdrawn_is_the_last_word(demo: Demo) -> None:
    """After a withdrawal nothing is restored; the reason of the scheme is said."""
    today = demo.made.date()
    restrict(demo, "asta", "withdraw", "false-record", today)
    may, reason = answer(demo, "asta", today)
    assert (may, reason) == (False, f"withdrawn on {today}: A record was false")
    with pytest.raises(InputError, match="granted anew"):
        restrict(demo, "asta", "restore", "review-closed", today, minutes=2)


def test_missed_surveillance_ends_leave_after_its_grace(demo: Demo) -> None:
    """Leave runs to the day of surveillance and its days of grace, and a recorded surveillance moves it on."""
    due = add_months(grant_day(demo, "asta"), 12)
    _, state = demo.open()
    found = standing(state, next(grants_of(state, "asta")), due)
    assert (found.surveillance_on, found.leave_until) == (due, due + 30 * DAY)
    assert answer(demo, "asta", due + 30 * DAY)[0]
    may, reason = answer(demo, "asta", due + 31 * DAY)
    assert (may, reason) == (False, f"surveillance was due on {due} and is not recorded")
    today = demo.made.date()
    enter_evidence(
        demo.desk(),
        EvidenceFile(person="asta", what=SURVEILLANCE, level=2, by="rune", on=today.isoformat()),
    )
    assert answer(demo, "asta", due + 31 * DAY)[0]


def test_a_conflict_that_comes_to_light_takes_the_force_away(demo: Demo) -> None:
    """Evidence entered later that the decider trained the person makes the grant unsound, with the reason."""
    day = grant_day(demo, "asta") - DAY
    file = EvidenceFile(person="asta", what="supervised-hours", level=2, by="ines", on=day.isoformat())
    enter_evidence(demo.desk(), file)
    may, reason = answer(demo, "asta", demo.made.date())
    assert not may
    assert "ines, trained this person" in reason


def test_evidence_made_void_takes_the_force_away(demo: Demo) -> None:
    """A grant rests on its evidence: when a sitting is made void it must be decided again."""
    _, state = demo.open()
    sitting = next(fact for fact in state.facts["asta"] if fact.entry.kind == "sitting").entry.number
    enter_void(demo.desk(), VoidFile(entry=sitting, because="breach"))
    may, reason = answer(demo, "asta", demo.made.date())
    assert (may, f"(entry {sitting})" in reason) == (False, True)


def test_a_stolen_decider_key_takes_the_force_away(demo: Demo) -> None:
    """Grants that a stolen key signed since the theft are to be decided again; restrictions stay."""
    enter_key(demo.desk(), KeyFile(action="stolen", person="ines", since_entry=1), None)
    assert "stolen" in answer(demo, "otis", demo.made.date())[1]
    assert answer(demo, "asta", demo.made.date()) == (True, "")  # signed with an earlier key, before that was stolen
    assert answer(demo, "cleo", demo.made.date())[1].startswith("suspended")


def test_a_person_who_was_erased_may_nothing(demo: Demo) -> None:
    """After erasure the answer is no."""
    enter_erase(demo.desk(), EraseFile(person="asta", because="left"))
    assert answer(demo, "asta", demo.made.date()) == (False, "this person was erased")


@given(st.dates(date(2000, 1, 1), date(2100, 12, 31)), st.integers(1, 120))
def test_months_end_with_their_month(day: date, months: int) -> None:
    """The same day some months on, or that month's last; the last day of a term is the day before; nothing is lost."""
    later = add_months(day, months)
    assert (later.year * 12 + later.month) - (day.year * 12 + day.month) == months
    assert later.day == day.day or (later.day < day.day and (later + DAY).day == 1)
    assert last_day(day, months) == later - DAY
    assert add_months(day, -months) <= day


def grant_again(demo: Demo, person: str, minutes: int) -> None:
    """Have somebody examined again and decided about again: a renewal."""
    ledger, state = demo.open()
    first = next(grants_of(state, person))
    now = demo.made + timedelta(minutes=minutes)
    for number in first.body.evidence:
        fact = state.by_number[number]
        kind, body = fact.entry.kind, fact.body
        if kind == "sitting":
            name = f"paper-{minutes}-{number}"
            paper = msgspec.structs.replace(state.papers[body.paper].body, paper=name, side="")
            ledger.append("paper", person, paper, now.date(), now, demo.key("office"))
            body = msgspec.structs.replace(body, paper=name, side="")
        if kind == "observation":
            body = msgspec.structs.replace(body, form=f"form-{minutes}-{number}", side="")
        if kind in ("sitting", "observation"):
            ledger.append(kind, person, body, now.date(), now, demo.key("office"))
    restrict(demo, person, "grant", "requirements-met", now.date(), minutes)


def test_an_older_certificate_is_no_way_round_a_suspension(demo: Demo) -> None:
    """After a renewal two certificates run; a suspension of the level stops both."""
    grant_again(demo, "asta", 1)
    assert answer(demo, "asta", demo.made.date())[0]
    restrict(demo, "asta", "suspend", "incident-under-review", demo.made.date(), minutes=2)
    assert not answer(demo, "asta", demo.made.date())[0]


def test_another_level_is_no_way_round_a_suspension(demo: Demo) -> None:
    """Suspended at one level is suspended for the work, although a higher level would allow it."""
    assert answer(demo, "sten", demo.made.date())[0]
    restrict(demo, "sten", "suspend", "incident-under-review", demo.made.date())
    may, reason = answer(demo, "sten", demo.made.date())
    assert (may, reason.startswith("suspended")) == (False, True)


def test_a_suspended_level_is_not_granted_anew(demo: Demo) -> None:
    """A grant does not wash a suspension away: it is restored or withdrawn first."""
    with pytest.raises(InputError, match="restore or withdraw it first"):
        restrict(demo, "cleo", "grant", "requirements-met", demo.made.date())


def test_after_a_withdrawal_a_new_grant_counts(demo: Demo) -> None:
    """A withdrawal ends what was granted before it, not what is granted after it."""
    restrict(demo, "asta", "withdraw", "own-wish", demo.made.date())
    assert not answer(demo, "asta", demo.made.date())[0]
    grant_again(demo, "asta", 2)
    assert answer(demo, "asta", demo.made.date())[0]
