"""The page of calls: a fresh call of the difficulty asked for, drawn from the machine model."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from warmyard.item.kinds.fault_case.drawn_call import difficulty_of, drawn_calls, levels_needed, written_calls
from warmyard.item.variant_model import Variant
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
    guided = _guided([drawn.first(call) for call in calls if call.id in groups["easy"]])
    return script_of(calls={**groups, "guided": guided}).encode()


def _guided(easy: Sequence[Variant]) -> dict[str, list[str]]:
    """Return the easy calls to begin with, by level: those with fewest checks of all whose best way it may make."""
    needed = {variant.question.item: levels_needed(variant) for variant in easy}
    found: dict[str, list[str]] = {}
    for level in sorted({level for levels in needed.values() for level in levels}):
        own = {name: len(levels) for name, levels in needed.items() if max(levels, default=0) <= level}
        found[str(level)] = [name for name, checks in own.items() if checks == min(own.values())]
    return found


def call_scripts(machine: Machine, drawn: DrawBook) -> dict[str, bytes]:
    """Return every call with its key, a script each, by its place in the site."""
    return drawn.scripts([*drawn_calls(machine), *written_calls(machine)])


def calls_html() -> Markup:
    """Return the frame that calls.js fills, with words for a reader without scripts."""
    return fill("drawn-calls")
