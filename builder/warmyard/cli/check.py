"""warmyard check: look through all sources and list every fault; nothing is written."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Iterable
from datetime import date
from pathlib import Path

from warmyard.cli.record import now, read_day
from warmyard.cli.where import cache_folder, whole_path, workspace_root
from warmyard.course.known import from_memory
from warmyard.course.proof import read_proved
from warmyard.course.published import of_no_kind, overdue
from warmyard.course.workspace import Workspace, counts
from warmyard.errors import SOURCES_FAULTY, InputError, SourceErrors


def add_arguments(parser: ArgumentParser) -> None:
    """Add the options of `warmyard check`."""
    parser.add_argument("--json", action="store_true", help="print faults and counts as JSON")
    parser.add_argument(
        "--on", metavar="DATE", help="say which sources are to be looked at again by this day (default: today)"
    )
    add_sources(parser)


def add_sources(parser: ArgumentParser) -> None:
    """Add the options that change which sources are read."""
    parser.add_argument("--country", metavar="NAME", help="rules of this country instead of the company's")
    parser.add_argument("--bank", metavar="DIR", help="folder of exam items instead of quizbank/exam")


def bank_folder(args: Namespace) -> Path | None:
    """Return the folder named by --bank; raise InputError when there is none."""
    if args.bank is None:
        return None
    folder = whole_path(args.bank)
    if not folder.is_dir():
        raise InputError(f"there is no folder {args.bank}; name the folder of your exam items")
    return folder


def verify_country(root: Path, country: str | None) -> None:
    """Raise InputError when a country is named that has no rules."""
    known = sorted(path.stem for path in (root / "site_config" / "rules").glob("*.yaml"))
    if country is not None and country not in known:
        raise InputError(f"there are no rules for the country {country[:40]!r}; the countries are {', '.join(known)}")


def load_checked(args: Namespace) -> Workspace:
    """Return the workspace, proved, with all that its pages need; raise SourceErrors."""
    from warmyard.web.links import check_links
    from warmyard.web.words import check_words

    root = workspace_root()
    verify_country(root, args.country)
    workspace = read_proved(root, country=args.country, bank=bank_folder(args), cache=cache_folder())
    faults = check_words(workspace) or check_links(workspace)
    if faults:
        raise SourceErrors(faults)
    return workspace


def run(args: Namespace) -> int:
    """Print every fault, or the counts; return 1 when there are faults."""
    on = read_day(args.on) if args.on else now().date()
    try:
        workspace = load_checked(args)
    except SourceErrors as found:
        if args.json:
            print(json.dumps({"errors": [fault.as_record() for fault in found.faults], "counts": {}}, indent=1))
        else:
            print(found, file=sys.stderr)
            word = "fault" if len(found.faults) == 1 else "faults"
            print(f"{len(found.faults)} {word}; nothing was written", file=sys.stderr)
        return SOURCES_FAULTY
    _tell(workspace, on, as_json=args.json)
    return 0


def _tell(workspace: Workspace, on: date, *, as_json: bool) -> None:
    """Print what there is of each kind, what is from memory, what is to be looked at again, and what names no kind."""
    numbers, unread, vague = counts(workspace), from_memory(workspace), of_no_kind(workspace)
    due = {source.id: str(source.look_again) for source in overdue(workspace.sources.values(), on)}
    if as_json:
        known = {"from_memory": unread, "look_again": due, "of_no_kind": vague}
        print(json.dumps({"errors": [], "counts": numbers, **known}, indent=1))
        return
    print("no faults: " + ", ".join(f"{count} {name.replace('_', ' ')}" for name, count in numbers.items()))
    print(f"from memory, not yet read in a source ({len(unread)}): " + _listed(unread))
    print(f"sources to be looked at again by {on} ({len(due)}): " + _listed(f"{id} ({day})" for id, day in due.items()))
    print(f"sources of rules and tables that name no kind and edition ({len(vague)}): " + _listed(vague))


def _listed(parts: Iterable[str]) -> str:
    return "; ".join(parts) or "none"
