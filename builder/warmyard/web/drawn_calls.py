"""The page of calls: a fresh call of the difficulty asked for, drawn from the machine model."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.workspace import Workspace
from warmyard.item.kinds.fault_case.drawn_call import difficulty_of, drawn_calls, written_calls
from warmyard.item.variant import make_variant
from warmyard.page.formula_script import units_script
from warmyard.page.javascript import script_of
from warmyard.page.payload import item_payload
from warmyard.web.fill import FOLDER, fill

CALLS = f"{FOLDER}/data/calls.js"
CALL_SCRIPTS = ("calls.js",)
SEED = 1
"""Causes and sentences stand in the order of this draw; the call itself is drawn in the page."""


def calls_file(workspace: Workspace) -> bytes:
    """Return every call with its key, and WY.calls: the ids by difficulty, and those that were written."""
    variants = [make_variant(call, SEED, workspace.surroundings) for call in drawn_calls(workspace.machine)]
    written = [make_variant(call, SEED, workspace.surroundings) for call in written_calls(workspace.machine)]
    groups: dict[str, list[str]] = {"easy": [], "middle": [], "hard": []}
    for variant in variants:
        groups[difficulty_of(variant)].append(variant.question.item)
    groups["written"] = [variant.question.item for variant in written]
    return (units_script() + item_payload([*variants, *written]) + script_of(calls=groups)).encode()


def calls_html() -> Markup:
    """Return the frame that calls.js fills, with words for a reader without scripts."""
    return fill("drawn-calls")
