"""warmyard build: write the site, both editions or one, the same bytes each time."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

from warmyard.cli.check import add_sources, bank_folder, load_checked, verify_country
from warmyard.cli.where import cache_folder, whole_path, workspace_root
from warmyard.cores import meanwhile, nothing_collected
from warmyard.course.lesson import EDITIONS
from warmyard.course.stamp import open_book
from warmyard.course.workspace import Workspace, counts
from warmyard.errors import InputError
from warmyard.item.model import Edition


def add_arguments(parser: ArgumentParser) -> None:
    """Add the options of `warmyard build`."""
    parser.add_argument("--edition", choices=EDITIONS, help="only this edition")
    parser.add_argument("--out", metavar="DIR", help="folder to write to; with both editions, one folder in it each")
    add_sources(parser)


def run(args: Namespace) -> int:
    """Build what does not stand as it was built of the same sources; print a line for them and one an edition."""
    from warmyard.web.as_built import as_built, digest_inputs

    root, cache = workspace_root(), cache_folder()
    verify_country(root, args.country)
    editions: tuple[Edition, ...] = (args.edition,) if args.edition else EDITIONS
    targets = {edition: target_folder(root, args.out, edition, args.edition is not None) for edition in editions}
    inputs = digest_inputs(root, country=args.country, bank=bank_folder(args))
    standing = {edition: as_built(target, inputs, cache) for edition, target in targets.items()}
    if None not in standing.values():
        for line in dict.fromkeys(line for note in standing.values() if note for line in note.said):
            print(line)
        return 0
    with nothing_collected():
        return _build(args, inputs, {edition: targets[edition] for edition, note in standing.items() if note is None})


def _build(args: Namespace, inputs: str | None, targets: Mapping[Edition, Path]) -> int:
    """Build editions at the same time; one that is faulty keeps no other from its place."""
    from warmyard.web.as_built import digest_inputs, note_built
    from warmyard.web.build import AuditError

    workspace, cache = load_checked(args), cache_folder()
    root, bank = workspace.root, bank_folder(args)
    numbers = counts(workspace)
    first = f"sources sound: {numbers['lessons']} lessons, {numbers['items']} items, {numbers['formulas']} formulas"
    print(first)
    jobs = {edition: partial(_build_edition, args, workspace, edition, target) for edition, target in targets.items()}
    in_this_process, *others = jobs
    answers: dict[Edition, Callable[[], str]] = {
        in_this_process: jobs[in_this_process],
        **{edition: meanwhile(jobs[edition]) for edition in others},
    }
    exit_code = 0
    for edition, target in targets.items():
        try:
            line = answers[edition]()
        except AuditError as found:
            for fault in found.faults:
                print(fault, file=sys.stderr)
            print(f"the {edition} edition was not put in place", file=sys.stderr)
            exit_code = found.exit_code
            continue
        print(line)
        # What was saved while this ran is not in the pages: then nothing is noted, and the next build looks again.
        if digest_inputs(root, country=args.country, bank=bank) == inputs:
            note_built(target, inputs, (first, line), cache)
    return exit_code


def _build_edition(args: Namespace, workspace: Workspace, edition: Edition, target: Path) -> str:
    """Build one edition and return the line that tells of it; raise AuditError."""
    from warmyard.web.build import build_edition

    book = open_book(workspace.root, edition, country=args.country, bank=bank_folder(args), cache=cache_folder())
    report = build_edition(workspace, edition, target, book)
    book.close()
    where = shown(target, workspace.root)
    return f"{edition}: {report.pages} pages, {report.files} files, {report.bytes / 1e6:.1f} MB in {where}"


def target_folder(root: Path, out: str | None, edition: Edition, only: bool) -> Path:
    """Return where an edition is written; raise InputError for a folder that is part of the sources."""
    if out is None:
        return root / "site" / edition
    folder = whole_path(out)
    folder = folder if only else folder / edition
    sources = [root / name for name in ("course", "quizbank", "site_config", "builder", "tests")]
    if folder == root or any(folder.is_relative_to(source) for source in sources) or root.is_relative_to(folder):
        raise InputError(f"{out} is part of the sources; name a folder outside them")
    return folder


def shown(path: Path, root: Path) -> str:
    """Return a path as it is printed: short where it lies in the workspace."""
    return path.relative_to(root).as_posix() if path.is_relative_to(root) else str(path)
