"""`warmyard decide`: grant, suspend, restore or withdraw, signed with the decider's own key."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from warmyard.cli.record import add_signing, load_signer, now, open_record, read_day
from warmyard.errors import InputError


def add_arguments(parser: ArgumentParser) -> None:
    """Add person, level, action, decider and reason."""
    parser.add_argument("person", metavar="PERSON", help="id of the candidate or holder")
    parser.add_argument("level", metavar="LEVEL", help="level of the scheme, 2 for example")
    parser.add_argument("action", choices=("grant", "suspend", "restore", "withdraw"), metavar="ACTION",
                        help="grant, suspend, restore or withdraw")  # fmt: skip
    parser.add_argument("--by", required=True, metavar="PERSON", help="id of the decider, whose key signs")
    parser.add_argument("--because", required=True, metavar="CODE", help="reason code of the scheme")
    parser.add_argument("--on", metavar="DATE", help="day from which it holds (default: today)")
    add_signing(parser)


def run(args: Namespace) -> int:
    """Decide, and say from when and until when; a refusal is one sentence and exit code 2."""
    from warmyard.certify.acts.decision import decide, verify_may_decide
    from warmyard.certify.ledger.schemes import adopted_scheme, level_of
    from warmyard.certify.rules.assessment import assess

    level = read_level(args.level)
    record = open_record(args.records)
    _, scheme = adopted_scheme(record.state)
    verify_may_decide(record.state, args.by, args.person)
    signer = load_signer(record.folder, args.by, args.phrase_file)
    # After the phrase: typed slowly, an earlier moment could lie before what another desk entered meanwhile.
    moment = now()
    on = read_day(args.on) if args.on else moment.date()
    if args.action == "grant":
        for note in assess(record.state, level_of(scheme, level), args.person, on).notes:
            print(f"note: {note}")
    entry = decide(
        record.ledger, record.state, person=args.person, level=level, action=args.action, by=args.by,
        because=args.because, on=on, now=moment, signer=signer,
    )  # fmt: skip
    restricts = args.action in ("suspend", "withdraw")
    print(f"entry {entry.number}: level {level} of {args.person}: {args.action}, "
          f"from {entry.counts_from(restricts=restricts)}", end="")  # fmt: skip
    if args.action == "grant":
        print(f" until {entry.body['until']}; write it with `warmyard certificate {args.person} {level}`")
    else:
        print("; publish a new status list with `warmyard ledger status`")
    return 0


def read_level(text: str) -> int:
    """Return a level typed on the command line; raise InputError when it is no small whole number."""
    if not text.isascii() or not text.isdigit() or not 1 <= int(text[:4]) <= 99:
        raise InputError(f"{text[:20]!r} is not a level; write its number, 2 for example")
    return int(text)
