"""`warmyard suspects`: what may be wrong, and what to check next."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from warmyard.cli.sources import words
from warmyard.cli.where import workspace_root
from warmyard.course.fleet import contexts_of, load_sheets
from warmyard.errors import InputError, SourceError
from warmyard.machine import advice, diagnosis
from warmyard.machine.load import read_machine
from warmyard.machine.model import Machine
from warmyard.machine.nearness import must_be_one_of
from warmyard.words import speaking

SHOWN = 8


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the symptom and what is known about it."""
    parser.add_argument("symptom", metavar="SYMPTOM", help="what the caller reports, e.g. spark-no-flame")
    parser.add_argument("--saw", action="append", default=[], metavar="CHECK=OUTCOME", help="what a check showed")
    parser.add_argument("--context", action="append", default=[], metavar="NAME", help="e.g. cold-night")
    parser.add_argument("--machine", metavar="ID", help="a machine of the fleet, for what its data sheet says")
    parser.add_argument("--from", dest="standing", metavar="PRECONDITION", help="where you stand, e.g. unplugged")
    parser.add_argument("--level", type=int, default=1, help="level of the person who goes (default 1)")
    parser.add_argument("--json", action="store_true", help="print JSON")


def run(args: argparse.Namespace) -> int:
    """Print the suspects and the next check; a contradiction is an empty list and a sentence, not an error."""
    root = workspace_root()
    machine = read_machine(root / "course" / "machine", root)
    situation = diagnosis.Situation(
        symptom=args.symptom,
        seen=read_seen(args.saw),
        contexts=(*args.context, *(of_sheet(machine, root, args.machine) if args.machine else ())),
        standing=args.standing,
        level=args.level,
    )
    with speaking(words()):
        found = advice.advise(machine, situation)
    urgent = machine.symptoms[args.symptom].emergency is not None
    print(json.dumps(as_record(found), ensure_ascii=False) if args.json else as_text(found, urgent=urgent))
    return 0


def of_sheet(machine: Machine, root: Path, name: str) -> tuple[str, ...]:
    """Return the contexts that a machine's data sheet names; raise InputError for no such machine."""
    faults: list[SourceError] = []
    sheets = load_sheets(root / "site_config" / "fleet", root, faults)
    must_be_one_of(name, sheets, "machine")
    return contexts_of(machine, sheets[name])


def read_seen(texts: list[str]) -> dict[str, str]:
    """Return CHECK=OUTCOME words as a mapping in their order; raise InputError for anything else."""
    seen: dict[str, str] = {}
    for text in texts:
        check, equals, outcome = text.partition("=")
        if not (check and equals and outcome):
            raise InputError(f"{text!r} is not CHECK=OUTCOME; write for example dip-the-tank=below-pick-up")
        if seen.get(check, outcome) != outcome:
            raise InputError(f"{check} is given twice with different outcomes; keep the one that was seen")
        seen[check] = outcome
    return seen


def as_record(found: advice.Advice) -> dict[str, object]:
    """Return an answer as the JSON of the contract."""
    suspects = [{"id": one.id, "weight": one.weight, "name": one.name} for one in found.suspects]
    step = found.next
    following = step and {"check": step.check, "minutes": step.minutes, "precondition": step.precondition}
    return {"suspects": suspects, "next": following, "say": found.say}


def as_text(found: advice.Advice, *, urgent: bool) -> str:
    """Return an answer as a short table for people; in an emergency what to do stands before what it may be."""
    lines = [f"{one.weight:6.1%}  {one.name}  ({one.id})" for one in found.suspects[:SHOWN]]
    if len(found.suspects) > SHOWN:
        rest = sum(one.weight for one in found.suspects[SHOWN:])
        lines.append(f"{rest:6.1%}  {len(found.suspects) - SHOWN} others")
    return "\n".join([found.say, "", *lines] if urgent else [*lines, "", found.say])
