"""The page of calls: a fresh call of the difficulty asked for, drawn from the machine model."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.item.kinds.fault_case.drawn_call import difficulty_of, drawn_calls, written_calls
from warmyard.machine.model import Machine
from warmyard.page.javascript import script_of
from warmyard.web.drawn import DrawBook
from warmyard.web.fill import FOLDER, fill

CALLS = f"{FOLDER}/data/calls.js"
CALL_SCRIPTS = ("diagnosis.js", "calls.js")


def calls_file(machine: Machine, drawn: DrawBook) -> bytes:
    """Return WY.calls: the ids by difficulty, and those that were written."""
    calls, written = drawn_calls(machine), written_calls(machine)
    groups: dict[str, list[str]] = {"easy": [], "middle": [], "hard": []}
    for call in calls:
        groups[difficulty_of(drawn.first(call))].append(call.id)
    groups["written"] = [call.id for call in written]
    return script_of(calls=groups).encode()


def call_scripts(machine: Machine, drawn: DrawBook) -> dict[str, bytes]:
    """Return every call with its key, a script each, by its place in the site."""
    return drawn.scripts([*drawn_calls(machine), *written_calls(machine)])


def calls_html() -> Markup:
    """Return the frame that calls.js fills, with words for a reader without scripts."""
    return fill("drawn-calls")
