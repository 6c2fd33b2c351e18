"""Notices "must read again": who is touched, by when, and what an answer or its absence does."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from demo_records import Demo

from warmyard.certify.acts.certificate import places
from warmyard.certify.acts.correction import VoidFile, enter_void
from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.notice import AcknowledgementFile, NoticeFile, enter_acknowledgement, enter_notice
from warmyard.certify.demo.cast import LIFE
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.state import State
from warmyard.certify.rules.clearance import Clearance, clearance_of
from warmyard.certify.rules.notice import touched_by
from warmyard.cli.main import main
from warmyard.course.workspace import Workspace
from warmyard.errors import InputError

SOURCE = "ab" * 32
ACTIVITY = "fuel-and-start"
DAYS = 30
"""Days for an answer in the demo's scheme."""


def give_notice(demo: Demo, levels: tuple[int, ...] = ()) -> str:
    """Enter a notice about a lesson and return its id."""
    enter_notice(demo.desk(), NoticeFile(changed="lesson:fuel", levels=levels), SOURCE)
    return list(demo.open()[1].notices)[-1]


def answer(demo: Demo, person: str, notice: str, on: date | None = None) -> None:
    """Enter that somebody has read it again."""
    day = (on or demo.made.date()).isoformat()
    enter_acknowledgement(demo.desk(), AcknowledgementFile(person=person, notice=notice, on=day))


def of(state: State, person: str, on: date) -> Clearance:
    """Return the board's answer."""
    return clearance_of(state, person, ACTIVITY, on)


def test_a_notice_touches_who_holds_a_level(demo: Demo) -> None:
    """Holders are touched, suspended ones too; the expired one and mere candidates are not."""
    give_notice(demo)
    _, state = demo.open()
    touched = {each.person for each in touched_by(state, state.view().notices()[-1], demo.made.date())}
    assert touched == {*LIFE, "nadia", "petra", "ulla"} - {"finn"}
    assert state.view().notices()[-1].body.until == (demo.made.date() + timedelta(days=DAYS)).isoformat()


def test_who_has_not_answered_goes_out_until_the_day_and_no_longer(demo: Demo) -> None:
    """The board says the day before; after it the reason names what was to be read, and the status list agrees."""
    give_notice(demo)
    _, state = demo.open()
    last = demo.made.date() + timedelta(days=DAYS)
    before = of(state, "asta", last)
    assert (before.may_go_alone, before.until) == (True, last)
    assert before.next_due == (last, "answer: read the lesson fuel again")
    after = of(state, "asta", last + timedelta(days=1))
    assert not after.may_go_alone
    assert after.reason == f"the lesson fuel was to be read again by {last} and no answer is recorded"
    asta = next(grant for grant in state.grants.values() if grant.entry.person == "asta")
    assert asta.body.index in places(state, last + timedelta(days=1))[0]


def test_an_answer_gives_the_leave_back(demo: Demo) -> None:
    """Answered in time nothing changes; the answer of one is not that of another."""
    notice = give_notice(demo)
    answer(demo, "asta", notice)
    _, state = demo.open()
    after = demo.made.date() + timedelta(days=DAYS + 1)
    assert of(state, "asta", after).may_go_alone
    assert (
        next(each.answered_on for each in touched_by(state, state.view().notices()[-1], after) if each.person == "cleo")
        is None
    )


def test_a_late_answer_counts_from_its_entry(demo: Demo) -> None:
    """An answer entered after the day counts from then, whatever earlier day it claims."""
    notice = give_notice(demo)
    late = demo.made + timedelta(days=DAYS + 5)
    ledger, state = demo.open()
    desk = Desk(ledger, late, demo.key("office"))
    claimed = demo.made.date().isoformat()
    enter_acknowledgement(desk, AcknowledgementFile(person="asta", notice=notice, on=claimed))
    _, state = demo.open()
    assert not of(state, "asta", late.date() - timedelta(days=1)).may_go_alone
    assert of(state, "asta", late.date()).may_go_alone


def test_a_notice_of_another_level_or_made_void_touches_nobody(demo: Demo) -> None:
    """A voided notice asks for nothing; a level that the scheme does not have is refused."""
    give_notice(demo)
    number = demo.open()[1].count
    enter_void(demo.desk(), VoidFile(entry=number, because="mistake"))
    _, state = demo.open()
    assert [fact.body.changed for fact in state.view().notices()] == ["lesson:know-the-heater"]  # the demo's own
    assert of(state, "asta", demo.made.date() + timedelta(days=DAYS + 1)).may_go_alone
    with pytest.raises(InputError, match="no level 7"):
        enter_notice(demo.desk(), NoticeFile(changed="lesson:fuel", levels=(7,)), SOURCE)


def test_answers_that_are_refused(demo: Demo) -> None:
    """Unknown notice, a day before it or in the future, an answer twice: each refused in one sentence."""
    notice = give_notice(demo)
    day = demo.made.date()
    with pytest.raises(InputError, match="there is no notice"):
        answer(demo, "asta", "n-none")
    with pytest.raises(InputError, match="nobody has read it on"):
        answer(demo, "asta", notice, day - timedelta(days=1))
    with pytest.raises(InputError, match="future"):
        answer(demo, "asta", notice, day + timedelta(days=2))
    answer(demo, "asta", notice)
    with pytest.raises(InputError, match="already"):
        answer(demo, "asta", notice)


def test_who_signs_an_answer_is_not_who_gives_it(demo: Demo) -> None:
    """A custodian may sign another's answer, but the ledger refuses anybody's own."""
    notice = give_notice(demo)
    ledger, _ = demo.open()
    with pytest.raises(InputError, match="about himself or herself"):
        ledger.append(
            "acknowledgement", "odile", {"notice": notice}, demo.made.date(), demo.made + timedelta(minutes=2),
            demo.key("odile"),
        )  # fmt: skip


def test_the_command_line_enters_both(
    demo: Demo, small_workspace: Workspace, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`enter notice` names who is touched and by when; `enter acknowledgement` answers; a wrong source is named."""
    records = ["--records", str(demo.records)]
    for text, said in (
        ("changed: lesson:no-such-lesson\n", "there is no lesson no-such-lesson"),
        ("changed: picture:x\n", "write lesson:ID, sheet:ID, rule:ID"),
    ):
        (tmp_path / "wrong.yaml").write_text(text, "utf-8")
        assert main(["enter", "notice", str(tmp_path / "wrong.yaml"), *records]) == 2
        assert said in capsys.readouterr().err
    rule = sorted(small_workspace.rules)[0]
    (tmp_path / "notice.yaml").write_text(f"changed: rule:{rule}\n", "utf-8")
    assert main(["enter", "notice", str(tmp_path / "notice.yaml"), *records]) == 0
    assert "it touches asta, cleo, greta" in capsys.readouterr().out
    notice = list(Ledger.open(demo.records).verify().notices)[-1]
    assert small_workspace.rules[rule].means in (demo.records / "notices" / f"{notice}.html").read_text("utf-8")
    (tmp_path / "answer.yaml").write_text(f"person: asta\nnotice: {notice}\non: {demo.made.date()}\n", "utf-8")
    assert main(["enter", "acknowledgement", str(tmp_path / "answer.yaml"), *records]) == 0
    assert "asta has read" in capsys.readouterr().out
