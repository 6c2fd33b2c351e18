"""warmyard schema: write one JSON Schema for each kind of source file, so that an editor completes and checks them."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace

from warmyard.cli.where import whole_path
from warmyard.errors import InputError


def add_arguments(parser: ArgumentParser) -> None:
    """Add the options of `warmyard schema`."""
    parser.add_argument("--out", metavar="DIR", required=True, help="folder to write to, such as course/schemas")


def run(args: Namespace) -> int:
    """Write the schemas; the same bytes each time."""
    from warmyard.course.source_schemas import ENDING, schemas

    folder = whole_path(args.out)
    if folder.exists() and not folder.is_dir():
        raise InputError(f"{args.out} is no folder; name one")
    folder.mkdir(parents=True, exist_ok=True)
    every = schemas()
    for name, schema in every.items():
        (folder / f"{name}{ENDING}").write_text(as_text(schema), encoding="utf-8", newline="\n")
    print(f"{len(every)} schemas in {args.out}; a source names its own in its first line")
    return 0


def as_text(schema: dict[str, object]) -> str:
    """Return a schema as its file holds it."""
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"
