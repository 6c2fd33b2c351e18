"""`warmyard demo`: a records folder of invented people, on which every other command can be tried."""

from __future__ import annotations

import shutil
import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from warmyard.cli.record import now
from warmyard.cli.where import add_records, cache_folder, records_folder, workspace_root
from warmyard.errors import InputError

if TYPE_CHECKING:
    from warmyard.certify.rules.clearance import Clearance


def add_arguments(parser: ArgumentParser) -> None:
    """Add --records, a folder that is not there yet or empty."""
    add_records(parser)


def run(args: Namespace) -> int:
    """Make the demo beside its place and move it there whole, then say who is cleared and why not."""
    folder = records_folder(args.records, must_exist=False)
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise InputError(f"{folder} is not empty; a demo is made in a new folder, so name another or remove that one")
    making = folder.with_name(f".{folder.name}.making")
    shutil.rmtree(making, ignore_errors=True)
    try:
        _make(making)
        if folder.exists():
            folder.rmdir()
        making.rename(folder)
    except OSError as problem:
        raise InputError(f"the demo cannot be written to {folder} ({problem.strerror})") from None
    finally:
        shutil.rmtree(making, ignore_errors=True)
    _say(folder)
    return 0


def _make(making: Path) -> None:
    from warmyard.certify.demo.story import make_demo
    from warmyard.course.proof import read_proved

    workspace = read_proved(workspace_root(), cache=cache_folder(making))
    making.mkdir(parents=True)
    make_demo(making, workspace, now())


def _say(folder: Path) -> None:
    from warmyard.certify.demo.cast import CANDIDATES, NAMES, STAFF
    from warmyard.certify.ledger.ledger import Ledger
    from warmyard.certify.rules.clearance import board
    from warmyard.cli.sources import words

    said, state = words(), Ledger.open(folder).verify()
    print(f"a demo of invented people in {folder}; {state.count} entries")
    for person, name, roles in STAFF:
        print(f"  {person:8}{name:22}{', '.join(roles)}")
    answers = board(state, now().date(), named=NAMES)
    for person, name, what in CANDIDATES:
        print(
            f"  {person:8}{name:22}{what}: {_sentence([answer for answer in answers if answer.person == person], said)}"
        )
    print("keys/*.phrase hold the phrases, in a demo only; a company opens its own with `warmyard ledger open`",
          file=sys.stderr)  # fmt: skip


def _sentence(answers: Sequence[Clearance], said: Mapping[str, str]) -> str:
    """Return what the board says of a person: for how much and until when, or the first reason why not."""
    from warmyard.words.sentence import retold

    good = [answer for answer in answers if answer.may_go_alone]
    if not good:
        return retold(said, answers[0].reason)
    return f"may go alone for {len(good)} of {len(answers)} activities until {good[0].until}"
