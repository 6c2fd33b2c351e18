"""warmyard view: build an edition, serve it on this machine only, and build again whenever a source is saved."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from warmyard.cli.where import workspace_root
from warmyard.course.lesson import EDITIONS


def add_arguments(parser: ArgumentParser) -> None:
    """Add the options of `warmyard view`."""
    parser.add_argument("--edition", choices=EDITIONS, default="staff", help="which edition (staff)")
    parser.add_argument("--port", type=int, default=8000, help="port on this machine (8000); 0 takes any that is free")


def run(args: Namespace) -> int:
    """Serve until stopped with Ctrl+C."""
    from warmyard.web.view import Viewer

    with Viewer(workspace_root(), args.edition, args.port, say=lambda text: print(text, flush=True)) as viewer:
        viewer.watch()
    return 0
