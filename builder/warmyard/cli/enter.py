"""`warmyard enter KIND FILE`: one fact into the ledger, its file JSON or YAML, one schema for each kind."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace, RawDescriptionHelpFormatter
from pathlib import Path
from typing import TYPE_CHECKING, Any

from warmyard.cli.fact_file import read_bytes, read_fact, read_facts
from warmyard.cli.key_making import new_key_file
from warmyard.cli.record import OFFICE, Record, add_signing, load_signer, now, open_record
from warmyard.cli.where import workspace_root
from warmyard.errors import InputError, SourceError, SourceErrors

if TYPE_CHECKING:
    from warmyard.certify.acts.desk import Desk, Entered
    from warmyard.course.handbook import Handbook

KINDS = ("person", "key", "evidence", "observation", "interest", "waiver", "appeal", "notice", "acknowledgement",
         "void", "scheme", "erase")  # fmt: skip


def add_arguments(parser: ArgumentParser) -> None:
    """Add the kind, the file, whose key signs, and the code of a form."""
    parser.formatter_class = RawDescriptionHelpFormatter
    parser.epilog = _fields()
    parser.add_argument("kind", choices=KINDS, metavar="KIND", help=", ".join(KINDS))
    parser.add_argument("file", metavar="FILE", help="JSON or YAML; for a scheme its scheme.yaml")
    parser.add_argument("--key", default=OFFICE, metavar="NAME", help="whose key signs (default: office)")
    parser.add_argument("--second-phrase-file", metavar="FILE", help="phrase of the one who countersigns a waiver")
    parser.add_argument("--code", help="code that an observation form showed when it was saved")
    parser.add_argument("--long-pause", action="store_true", help="the clock is right: the last entry is that old")
    add_signing(parser)


def _fields() -> str:
    from warmyard.certify.acts.kinds import FILES, schema_words

    lines = [f"  {kind:16}{' '.join(schema_words(shape))}" for kind, shape in FILES.items()]
    return "Fields of each file, those in brackets may be left out:\n" + "\n".join(lines)


def run(args: Namespace) -> int:
    """Verify words and ledger, enter the fact, and say which entry it became."""
    from warmyard.certify.acts.desk import Desk
    from warmyard.cli.sources import words
    from warmyard.words.sentence import retold

    said = words()
    raw = read_bytes(Path(args.file))
    record = open_record(args.records)
    signer = load_signer(record.folder, args.key, args.phrase_file)
    record.ledger.long_pause_is_right = args.long_pause
    for entered in _enter(args, raw, record, Desk(record.ledger, now(), signer)):
        print(f"entry {entered.entry.number}: {retold(said, entered.say)}")
    return 0


def _enter(args: Namespace, raw: bytes, record: Record, desk: Desk) -> list[Entered]:
    """Enter what a file holds, by its kind; most kinds need the file alone."""
    from warmyard.certify.acts.evidence import EvidenceFile, enter_evidence_list
    from warmyard.certify.acts.kinds import ENTER, FILES
    from warmyard.certify.acts.scheme import enter_scheme
    from warmyard.certify.acts.waiver import enter_waiver

    name = Path(args.file).name
    if args.kind == "observation":
        return [_enter_observation(args, raw, desk)]
    if args.kind == "scheme":
        return [enter_scheme(desk, _scheme(Path(args.file)))]
    if args.kind == "evidence":
        return enter_evidence_list(desk, read_facts(raw, name, EvidenceFile))
    file = read_fact(raw, name, FILES[args.kind])
    if args.kind == "notice":
        return [_enter_notice(desk, file)]
    if args.kind == "key":
        return [_enter_key(record, desk, file)]
    if args.kind == "waiver":
        return [enter_waiver(desk, file, load_signer(record.folder, file.second, args.second_phrase_file))]
    return [ENTER[args.kind](desk, file)]


def _enter_key(record: Record, desk: Desk, file: Any) -> Entered:
    from warmyard.certify.acts.key import enter_key

    with new_key_file(record, file) as made:
        return enter_key(desk, file, made)


def _enter_notice(desk: Desk, file: Any) -> Entered:
    from warmyard.certify.acts.notice import enter_notice, write_sheet
    from warmyard.certify.ledger import envelope

    workspace, changed, title = _changed(file.changed)
    digest = envelope.digest((workspace.root / changed.place.file).read_bytes())
    entered = enter_notice(desk, file, digest)
    notice = entered.entry.body["notice"]
    sheet = write_sheet(desk.records, desk.state, notice, title, workspace.company, workspace.words)
    print(f"sheet for the readers: {sheet}")
    return entered


def _changed(changed: str) -> tuple[Handbook, Any, str]:
    """Return the sources, the lesson, sheet or rule that a notice names, and its title; raise InputError for others."""
    from warmyard.certify.rules.notice import CHANGED
    from warmyard.course.handbook import read_handbook

    kind, _, name = changed.partition(":")
    if kind not in CHANGED or not name:
        raise InputError(f"{changed} is nothing to read again; write {':ID, '.join(CHANGED)}:ID")
    workspace = read_handbook(workspace_root())
    offered: dict[str, Any] = {"lesson": workspace.lessons, "sheet": workspace.sheets, "rule": workspace.rules}
    if name not in offered[kind]:
        raise InputError(f"there is no {kind} {name}; there are {', '.join(sorted(offered[kind]))}")
    found = offered[kind][name]
    titles = {"lesson": lambda: found.front.title, "sheet": lambda: found.name, "rule": lambda: found.means}
    return workspace, found, titles[kind]()


def _scheme(path: Path) -> Any:
    """Return a scheme that has every part and that the exam items of this workspace can fill."""
    from warmyard.course.scheme import check_scheme, load_scheme
    from warmyard.course.workspace import read_workspace

    faults: list[SourceError] = []
    scheme = load_scheme(path.resolve(), path.resolve().parent, faults)
    if scheme is None or faults:
        raise SourceErrors(faults)
    workspace = read_workspace(workspace_root())
    found = check_scheme(scheme, workspace.skills, workspace.stations, workspace.items)
    if found:
        raise SourceErrors(found)
    return scheme


def _enter_observation(args: Namespace, raw: bytes, desk: Desk) -> Entered:
    from warmyard.certify.acts.observation import enter_form
    from warmyard.course.station import check_stations, load_stations

    root = workspace_root()
    faults: list[SourceError] = []
    stations = load_stations(root / "course" / "stations", root, faults)
    faults += check_stations(stations.values())
    if faults:
        raise SourceErrors(faults)
    return enter_form(desk, raw, args.code, stations)
