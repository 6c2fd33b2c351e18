"""What pages say of a machine: its own words where its sources have them, else the tool's."""

from __future__ import annotations

from warmyard.machine.model import Machine
from warmyard.words import say, spoken

GROUP = "machine."


def machine_word(machine: Machine, word: str, **parts: str) -> str:
    """Return a sentence about the machine with its parts put in."""
    return say(machine.words, word, **parts) if machine.words.get(word) else say({}, GROUP + word, **parts)


def machine_words(machine: Machine, start: str) -> dict[str, str]:
    """Return every word about the machine whose id begins so, for a page's scripts."""
    own = {name.removeprefix(GROUP): text for name, text in spoken().items() if name.startswith(GROUP + start)}
    return own | {name: text for name, text in machine.words.items() if name.startswith(start)}
