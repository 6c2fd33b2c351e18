"""What was worked out of the machine that was asked about last: proof, cases and charts ask the same over again."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

from warmyard.machine.model import Machine

Answer = TypeVar("Answer")


_read_last: list[Machine] = []


def the_very_one(machine: Machine) -> Machine:
    """Return the machine that was read last where this one is equal, so that what was worked out of it is found."""
    if _read_last != [machine]:
        _read_last[:] = [machine]
    return _read_last[0]


class OfLastMachine(Generic[Answer]):
    """Answers about one machine, the very object; those about another are forgotten when the next is asked about."""

    def __init__(self) -> None:
        self._machine: Machine | None = None
        self._known: dict[Hashable, Answer] = {}

    def answer(self, machine: Machine, asked: Hashable, work_out: Callable[[], Answer]) -> Answer:
        """Return what is known of a machine, or work it out."""
        if self._machine is not machine:
            self._machine, self._known = machine, {}
        if asked not in self._known:
            self._known[asked] = work_out()
        return self._known[asked]
