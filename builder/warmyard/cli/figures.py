"""warmyard figures: item and examination figures from the ledger, never without their n."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace

from warmyard.certify.bodies import Observation
from warmyard.certify.ledger import Ledger
from warmyard.certify.state import State
from warmyard.cli.where import add_records, records_folder
from warmyard.measure.report import ObservationFacts, PartRule, SittingFacts, make_report, report_lines, report_record


def add_arguments(parser: ArgumentParser) -> None:
    """Add the records folder and --json."""
    add_records(parser)
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")


def run(args: Namespace) -> int:
    """Verify the ledger, then print the figures of papers, items, stations and observers."""
    state = Ledger.open(records_folder(args.records)).verify()
    given_out = [fact.body.items for fact in state.papers.values()]
    report = make_report(sittings_of(state), observations_of(state), given_out, rules_of(state))
    if args.json:
        print(json.dumps(report_record(report), indent=2, ensure_ascii=False, allow_nan=False))
    else:
        print("\n".join(report_lines(report)))
    return 0


def sittings_of(state: State) -> list[SittingFacts]:
    """Return the sittings that count, each with the number of its try; void ones are left out."""
    return [
        SittingFacts(
            person=fact.entry.person,
            level=fact.body.level,
            part=fact.body.part,
            attempt=state.papers[paper].body.attempt,
            passed=fact.body.passed,
            right=fact.body.right,
            of=fact.body.of,
            cut_percent=float(fact.body.cut_percent),
            marks=fact.body.marks,
        )
        for paper, fact in state.sittings.items()
        if fact.entry.number not in state.voided
    ]


def observations_of(state: State) -> list[ObservationFacts]:
    """Return what each observer noted; an entry that several signed together is one view, not two."""
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
