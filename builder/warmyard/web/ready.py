"""The page "Am I ready?" of each level of the scheme, and the page of the learner's own record."""

from __future__ import annotations

from collections.abc import Callable

from markupsafe import Markup

from warmyard.course.scheme_model import Level
from warmyard.web.assets import scripts_of
from warmyard.web.blocks import Writer
from warmyard.web.fill import FOLDER, fill
from warmyard.web.packs import PLAN, plan_file

READY_SCRIPTS = ("readiness.js", "ready.js")
MOVE_SCRIPTS = ("photographs.js", "answered_days.js", "seal.js", "moved_states.js", "moving.js")
QR_SCRIPTS = ("vendored/qr-make.js", "vendored/qr-read.js")
"""Fetched by the page when a picture is made or read."""


def ready_uri(level: Level) -> str:
    """Return where the page of a level lies."""
    return f"ready-{level.level}.md"


def ready_page(level: Level) -> Callable[[Writer], Markup]:
    """Return what writes the page of a level: how far a reader is, from the record on the device alone."""

    def write(writer: Writer) -> Markup:
        writer.scripts[PLAN] = plan_file(writer.workspace, writer.edition, writer.drawn)
        writer.scripts |= scripts_of(READY_SCRIPTS)
        return fill("ready", level=level, levels=writer.workspace.scheme.levels)

    return write


def record_page(writer: Writer) -> Markup:
    """Return the page of the learner's own record: saved, loaded, carried to another device, erased."""
    writer.scripts[PLAN] = plan_file(writer.workspace, writer.edition, writer.drawn)
    writer.scripts |= scripts_of(MOVE_SCRIPTS)
    writer.more_files |= scripts_of(QR_SCRIPTS)
    return fill("record", scripts=f"{FOLDER}/vendored/")
