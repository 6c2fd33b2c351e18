"""`warmyard upgrade`: what a newer tool means for a record, before anything changes; it changes nothing itself."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace
from itertools import groupby
from typing import TYPE_CHECKING

from warmyard.cli.record import now, open_record, read_day, verify_clock
from warmyard.cli.where import add_records

if TYPE_CHECKING:
    from collections.abc import Mapping

    from warmyard.certify.report.upgrade import Change
    from warmyard.course.scheme_model import Scheme


def add_arguments(parser: ArgumentParser) -> None:
    """Add the day, --json and --records."""
    parser.add_argument("--on", metavar="DATE", help="day, such as 2026-03-31 (default: today)")
    parser.add_argument("--json", action="store_true", help="print formats and changes as JSON")
    add_records(parser)


def run(args: Namespace) -> int:
    """Verify the ledger, and say which formats it holds and whom today's rules would touch; nothing is written."""
    from warmyard.certify.ledger.people import names
    from warmyard.certify.ledger.schemes import adopted_scheme
    from warmyard.certify.report.upgrade import changes_by_todays_rules, formats_of
    from warmyard.cli.sources import words

    said, record, moment = words(), open_record(args.records), now()
    if not args.on:
        verify_clock(record, moment)
    on = read_day(args.on) if args.on else moment.date()
    held = formats_of(record.state)
    named = names(record.folder, record.state)
    changes = list(changes_by_todays_rules(record.state, on, named)) if record.state.adopted else []
    if args.json:
        told = {"entries": {str(version): count for version, count in held.items()},
                "changes": [change.as_record(said) for change in changes]}  # fmt: skip
        print(json.dumps(told, ensure_ascii=False, indent=1))
        return 0
    _say_formats(held)
    if not changes:
        print(f"nobody would lose or gain anything on {on} if today's rules bound the decisions of earlier formats")
        return 0
    _, scheme = adopted_scheme(record.state)
    _say_changes(changes, named, scheme, said)
    print("None of it happens: each decision stands by the rules of its format until it ends. Nothing was written.")
    return 0


def _say_formats(held: Mapping[int, int]) -> None:
    from warmyard.formats.entries import ENTRY

    parts = ", ".join(f"{count} of format {version}" for version, count in held.items())
    print(f"{sum(held.values())} entries: {parts}; this tool writes format {ENTRY.version}")


def _say_changes(changes: list[Change], named: Mapping[str, str], scheme: Scheme, words: Mapping[str, str]) -> None:
    from warmyard.words.sentence import retold

    titles = {activity.id: activity.title for activity in scheme.activities}
    print("If today's rules bound the decisions of earlier formats too:")
    for person, group in groupby(changes, lambda change: change.now.person):
        mine = list(group)
        print(f"{named.get(person, person)} ({person})")
        for loses in (True, False):
            touched = [change for change in mine if change.now.may_go_alone is loses]
            if touched:
                what = "; ".join(titles.get(change.now.activity, change.now.activity) for change in touched)
                first = touched[0]
                print(f"  would {'lose' if loses else 'gain'} {what}: {retold(words, first.reason)}")
