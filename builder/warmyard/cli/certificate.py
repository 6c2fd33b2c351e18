"""`warmyard certificate`: a certificate as a signed JSON file and as a sheet with a card to carry."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from warmyard.cli.decide import read_level
from warmyard.cli.record import OFFICE, add_signing, load_signer, now, open_record


def add_arguments(parser: ArgumentParser) -> None:
    """Add person and level."""
    parser.add_argument("person", metavar="PERSON", help="id of the holder")
    parser.add_argument("level", metavar="LEVEL", help="level of the scheme, 2 for example")
    add_signing(parser)


def run(args: Namespace) -> int:
    """Write the certificate of the decision that holds today, and say where it is and until when the card runs."""
    from warmyard.certify.issue import give_certificate
    from warmyard.certify.people import known_person
    from warmyard.cli.sources import company, word

    level = read_level(args.level)
    record = open_record(args.records)
    known_person(record.state, args.person)
    signer = load_signer(record.folder, OFFICE, args.phrase_file)
    given = give_certificate(
        record.ledger, record.state, person=args.person, level=level, company=company(),
        cautions=word("shell.cautions"), now=now(), signer=signer,
    )  # fmt: skip
    print(given.credential)
    print(given.sheet)
    print(f"entry {given.entry.number}: the card runs until {given.card_until}")
    print(given.address)
    return 0
