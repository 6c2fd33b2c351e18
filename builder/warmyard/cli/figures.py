"""`warmyard figures`: item and examination figures from the ledger, never without their n."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from warmyard.cli.record import open_record
from warmyard.cli.where import add_records
from warmyard.errors import VerificationError
from warmyard.measure.report import ObservationFacts, PartRule, SittingFacts, make_report, report_lines, report_record

if TYPE_CHECKING:
    from warmyard.certify.state import State


def add_arguments(parser: ArgumentParser) -> None:
    """Add the records folder and --json."""
    add_records(parser)
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")


def run(args: Namespace) -> int:
    """Verify the ledger, then print the figures of papers, items, stations and observers."""
    record = open_record(args.records)
    given_out = [fact.body.items for fact in record.state.papers.values()]
    sittings = sittings_of(record.state, record.folder)
    report = make_report(sittings, observations_of(record.state), given_out, rules_of(record.state))
    if args.json:
        print(json.dumps(report_record(report), indent=2, ensure_ascii=False, allow_nan=False))
    else:
        print("\n".join(report_lines(report)))
    return 0


def sittings_of(state: State, records: Path) -> list[SittingFacts]:
    """Return the sittings that count, each with its try and, where they can still be read, its wrong answers."""
    from warmyard.certify.answers import wrong_answers

    found = []
    for name, fact in state.sittings.items():
        if fact.entry.number in state.voided:
            continue
        paper = state.papers[name]
        taken: dict[str, tuple[str, ...]] = {}
        offered: dict[str, tuple[str, ...]] = {}
        if not state.people[fact.entry.person].erased:
            try:
                taken, offered = wrong_answers(records, paper, fact)
            except VerificationError as problem:
                print(f"the answers of {name} are left out: {problem}", file=sys.stderr)
        found.append(
            SittingFacts(
                person=fact.entry.person,
                level=fact.body.level,
                part=fact.body.part,
                attempt=paper.body.attempt,
                passed=fact.body.passed,
                right=fact.body.right,
                of=fact.body.of,
                cut_percent=float(fact.body.cut_percent),
                marks=fact.body.marks,
                taken=taken,
                offered=offered,
            )
        )
    return found


def observations_of(state: State) -> list[ObservationFacts]:
    """Return what each observer noted; an entry that several signed together is one view, not two."""
    from warmyard.certify.bodies import Observation

    return [
        ObservationFacts(
            person=person,
            station=fact.body.station,
            day=fact.entry.effective_on.isoformat(),
            observer="+".join(sorted(fact.body.observers)),
            passed=fact.body.passed,
            points=fact.body.points,
        )
        for person in list(state.facts)
        for fact in state.of(person, Observation)
    ]


def rules_of(state: State) -> dict[tuple[int, str], PartRule]:
    """Return for each level and part of the adopted scheme its critical items and the tries that it allows."""
    scheme = state.scheme_now()
    if scheme is None:
        return {}
    return {
        (level.level, part.id): PartRule(part.critical_items, level.re_sit.attempts)
        for level in scheme.levels
        for part in level.parts
    }
