"""A machine that is read again as it was is the very one, so that what was worked out of it is found."""

from __future__ import annotations

import msgspec

from warmyard.machine.memory import OfLastMachine, the_very_one
from warmyard.machine.model import Machine


def test_an_equal_machine_is_the_very_one(machine: Machine) -> None:
    """Read again and equal: the same object, and nothing is worked out twice; one that differs is another."""
    known: OfLastMachine[int] = OfLastMachine()
    asked: list[str] = []

    def look(one: Machine) -> int:
        return known.answer(the_very_one(one), "modes", lambda: asked.append("once") or len(one.modes))

    again = msgspec.structs.replace(machine, modes=dict(machine.modes))
    assert again is not machine
    assert look(machine) == look(again) == len(machine.modes)
    assert asked == ["once"]
    fewer = msgspec.structs.replace(machine, modes=dict(list(machine.modes.items())[1:]))
    assert look(fewer) == len(machine.modes) - 1
    assert the_very_one(fewer) is fewer
