"""`warmyard mark`: marks a sitting that was handed in, once, with the code from the invigilator's slip."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from warmyard.cli.record import OFFICE, add_signing, load_signer, now, open_record
from warmyard.errors import InputError

if TYPE_CHECKING:
    from warmyard.certify.acts.hand_in import Marked

LARGEST_BYTES = 512_000


def add_arguments(parser: ArgumentParser) -> None:
    """Add the file, its code, the invigilator and --json."""
    parser.add_argument("sitting", metavar="SITTING", help="file that the paper saved at hand-in")
    parser.add_argument("--code", required=True, help="code from the invigilator's slip")
    parser.add_argument("--invigilator", default="", metavar="P", help="id of the invigilator, for the entry")
    parser.add_argument("--json", action="store_true", help="print the outcome as JSON")
    parser.add_argument("--key", default=OFFICE, metavar="NAME", help="whose key signs (default: office)")
    add_signing(parser)


def run(args: Namespace) -> int:
    """Verify the ledger, mark the sitting, and say what came of it; the same bytes again are "already entry N"."""
    from warmyard.certify.acts.desk import Desk
    from warmyard.certify.acts.hand_in import hand_in
    from warmyard.cli.sources import words

    said, data = words(), _read(Path(args.sitting))
    record = open_record(args.records)
    signer = load_signer(record.folder, args.key, args.phrase_file)
    entered = hand_in(Desk(record.ledger, now(), signer), data, args.code, invigilator=args.invigilator)
    if args.json:
        print(json.dumps(_as_record(entered), indent=2, ensure_ascii=False))
    else:
        print("\n".join(_lines(entered, said)))
    return 0


def _read(path: Path) -> bytes:
    from warmyard.certify.ledger.files import read_bounded

    try:
        return read_bounded(path, LARGEST_BYTES)
    except OSError as problem:
        raise InputError(f"{path.name} cannot be read ({problem.strerror}); name the file that was handed in") from None


def _lines(entered: Marked, words: Mapping[str, str]) -> list[str]:
    from warmyard.words import say

    body = entered.body
    verdict = say(words, "marked.passed" if body.passed else "marked.not_passed")
    whose: dict[str, object] = {"entry": entered.entry, "paper": body.paper, "person": entered.person}
    if entered.again:
        return [say(words, "marked.again", **whose, verdict=verdict)]
    lines = [say(words, "marked.share", right=body.right, of=body.of, cut=body.cut_percent)]
    if body.critical_missed:
        lines.append(say(words, "marked.critical", items=", ".join(body.critical_missed)))
    for duty, (right, of) in _by_duty(entered).items():
        lines.append(say(words, "marked.duty", duty=duty, right=right, of=of))
    head = say(words, "marked.entry", **whose, level=body.level, part=body.part)
    return [head, *(f"  {line}" for line in [*lines, verdict])]


def _by_duty(entered: Marked) -> dict[str, tuple[int, int]]:
    """Return right and asked by duty: what a candidate may be told, without the content of an item."""
    counts: dict[str, tuple[int, int]] = {}
    for one in entered.outcome.marks if entered.outcome else ():
        right, of = counts.get(one.duty, (0, 0))
        counts[one.duty] = (right + one.right, of + 1)
    return dict(sorted(counts.items()))


def _as_record(entered: Marked) -> dict[str, Any]:
    body = entered.body
    return {
        "entry": entered.entry,
        "already": entered.again,
        "paper": body.paper,
        "person": entered.person,
        "level": body.level,
        "part": body.part,
        "right": body.right,
        "of": body.of,
        "cut_percent": float(body.cut_percent),
        "critical_missed": list(body.critical_missed),
        "passed": body.passed,
        "by_duty": {duty: {"right": right, "of": of} for duty, (right, of) in _by_duty(entered).items()},
    }
