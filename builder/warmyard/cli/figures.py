"""`warmyard figures`: item and examination figures from the ledger, never without their n."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace
from pathlib import Path

from warmyard.cli.figure_facts import observations_of, papers_of, rules_of, sittings_of
from warmyard.cli.record import open_record
from warmyard.cli.sources import words
from warmyard.cli.where import add_records
from warmyard.measure.forms import rate_papers, rated_lines, rated_record
from warmyard.measure.ratings import read_ratings
from warmyard.measure.report import make_report, report_lines, report_record
from warmyard.words import say


def add_arguments(parser: ArgumentParser) -> None:
    """Add the records folder and --json."""
    add_records(parser)
    parser.add_argument(
        "--ratings", metavar="FILE", help="judges' ratings: the cut of each paper given out, and which differ"
    )
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")


def run(args: Namespace) -> int:
    """Verify the ledger, then print the figures of papers, items, stations and observers."""
    said, record = words(), open_record(args.records)
    given_out = [fact.body.items for fact in record.state.papers.values()]
    sittings = sittings_of(record.state, record.folder)
    report = make_report(sittings, observations_of(record.state), given_out, rules_of(record.state))
    rated = rate_papers(read_ratings(Path(args.ratings)), papers_of(record.state)) if args.ratings else None
    if args.json:
        found = report_record(report) | ({} if rated is None else {"ratings": rated_record(rated)})
        print(json.dumps(found, indent=2, ensure_ascii=False, allow_nan=False))
        return 0
    print("\n".join(report_lines(report, said)))
    if rated is not None:
        print(f"\n{say(said, 'figures.ratings')}")
        print("\n".join(f"  {line}" for line in rated_lines(rated, said)))
    return 0
