"""warmyard build: write the site, both editions or one, the same bytes each time."""

from __future__ import annotations

import sys
import time
from argparse import ArgumentParser, Namespace
from pathlib import Path

from warmyard.cli.check import add_sources, load_checked
from warmyard.cli.where import whole_path
from warmyard.course.lesson import EDITIONS
from warmyard.course.workspace import counts
from warmyard.errors import InputError
from warmyard.item.model import Edition


def add_arguments(parser: ArgumentParser) -> None:
    """Add the options of `warmyard build`."""
    parser.add_argument("--edition", choices=EDITIONS, help="only this edition")
    parser.add_argument("--out", metavar="DIR", help="folder to write to; with both editions, one folder in it each")
    add_sources(parser)


def run(args: Namespace) -> int:
    """Check the sources, then build; print a line an edition."""
    from warmyard.web.build import AuditError, build_edition

    workspace = load_checked(args)
    root = workspace.root
    numbers = counts(workspace)
    print(f"sources sound: {numbers['lessons']} lessons, {numbers['items']} items, {numbers['formulas']} formulas")
    for edition in [args.edition] if args.edition else EDITIONS:
        target = target_folder(root, args.out, edition, args.edition is not None)
        try:
            report = build_edition(workspace, edition, target, time.process_time)
        except AuditError as found:
            for fault in found.faults:
                print(fault, file=sys.stderr)
            print(f"the {edition} edition was not put in place", file=sys.stderr)
            return found.exit_code
        size_mb = report.bytes / 1e6
        drawn = f"; {report.variants} variants in {report.variants_s:.1f} s of one core" if report.variants else ""
        where = shown(report.target, root)
        print(f"{edition}: {report.pages} pages, {report.files} files, {size_mb:.1f} MB in {where}{drawn}")
    return 0


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
