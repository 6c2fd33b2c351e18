"""`warmyard certificate`: a certificate as a signed JSON file and as a sheet with a card to carry."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from warmyard.cli.decide import read_level
from warmyard.cli.printed import verify_outside
from warmyard.cli.record import OFFICE, add_signing, load_signer, now, open_record
from warmyard.cli.where import whole_path
from warmyard.errors import InputError


def add_arguments(parser: ArgumentParser) -> None:
    """Add person, level, and the file for the JWT."""
    parser.add_argument("person", metavar="PERSON", help="id of the holder")
    parser.add_argument("level", metavar="LEVEL", help="level of the scheme, 2 for example")
    parser.add_argument("--jwt", metavar="FILE", help="write it as a JWT too (vc+jwt, EdDSA), for readers of that form")
    add_signing(parser)


def run(args: Namespace) -> int:
    """Write the certificate of the decision that holds today, and say where it is and until when the card runs."""
    from warmyard.certify.acts.certificate import give_certificate
    from warmyard.certify.ledger.files import write_whole
    from warmyard.certify.ledger.people import known_person
    from warmyard.cli.sources import company, words

    said, level = words(), read_level(args.level)
    wanted = whole_path(args.jwt) if args.jwt else None
    if wanted is not None and (not wanted.parent.is_dir() or wanted.is_dir()):
        raise InputError(f"the JWT cannot be written to {args.jwt}: there is no such folder, or it is one")
    record = open_record(args.records)
    if wanted is not None:
        verify_outside(record.folder, wanted, args.jwt, "the JWT")
    known_person(record.state, args.person)
    signer = load_signer(record.folder, OFFICE, args.phrase_file)
    given = give_certificate(
        record.ledger, record.state, person=args.person, level=level, company=company(),
        words=said, now=now(), signer=signer,
    )  # fmt: skip
    print(given.credential)
    print(given.sheet)
    if wanted is not None:
        write_whole(wanted, given.credential.with_suffix(".jwt").read_bytes())
        print(args.jwt)
    print(f"entry {given.entry.number}: the card runs until {given.card_until}")
    print(given.address)
    return 0
