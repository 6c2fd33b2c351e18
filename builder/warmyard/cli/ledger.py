"""`warmyard ledger`: verify it, print its witness digest, export it, publish status lists, show what it shows of the
requirements on such a record or of one candidate, or open a new one."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace

from warmyard.cli.printed import verify_outside
from warmyard.cli.record import OFFICE, add_signing, key_file, load_signer, now, open_record, verify_day
from warmyard.cli.where import records_folder, whole_path
from warmyard.errors import InputError

ACTIONS = ("verify", "export", "witness", "status", "requirements", "evidence", "mend", "open")


def add_arguments(parser: ArgumentParser) -> None:
    """Add the action, --witness and --out."""
    parser.add_argument("action", choices=ACTIONS, metavar="ACTION", help=", ".join(ACTIONS))
    parser.add_argument("about", nargs="*", metavar="PERSON LEVEL", help="with evidence: the candidate, the level")
    parser.add_argument("--witness", nargs="+", action="extend", default=[], metavar="X",
                        help="digests that a board or certificate printed earlier")  # fmt: skip
    parser.add_argument(
        "--out", metavar="DIR", help="folder for registers as CSV (export), or page to print (requirements, "
        "evidence); without it the first two are printed here"
    )  # fmt: skip
    parser.add_argument("--json", action="store_true", help="print the requirements as a JSON list")
    add_signing(parser)


def run(args: Namespace) -> int:
    """Do one thing with the ledger; a broken one is exit code 3, with its first bad entry and nobody's name."""
    if args.witness and args.action != "verify":
        raise InputError("--witness belongs to `warmyard ledger verify`")
    if args.out and args.action not in ("export", "requirements", "evidence"):
        raise InputError("--out belongs to `warmyard ledger export`, `requirements` and `evidence`")
    if args.about and args.action != "evidence":
        raise InputError(f"`warmyard ledger {args.action}` takes nothing after it; see warmyard ledger --help")
    if args.json and args.action != "requirements":
        raise InputError("--json belongs to `warmyard ledger requirements`")
    actions = {"verify": _verify, "export": _export, "witness": _witness, "status": _status,
               "requirements": _requirements, "evidence": _evidence, "mend": _mend, "open": _open}  # fmt: skip
    return actions[args.action](args)


def _verify(args: Namespace) -> int:
    from warmyard.certify.acts.key import entries_to_confirm
    from warmyard.certify.ledger.witness import find_witness, witness_text

    record = open_record(args.records, args.witness)
    for printed in args.witness:
        print(f"witness {printed}: entry {find_witness(printed, record.state.digests)}")
    doubtful = entries_to_confirm(record.state)
    if doubtful:
        print(f"to confirm, signed with a key reported stolen: entries {', '.join(map(str, doubtful))}")
    print(f"{record.state.count} entries verified; witness digest {witness_text(record.state.tip)}")
    return 0


def _witness(args: Namespace) -> int:
    from warmyard.certify.ledger.witness import witness_text

    state = open_record(args.records).state
    print(f"{witness_text(state.tip)}   (entry {state.count}, recorded {state.last_recorded_at})")
    return 0


def _export(args: Namespace) -> int:
    from warmyard.certify.report.export import export_record, record_lines
    from warmyard.cli.sources import words

    record, moment = open_record(args.records), now()
    if not args.out:
        for line in record_lines(record.state):
            print(line)
        return 0
    verify_day(record, moment)
    out, said = whole_path(args.out), words()
    verify_outside(record.folder, out, args.out, "the registers")
    try:
        for path in export_record(record.folder, record.state, out, said, moment):
            print(path)
    except OSError as problem:
        raise InputError(f"the registers cannot be written to {args.out} ({problem.strerror})") from None
    return 0


def _status(args: Namespace) -> int:
    from warmyard.certify.acts.certificate import publish_status
    from warmyard.cli.sources import company, words

    record, moment = open_record(args.records), now()
    # A list of a past day would not hold what was suspended since, and pages would take it for the newest.
    verify_day(record, moment)
    signer = load_signer(record.folder, OFFICE, args.phrase_file)
    for path in publish_status(record.folder, record.state, company(), words(), moment, signer):
        print(path)
    return 0


def _requirements(args: Namespace) -> int:
    from warmyard.cli.requirements import show

    return show(args)


def _evidence(args: Namespace) -> int:
    from warmyard.cli.evidence import write_evidence

    return write_evidence(args)


def _mend(args: Namespace) -> int:
    from warmyard.certify.ledger.ledger import Ledger

    state = Ledger.open(records_folder(args.records)).mend()
    print(f"ledger.sqlite is written anew from its own {state.count} entries, all of them verified")
    return 0


def _open(args: Namespace) -> int:
    from warmyard.certify.ledger.envelope import encode_base64url, new_key, new_phrase, save_key
    from warmyard.certify.ledger.ledger import Ledger

    folder = records_folder(args.records, must_exist=False)
    for name in (OFFICE, "recovery"):
        if key_file(folder, name).exists():
            raise InputError(f"there is a key {name}.pem in {folder} already; name an empty folder")
    office, recovery = new_key(), new_key()
    phrases = {OFFICE: new_phrase(), "recovery": new_phrase()}
    try:
        # Keys first: a ledger without its keys would be of no use to anybody, and in the way of the next one.
        save_key(office, key_file(folder, OFFICE), phrases[OFFICE])
        save_key(recovery, key_file(folder, "recovery"), phrases["recovery"])
        ledger = Ledger.create(folder, office, recovery, now())
    except Exception:
        for name in phrases:
            key_file(folder, name).unlink(missing_ok=True)
        raise
    for name, phrase in phrases.items():
        print(f"phrase of {name}.pem, shown once; write it down now: {phrase}")
    state = ledger.verify()
    print(
        f"public half of the office key, for office_keys in site_config/company.yaml: {encode_base64url(office.public)}"
    )
    print(f"a new ledger in {folder} with {state.count} entry; carry recovery.pem to another place", file=sys.stderr)
    return 0
