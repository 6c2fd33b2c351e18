"""Enters a notice that something must be read again, and the answers to it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from pathlib import Path
from typing import TypeAlias

import msgspec

from warmyard.certify.acts.desk import Desk, Entered, append, read_day
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Acknowledgement, Notice
from warmyard.certify.ledger.files import write_whole
from warmyard.certify.ledger.folders import NOTICES
from warmyard.certify.ledger.ids import NoticeId, PersonId
from warmyard.certify.ledger.people import known_person
from warmyard.certify.ledger.schemes import adopted_scheme, no_such_level
from warmyard.certify.ledger.state import State
from warmyard.certify.rules.notice import answered_on, touched_by
from warmyard.course.model import Company
from warmyard.errors import InputError
from warmyard.formats.entries import Code, Day, Digest, LevelNumber
from warmyard.page.notice_sheet import NoticeFacts, notice_sheet
from warmyard.words.sentence import sentence

Words: TypeAlias = Mapping[str, str]


class NoticeFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What has changed: `lesson:ID`, `sheet:ID` or `rule:ID`; without levels it touches every level."""

    changed: Code
    levels: tuple[LevelNumber, ...] = ()


class AcknowledgementFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Somebody has read again what a notice names."""

    person: PersonId
    notice: NoticeId
    on: Day


def enter_notice(desk: Desk, file: NoticeFile, source: Digest) -> Entered:
    """Enter a notice about a text of this digest; the scheme says within how many days it is to be answered."""
    _, scheme = adopted_scheme(desk.state)
    # Certificates of a level that left the scheme are still out there.
    known = sorted({level.level for level in scheme.levels} | {fact.body.level for fact in desk.state.grants.values()})
    for level in file.levels:
        if level not in known:
            raise InputError(no_such_level(level, known))
    until = desk.now.date() + timedelta(days=scheme.notice_days)
    body = Notice(
        notice=f"n-{envelope.new_name(10)}", changed=file.changed, source=source,
        levels=tuple(sorted(set(file.levels))) or tuple(known), until=until.isoformat(),
    )  # fmt: skip
    entry = append(desk, "notice", "", body)
    touched = [each.person for each in touched_by(desk.state, desk.state.notices[body.notice], desk.now.date())]
    people = ", ".join(touched) or sentence("entered.nobody")
    said = sentence("entered.notice", notice=body.notice, changed=body.changed, until=body.until, people=people)
    return Entered(entry, said)


def write_sheet(records: Path, state: State, notice: str, title: str, company: Company, words: Words) -> Path:
    """Write the sheet on which readers answer into notices/, and return it; `title` is what the readers call it."""
    body = state.notices[notice].body
    facts = NoticeFacts(notice=notice, kind=body.changed.partition(":")[0], title=title, until=body.until)
    path = NOTICES.at(records) / f"{notice}.html"
    write_whole(path, notice_sheet(facts, company, words).encode())
    return path


def enter_acknowledgement(desk: Desk, file: AcknowledgementFile) -> Entered:
    """Enter that somebody has read it again."""
    person, day = known_person(desk.state, file.person), read_day(file.on, desk.now)
    notice = desk.state.notices.get(file.notice)
    if notice is None or notice.entry.number in desk.state.voided:
        open_ones = [name for name, fact in desk.state.notices.items() if fact.entry.number not in desk.state.voided]
        raise InputError(f"there is no notice {file.notice}; notices are {', '.join(open_ones) or 'none'}")
    if day < notice.entry.recorded_at.date():
        raise InputError(f"nobody has read it on {day}: the notice is of {notice.entry.recorded_at.date()}")
    if answered_on(desk.state, notice, person) is not None:
        raise InputError(f"{person} has answered {file.notice} already")
    body = Acknowledgement(notice=file.notice)
    entry = append(desk, "acknowledgement", person, body, on=day)
    return Entered(entry, sentence("entered.read", person=person, changed=notice.body.changed, day=day))
