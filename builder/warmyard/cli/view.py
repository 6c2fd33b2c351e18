"""warmyard view: build an edition, serve it on this machine only, and build again whenever a source is saved."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from warmyard.cli.check import add_sources, bank_folder, verify_country
from warmyard.cli.where import cache_folder, workspace_root
from warmyard.course.lesson import EDITIONS
from warmyard.errors import InputError

LARGEST_PORT = 65535


def add_arguments(parser: ArgumentParser) -> None:
    """Add the options of `warmyard view`."""
    parser.add_argument("--edition", choices=EDITIONS, default="staff", help="which edition (staff)")
    parser.add_argument("--port", type=int, default=8000, help="port on this machine (8000); 0 takes any that is free")
    add_sources(parser)


def run(args: Namespace) -> int:
    """Serve until stopped with Ctrl+C, which is the way to stop it and no failure."""
    from warmyard.web.view import Viewer

    if not 0 <= args.port <= LARGEST_PORT:
        raise InputError(f"{args.port} is no port; name one from 1024 to {LARGEST_PORT}, or 0 for any that is free")
    root = workspace_root()
    verify_country(root, args.country)
    try:
        with Viewer(
            root,
            args.edition,
            args.port,
            say=lambda text: print(text, flush=True),
            cache=cache_folder(),
            country=args.country,
            bank=bank_folder(args),
        ) as viewer:
            viewer.watch()
    except KeyboardInterrupt:
        print("stopped", flush=True)
    return 0
