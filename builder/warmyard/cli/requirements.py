"""`warmyard ledger requirements`: each requirement on a certification record, and what this record shows of it."""

from __future__ import annotations

import json
from argparse import Namespace
from typing import TYPE_CHECKING

from warmyard.cli.printed import write_page
from warmyard.cli.record import Record, now, open_record, verify_day
from warmyard.cli.where import workspace_root

if TYPE_CHECKING:
    from pathlib import Path

    from warmyard.certify.report.requirement import Measured
    from warmyard.certify.report.requirements import Requirements, RequirementShown
    from warmyard.course.workspace import Workspace
    from warmyard.page.requirements_page import RequirementsReport


def show(args: Namespace) -> int:
    """Verify the ledger and print the requirements, or write them as a page."""
    from warmyard.certify.report.requirements import count_verdicts, load_requirements, show_requirements
    from warmyard.cli.sources import words
    from warmyard.course.workspace import read_workspace

    words()  # a fault in them is told before all sources are read
    record, root, moment = open_record(args.records), workspace_root(), now()
    verify_day(record, moment)
    on = moment.date()
    wanted, workspace = load_requirements(root), read_workspace(root)
    rows = show_requirements(wanted, record.folder, record.state, workspace, on, measured_of(record))
    if args.out:
        _write(args.out, _report(wanted, rows, record), workspace, record.folder)
        return 0
    if args.json:
        print(json.dumps([row.as_record() for row in rows], indent=1, ensure_ascii=False))
        return 0
    for row in rows:
        print(f"{row.number:2}  {wanted.verdicts[row.verdict]}: {row.asks}\n      {row.found}")
    print(wanted.count.format_map(count_verdicts(rows)))
    return 0


def measured_of(record: Record) -> Measured:
    """Return what the figures of a record say, as far as requirements ask for it."""
    from warmyard.certify.report.requirement import Measured
    from warmyard.cli.figure_facts import observations_of, rules_of, sittings_of
    from warmyard.measure.report import make_report
    from warmyard.words.sentence import sentence

    sittings = sittings_of(record.state, record.folder)
    report = make_report(sittings, observations_of(record.state), rules=rules_of(record.state))
    scheme = record.state.scheme_now()
    errors = {
        (level.level, part.id): part.cut.standard_error
        for level in (scheme.levels if scheme else ())
        for part in level.parts
        if part.cut
    }
    near = sum(
        abs(100 * each.right / each.of - each.cut_percent) <= errors.get((each.level, each.part), 0)
        for each in sittings
        if each.of
    )
    largest = max(report.papers, key=lambda paper: paper.passed_first.n, default=None)
    chance = largest.chances[0] if largest and largest.chances else None
    kappa = report.observers.kappa
    return Measured(
        groups=len(report.papers), most_sittings=largest.passed_first.n if largest else 0,
        share_percent=round(100 * chance.true_share) if chance else 0,
        passes_percent=round(100 * chance.passes) if chance else 0,
        items=len(report.items), flagged=sum(bool(item.flags) for item in report.items),
        most_answers=max((item.facility.n for item in report.items), default=0), pairs=kappa.n,
        kappa=sentence("requirement.not_known") if kappa.value is None else f"{kappa.value:.2f}", near_cut=near,
    )  # fmt: skip


def _report(wanted: Requirements, rows: list[RequirementShown], record: Record) -> RequirementsReport:
    from warmyard.certify.report.requirements import count_verdicts, intro_facts
    from warmyard.page.requirements_page import RequirementRow, RequirementsReport

    kinds = {"met": "wy-answer wy-yes", "not-met": "wy-answer wy-no", "cannot": "wy-answer"}
    return RequirementsReport(
        title=wanted.title, intro=wanted.intro.format_map(intro_facts(record.state, now().date())), heads=wanted.heads,
        count=wanted.count.format_map(count_verdicts(rows)), claims_head=wanted.claims_head,
        claims=((wanted.can_head, wanted.can), (wanted.cannot_head, wanted.cannot)),
        rows=[
            RequirementRow(
                number=row.number, id=row.id, asks=row.asks, basis=wanted.basis.format(basis=row.basis),
                verdict=wanted.verdicts[row.verdict], kind=kinds[row.verdict], found=row.found,
                also=wanted.also.format(also=row.also) if row.also else "",
            )
            for row in rows
        ],
    )  # fmt: skip


def _write(path: str, report: RequirementsReport, workspace: Workspace, records: Path) -> None:
    from warmyard.page.requirements_page import requirements_page

    write_page(path, requirements_page(report, workspace.company, workspace.words), "the report", records)
