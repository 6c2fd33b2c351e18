"""`warmyard clearance`: who may go out alone on a day, and for what; as a table, JSON or a board to print."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

import msgspec

from warmyard.cli.printed import write_page
from warmyard.cli.record import now, read_day, read_record, verify_clock
from warmyard.cli.where import add_records

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date, datetime

    from warmyard.certify.rules.clearance import Clearance
    from warmyard.cli.record import Record
    from warmyard.course.scheme_model import Scheme


@dataclass(frozen=True, slots=True)
class _Sheet:
    """The day that a board is about, when it was made, from which record, in which words."""

    on: date
    made: datetime
    record: Record
    words: Mapping[str, str]


def add_arguments(parser: ArgumentParser) -> None:
    """Add the day, the person, the activity, and the forms of the answer."""
    parser.add_argument("--on", metavar="DATE", help="day, such as 2026-03-31 (default: today)")
    parser.add_argument("--person", metavar="P", help="only this person")
    parser.add_argument("--activity", metavar="A", help="only this activity of the scheme")
    parser.add_argument("--out", metavar="FILE", help="write a board to print, as HTML")
    parser.add_argument("--calendar", metavar="FILE", help="write what falls due as a calendar file (.ics), ids only")
    parser.add_argument("--json", action="store_true", help="print a JSON list")
    add_records(parser)


def run(args: Namespace) -> int:
    """Answer from the verified ledger; a broken one answers nobody and is exit code 3, faulty words exit code 1."""
    from warmyard.cores import nothing_collected

    # All that is made here is kept until the answer is given.
    with nothing_collected():
        _answer(args)
    return 0


def _answer(args: Namespace) -> None:
    from warmyard.certify.ledger.people import known_person, names
    from warmyard.certify.ledger.schemes import adopted_scheme
    from warmyard.certify.rules.clearance import as_records, board
    from warmyard.cli.sources import words

    said = words()
    moment = now()
    on = read_day(args.on) if args.on else moment.date()
    record = read_record(args.records)
    if not args.on:
        verify_clock(record, moment)
    _, scheme = adopted_scheme(record.state)
    people = [known_person(record.state, args.person)] if args.person else None
    named = names(record.folder, record.state)
    answers = board(record.state, on, people=people, activity=args.activity, named=named)
    answers.sort(key=lambda answer: (named.get(answer.person, "").casefold(), answer.person))
    if args.out:
        _write_board(args.out, answers, named, scheme, _Sheet(on, moment, record, said))
    if args.calendar:
        _write_calendar(args.calendar, record, said, on, moment)
    if args.json:
        plain = msgspec.json.encode(as_records(answers, said))
        print(msgspec.json.format(plain, indent=1).decode("utf-8"))
    elif not args.out and not args.calendar:
        _print_table(answers, named, scheme, said)


def _print_table(answers: list[Clearance], named: Mapping[str, str], scheme: Scheme, words: Mapping[str, str]) -> None:
    from warmyard.words import say
    from warmyard.words.sentence import retold

    titles = {activity.id: activity.title for activity in scheme.activities}
    yes, no = say(words, "board.yes"), say(words, "board.no")
    if not answers:
        print(say(words, "clearance.nobody"))
    for person, group in groupby(answers, lambda answer: answer.person):
        mine = list(group)
        print(f"{named.get(person, person)} ({person})")
        good = [answer for answer in mine if answer.may_go_alone]
        for (until, due), allowed in groupby(good, lambda answer: (answer.until, answer.next_due)):
            activities = "; ".join(titles[answer.activity] for answer in allowed)
            print(f"  {yes:3} {say(words, 'clearance.with_leave', activities=activities, until=until)}")
            _print_due(due, words)
        others = [answer for answer in mine if not answer.may_go_alone]
        if others:
            # One sentence a person, as on the printed board; --json has one for each activity.
            whole = len(mine) == len(titles)
            rest = say(words, "clearance.everything_else" if good else "clearance.everything")
            activities = rest if whole else "; ".join(titles[answer.activity] for answer in others)
            why = retold(words, others[0].reason)
            print(f"  {no:3} {say(words, 'clearance.without_leave', activities=activities, why=why)}")
            _print_due(others[0].next_due, words)


def _print_due(due: tuple[date, str] | None, words: Mapping[str, str]) -> None:
    from warmyard.words import say
    from warmyard.words.sentence import retold

    if due is not None:
        print(f"      {say(words, 'clearance.next', what=retold(words, due[1]), day=due[0])}")


def _write_board(path: str, answers: list[Clearance], named: Mapping[str, str], scheme: Scheme, page: _Sheet) -> None:
    """Write the board as one HTML file, whole or not at all."""
    from warmyard.certify.ledger.witness import witness_text
    from warmyard.cli.sources import company
    from warmyard.page.board import Board, Row, board_page
    from warmyard.words import say
    from warmyard.words.sentence import retold

    def due(day: date, what: str) -> str:
        return say(page.words, "clearance.due", day=day, what=retold(page.words, what))

    titles = {activity.id: activity.title for activity in scheme.activities}
    shown = list(dict.fromkeys(answer.activity for answer in answers))
    rows = []
    for person, group in groupby(answers, lambda answer: answer.person):
        mine = list(group)
        rows.append(
            Row(
                person=person, name=named.get(person, person), may=[answer.may_go_alone for answer in mine],
                until=_together(str(answer.until) for answer in mine if answer.until),
                why=next((retold(page.words, answer.reason) for answer in mine if answer.reason), ""),
                next=_together(due(*answer.next_due) for answer in mine if answer.next_due),
            )
        )  # fmt: skip
    board = Board(
        day=page.on.isoformat(), made=page.made.strftime("%Y-%m-%d %H:%M"), activities=[titles[each] for each in shown],
        rows=rows, witness=witness_text(page.record.state.tip), count=page.record.state.count,
    )  # fmt: skip
    text = board_page(board, company(), page.words)
    write_page(path, text, "the board", page.record.folder)


def _write_calendar(path: str, record: Record, words: Mapping[str, str], on: date, moment: datetime) -> None:
    from warmyard.certify.report.calendar import calendar_text, due_dates

    write_page(path, calendar_text(due_dates(record.state, on), words, moment), "the calendar", record.folder)


def _together(texts: Iterable[str]) -> str:
    return "; ".join(dict.fromkeys(texts))
