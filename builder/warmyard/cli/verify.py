"""`warmyard verify FILE`: what somebody holds in hand, and whether it holds."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from warmyard.cli.record import now, open_record, read_day
from warmyard.cli.where import add_records
from warmyard.errors import InputError, VerificationError

if TYPE_CHECKING:
    from datetime import date

    from warmyard.certify.credential.reading import Trust
    from warmyard.certify.credential.status import StatusList


def add_arguments(parser: ArgumentParser) -> None:
    """Add the file, the day, a status list and --records."""
    parser.add_argument("file", metavar="FILE", help="certificate (.json or .jwt), a card's address in a text file, "
                        "status.js")  # fmt: skip
    parser.add_argument("--on", metavar="DATE", help="day, such as 2026-03-31 (default: today)")
    parser.add_argument("--status", metavar="FILE", help="the company's status.js, to look whether it is suspended")
    add_records(parser)


def run(args: Namespace) -> int:
    """Say in one sentence what it is and that it holds; exit code 3, with the step that failed, when it does not.

    Keys are those of the record when one is named, else `office_keys` of site_config/company.yaml.
    """
    from warmyard.certify.credential.reading import LARGEST_BYTES, read_handed_out
    from warmyard.certify.ledger.files import read_bounded
    from warmyard.cli.sources import words
    from warmyard.words.sentence import retold

    try:
        data = read_bounded(Path(args.file), LARGEST_BYTES)
    except OSError as problem:
        raise InputError(
            f"{args.file} cannot be read ({problem.strerror}); name the file that you were given"
        ) from None
    said = words()
    print(retold(said, read_handed_out(data, _trust(args, read_day(args.on) if args.on else now().date()))))
    return 0


def _trust(args: Namespace, on: date) -> Trust:
    from warmyard.certify.credential.reading import Trust, pins

    if args.records:
        from warmyard.certify.acts.certificate import office_keys
        from warmyard.certify.ledger.folders import STATUS

        record = open_record(args.records)
        pinned, own_list = pins(office_keys(record.state)), STATUS.at(record.folder) / "status.js"
    else:
        from warmyard.cli.sources import company

        pinned, own_list = pins(list(company().office_keys)), None
    listed = Path(args.status) if args.status else own_list
    if not pinned:
        raise InputError(
            "no key of a company is known; name its record with --records, "
            "or write its office_keys into site_config/company.yaml"
        )
    return Trust(pinned, on, _status(listed, pinned, named=bool(args.status)))


def _status(path: Path | None, pinned: dict[str, bytes], *, named: bool) -> StatusList | None:
    from warmyard.certify.credential.status import list_in, open_status_list

    if path is None or (not named and not path.is_file()):
        return None
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        raise InputError(f"the status list {path} cannot be read; name the status.js of the company") from None
    try:
        return open_status_list(list_in(text), pinned)
    except VerificationError as problem:
        raise VerificationError(f"status list, {problem.step}", problem.what) from None
