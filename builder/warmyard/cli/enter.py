"""`warmyard enter KIND FILE`: one fact into the ledger, its file JSON or YAML, one schema for each kind."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace, RawDescriptionHelpFormatter
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Any

from warmyard.cli.record import OFFICE, Record, add_signing, key_file, load_signer, now, open_record
from warmyard.cli.where import workspace_root
from warmyard.errors import InputError, SourceError, SourceErrors, VerificationError, WarmyardError

if TYPE_CHECKING:
    from warmyard.certify.acts.filing import Desk, Filed
    from warmyard.certify.ledger.envelope import SigningKey
    from warmyard.course.handbook import Handbook

KINDS = ("person", "key", "evidence", "observation", "interest", "waiver", "appeal", "notice", "acknowledgement",
         "void", "scheme", "erase")  # fmt: skip
LARGEST_FILE_BYTES = 2_000_000
_KINDS_IN_WORDS = {"int": "a whole number", "str": "text", "array": "a list", "object": "named fields",
                   "float": "a decimal", "bool": "yes or no", "null": "nothing"}  # fmt: skip


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
    from warmyard.certify.acts.filing import FILES, schema_words
    from warmyard.certify.acts.interest_filing import INTEREST_FILES
    from warmyard.certify.acts.notice_filing import NOTICE_FILES

    every = {**FILES, **INTEREST_FILES, **NOTICE_FILES}
    lines = [f"  {kind:16}{' '.join(schema_words(shape))}" for kind, shape in every.items()]
    return "Fields of each file, those in brackets may be left out:\n" + "\n".join(lines)


def run(args: Namespace) -> int:
    """Verify the ledger, file the fact, and say which entry it became."""
    from warmyard.certify.acts.filing import Desk

    raw = _read(Path(args.file))
    record = open_record(args.records)
    signer = load_signer(record.folder, args.key, args.phrase_file)
    record.ledger.long_pause_is_right = args.long_pause
    desk = Desk(record.folder, record.ledger, record.state, now(), signer)
    for filed in _file(args, raw, record, desk):
        print(f"entry {filed.entry.number}: {filed.say}")
    return 0


def _read(path: Path) -> bytes:
    from warmyard.certify.ledger.files import read_bounded

    try:
        raw = read_bounded(path, LARGEST_FILE_BYTES)
    except OSError as problem:
        raise InputError(f"{path.name} cannot be read ({problem.strerror})") from None
    if len(raw) > LARGEST_FILE_BYTES:
        raise InputError(f"{path.name} is too large; keep it below {LARGEST_FILE_BYTES} bytes")
    return raw


def _file(args: Namespace, raw: bytes, record: Record, desk: Desk) -> list[Filed]:
    from warmyard.certify.acts import filing, interest_filing

    if args.kind == "observation":
        return [_file_observation(args, raw, desk)]
    if args.kind == "scheme":
        return [filing.file_scheme(desk, _scheme(Path(args.file)))]
    name = Path(args.file).name
    if args.kind == "evidence":
        return filing.file_evidence_list(desk, _decode_several(raw, name, filing.EvidenceFile))
    if args.kind == "interest":
        return [interest_filing.file_interest(desk, _decode(raw, name, interest_filing.InterestFile))]
    if args.kind in ("notice", "acknowledgement"):
        return [_file_notice(args, raw, desk)]
    file = _decode(raw, name, filing.FILES[args.kind])
    if args.kind == "key":
        with _new_key(record, file) as made:
            return [filing.file_key(desk, file, made)]
    if args.kind == "waiver":
        return [filing.file_waiver(desk, file, load_signer(record.folder, file.second, args.second_phrase_file))]
    what: Any = getattr(filing, f"file_{args.kind}")
    return [what(desk, file)]


def _file_notice(args: Namespace, raw: bytes, desk: Desk) -> Filed:
    from warmyard.certify.acts import notice_filing
    from warmyard.certify.ledger import envelope

    file = _decode(raw, Path(args.file).name, notice_filing.NOTICE_FILES[args.kind])
    if args.kind == "acknowledgement":
        return notice_filing.file_acknowledgement(desk, file)
    workspace, changed, title = _changed(file.changed)
    digest = envelope.digest((workspace.root / changed.place.file).read_bytes())
    filed = notice_filing.file_notice(desk, file, digest)
    sheet = notice_filing.write_sheet(
        desk.records, desk.ledger.verify(), filed.entry.body["notice"], title, workspace.company, workspace.words
    )
    print(f"sheet for the readers: {sheet}")
    return filed


def _changed(changed: str) -> tuple[Handbook, Any, str]:
    """Return the sources, the lesson, sheet or rule that a notice names, and its title; raise InputError for others."""
    from warmyard.certify.acts.notice_filing import CHANGED
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


def _decode_several(raw: bytes, name: str, kind: Any) -> list[Any]:
    """Return the facts of a file that holds one, or a YAML list of them."""
    from warmyard.sources import decode_list, parse_document

    if name.endswith(".json") or not raw.lstrip().startswith(b"-"):
        return [_decode(raw, name, kind)]
    faults: list[SourceError] = []
    try:
        made = list(decode_list(parse_document(raw.decode("utf-8-sig"), name), kind, faults))
    except SourceError as problem:
        raise InputError(_in_words(str(problem))) from None
    except UnicodeDecodeError:
        raise InputError(_not_utf8(name)) from None
    if faults:
        raise InputError(_in_words(str(faults[0])))
    return made


def _decode(raw: bytes, name: str, kind: Any) -> Any:
    """Return a file's fields; raise InputError, with the line where there is one, for anything else."""
    import msgspec

    from warmyard.sources import decode, parse_document

    try:
        if name.endswith(".json"):
            return msgspec.convert(_plain_json(raw, name), kind, strict=True)
        faults: list[SourceError] = []
        made = decode(parse_document(raw.decode("utf-8-sig"), name), kind, faults)
        if faults:
            raise faults[0]
        return made
    except (VerificationError, SourceError) as problem:
        raise InputError(_in_words(str(problem))) from None
    except UnicodeDecodeError:
        raise InputError(_not_utf8(name)) from None
    except msgspec.ValidationError as problem:
        raise InputError(f"{name}: {_in_words(str(problem))}") from None


def _not_utf8(name: str) -> str:
    return f"{name} is not UTF-8 text; save it again as UTF-8"


def _plain_json(raw: bytes, name: str) -> dict[str, Any]:
    """Return the fields of a JSON file, with or without the mark that some editors put before UTF-8 text."""
    from warmyard.certify.ledger.canonical import read_json

    text = raw.decode("utf-8-sig")
    try:
        return read_json(text.encode(), name)
    except VerificationError as problem:
        raise InputError(f"{problem}; correct the file, `warmyard enter --help` lists the fields") from None


def _in_words(problem: str) -> str:
    """Return a complaint about a field without the patterns and type names behind it."""
    from warmyard.certify.ledger.bodies import SHAPES

    for pattern, words in SHAPES.items():
        for shown in (pattern, repr(pattern)[1:-1]):
            problem = problem.replace(f"`str` matching regex '{shown}'", words)
    for kind, words in _KINDS_IN_WORDS.items():
        problem = problem.replace(f"`{kind}`", words)
    return problem.replace("correct it as the schema in DEVELOPERS.md says", "`warmyard enter --help` lists the fields")


@contextmanager
def _new_key(record: Record, file: Any) -> Iterator[SigningKey | None]:
    """Make the key that a file asks for, keep it in keys/, and put everything back when its entry is refused."""
    from warmyard.certify.ledger.envelope import new_key, new_phrase, save_key

    if file.action not in ("add", "replace") or file.public:
        yield None
        return
    name = file.person if file.use == "person" else file.use
    if not name:
        raise InputError("name the person whose key it is")
    path = key_file(record.folder, name)
    aside = _free(path.with_name(f"{path.stem}.before-{record.state.count + 1}.pem"))
    made, phrase = new_key(), new_phrase()
    moved = path.exists()
    if moved:
        path.rename(aside)
    try:
        save_key(made, path, phrase)
        yield made
    except BaseException:
        # Stopped by hand after the entry was made, the key holds, and nobody has its phrase yet.
        if _stands(record, made):
            print(f"the key holds; phrase of {path.name}, shown once; write it down now: {phrase}")
            raise
        path.unlink(missing_ok=True)
        if moved:
            aside.rename(path)
        raise
    path.with_suffix(".phrase").unlink(missing_ok=True)
    print(f"phrase of the new key {path.name}, shown once; write it down now: {phrase}")


def _free(path: Path) -> Path:
    """Return a path, or one like it, at which no file stands: a key is never overwritten."""
    names = (path.with_name(f"{path.stem}{'-again' * again}{path.suffix}") for again in count())
    return next(each for each in names if not each.exists())


def _stands(record: Record, key: SigningKey) -> bool:
    """Say whether the entry of a new key was made."""
    try:
        return key.id in record.ledger.verify().keys
    except WarmyardError:
        return False


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


def _file_observation(args: Namespace, raw: bytes, desk: Desk) -> Filed:
    from warmyard.certify.acts.observed import file_form
    from warmyard.course.station import check_stations, load_stations

    root = workspace_root()
    faults: list[SourceError] = []
    stations = load_stations(root / "course" / "stations", root, faults)
    faults += check_stations(stations.values())
    if faults:
        raise SourceErrors(faults)
    return file_form(desk, raw, args.code, stations)
