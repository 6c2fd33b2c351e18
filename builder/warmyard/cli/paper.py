"""`warmyard paper`: one paper for one candidate, or with --station the observer's form for one of the level's stations.

A paper is an entry and counts as an attempt; a form is neither.
"""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from warmyard.cli.decide import read_level
from warmyard.cli.record import OFFICE, Record, add_signing, load_signer, now, open_record
from warmyard.cli.where import cache_folder, workspace_root
from warmyard.errors import InputError, SourceErrors

if TYPE_CHECKING:
    from warmyard.course.scheme_model import Level, Scheme


def add_arguments(parser: ArgumentParser) -> None:
    """Add level, person, the bank, the part, the station, and adjustments for this candidate."""
    parser.add_argument("--level", required=True, metavar="L", help="level of the scheme, a number")
    parser.add_argument("--person", required=True, metavar="P", help="id of the candidate")
    parser.add_argument("--bank", metavar="DIR", help="folder of exam items instead of quizbank/exam")
    parser.add_argument("--part", metavar="ID", help="only this part (default: every part that is sat on paper)")
    parser.add_argument("--station", metavar="ID", help="make the observer's form for this station instead of a paper")
    parser.add_argument("--extra-time", type=int, default=0, metavar="PERCENT", help="extra time, 25 for example")
    parser.add_argument("--read-aloud", action="store_true", help="the invigilator reads the questions aloud")
    parser.add_argument("--because", default="", metavar="TEXT", help="why the paper is adjusted; kept in a side file")
    parser.add_argument("--approved-by", default="", metavar="P", help="id of the custodian or decider who approved it")
    parser.add_argument("--key", default=OFFICE, metavar="NAME", help="whose key signs (default: office)")
    add_signing(parser)


def run(args: Namespace) -> int:
    """Issue the papers of a level to a person, or write a form; say where they are."""
    from warmyard.certify.ledger.people import known_person
    from warmyard.certify.ledger.schemes import adopted_scheme, level_of
    from warmyard.cli.sources import words

    # First of all: a word that cannot be said stops here, since a paper is an attempt as soon as it is issued.
    said, record = words(), open_record(args.records)
    number = read_level(args.level)
    _, scheme = adopted_scheme(record.state)
    level = level_of(scheme, number)
    known_person(record.state, args.person)
    if args.station is not None:
        if args.extra_time or args.read_aloud or args.because or args.approved_by:
            raise InputError("adjustments are for papers; a station's own setting is adjusted by its examiner's notes")
        return _make_form(args, record, level)
    return _issue(args, record, scheme, level, said)


def _bank(args: Namespace) -> Path | None:
    if args.bank is not None and not Path(args.bank).is_dir():
        raise InputError(f"there is no folder {args.bank}; --bank names a folder of exam items")
    return None if args.bank is None else Path(args.bank)


def _issue(args: Namespace, record: Record, scheme: Scheme, level: Level, said: Mapping[str, str]) -> int:
    from warmyard.certify.acts.desk import Desk
    from warmyard.certify.acts.paper import issue_paper, verify_turn
    from warmyard.certify.exam.adjustments import Adjustments, verify_adjustments
    from warmyard.certify.exam.paper import Request, paper_parts
    from warmyard.certify.rules.judge import evidence_on
    from warmyard.course.proof import read_proved
    from warmyard.words.sentence import retold

    parts = paper_parts(level, args.part)
    adjustments = Adjustments(
        extra_time_percent=args.extra_time, read_aloud=args.read_aloud, because=args.because,
        approved_by=args.approved_by,
    )  # fmt: skip
    verify_adjustments(record.state, args.person, adjustments)
    for part in parts:
        verify_turn(record.state, args.person, level, part, now().date())
    prerequisites = evidence_on(record.state, level, args.person, now().date()).prerequisites
    signer = load_signer(record.folder, args.key, args.phrase_file)
    workspace = read_proved(workspace_root(), bank=_bank(args), cache=cache_folder(record.folder))
    for part in parts:
        request = Request(
            person=args.person, level=level, part=part, scheme=scheme, now=now(), adjustments=adjustments,
        )  # fmt: skip
        issued = issue_paper(Desk(record.ledger, request.now, signer), workspace, request)
        print(f"entry {issued.entry}: {issued.paper} for {args.person}, {issued.part}, attempt {issued.attempt}")
        print(f"  paper {issued.page}")
        print(f"  slip  {issued.slip}   for the invigilator only; print it, and keep it apart from the paper")
    for each in prerequisites:
        if each.missing:
            print(f"note: {retold(said, each.missing)}; a decision waits for it")
    return 0


def _make_form(args: Namespace, record: Record, level: Level) -> int:
    from warmyard.certify.exam.observation import write_form
    from warmyard.course.station import check_station
    from warmyard.course.workspace import read_workspace

    offered = [name for part in level.parts for name in part.stations]
    if args.station not in offered:
        raise InputError(f"level {level.level} does not observe {args.station}; its stations are {', '.join(offered)}")
    workspace = read_workspace(workspace_root(), bank=_bank(args))
    station = workspace.stations.get(args.station)
    if station is None:
        raise InputError(f"the station {args.station} of the adopted scheme is not in course/stations; bring it back")
    if faults := check_station(station):
        raise SourceErrors(faults)
    path = write_form(record.folder, workspace, level, args.person, station)
    print(f"form {path}")
    print(f"  after the observation: warmyard enter observation FILE --code CODE --records {record.folder}")
    return 0
