"""`warmyard figures`: item and examination figures from the ledger, never without their n."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeAlias

import msgspec
from msgspec import Meta

from warmyard.cli.record import open_record
from warmyard.cli.where import add_records
from warmyard.errors import InputError, SourceError, VerificationError
from warmyard.measure.forms import rate_papers, rated_lines, rated_record
from warmyard.measure.report import ObservationFacts, PartRule, SittingFacts, make_report, report_lines, report_record
from warmyard.sources import read_document

if TYPE_CHECKING:
    from warmyard.certify.ledger.state import State

Chance: TypeAlias = Annotated[float, Meta(ge=0, le=1)]


def add_arguments(parser: ArgumentParser) -> None:
    """Add the records folder and --json."""
    add_records(parser)
    parser.add_argument(
        "--ratings", metavar="FILE", help="judges' ratings: the cut of each paper given out, and which differ"
    )
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")


def run(args: Namespace) -> int:
    """Verify the ledger, then print the figures of papers, items, stations and observers."""
    record = open_record(args.records)
    given_out = [fact.body.items for fact in record.state.papers.values()]
    sittings = sittings_of(record.state, record.folder)
    report = make_report(sittings, observations_of(record.state), given_out, rules_of(record.state))
    rated = rate_papers(read_ratings(Path(args.ratings)), papers_of(record.state)) if args.ratings else None
    if args.json:
        found = report_record(report) | ({} if rated is None else {"ratings": rated_record(rated)})
        print(json.dumps(found, indent=2, ensure_ascii=False, allow_nan=False))
        return 0
    print("\n".join(report_lines(report)))
    if rated is not None:
        print("\nPapers by the judges' ratings")
        print("\n".join(f"  {line}" for line in rated_lines(rated)))
    return 0


def papers_of(state: State) -> dict[str, tuple[str, ...]]:
    """Return the items of every paper that was given out."""
    return {name: tuple(fact.body.items) for name, fact in state.papers.items()}


def read_ratings(path: Path) -> dict[str, list[float]]:
    """Return item -> one chance a judge, from YAML lines such as `item-id: [0.8, 0.75, 0.9]`.

    Raises InputError for anything that is not a panel's ratings.
    """
    try:
        value = read_document(path, path.parent).value
    except SourceError as problem:
        raise InputError(str(problem)) from None
    try:
        ratings = msgspec.convert(value, dict[str, Annotated[list[Chance], Meta(min_length=2)]], strict=True)
    except msgspec.ValidationError:
        ratings = {}
    if len({len(each) for each in ratings.values()}) != 1:
        raise InputError(f"{path.name} holds no ratings; write one line an item, id: [0.8, 0.75], two judges or more")
    return ratings


def sittings_of(state: State, records: Path) -> list[SittingFacts]:
    """Return the sittings that count, each with its try and, where they can still be read, its wrong answers."""
    from warmyard.certify.exam.answers import wrong_answers

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
    from warmyard.certify.ledger.bodies import Observation

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
