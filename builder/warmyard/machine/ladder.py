"""The precondition ladder: what holds as well, and the least minutes from one precondition to another."""

from __future__ import annotations

import math
from collections.abc import Mapping

from warmyard.machine.model import Machine


def included(machine: Machine, standing: str) -> frozenset[str]:
    """Return every precondition that holds while one holds, itself among them."""
    found: set[str] = set()
    open_ones = [standing]
    while open_ones:
        name = open_ones.pop()
        if name not in found:
            found.add(name)
            open_ones.extend(machine.preconditions[name].includes)
    return frozenset(found)


def ladder_table(machine: Machine, symptom: str) -> Mapping[str, Mapping[str, float]]:
    """Return the least minutes from each precondition to each within reach, for a symptom; 0 where it holds already."""
    names = list(machine.preconditions)
    least = {start: {to: (0.0 if to in included(machine, start) else math.inf) for to in names} for start in names}
    for rung in machine.ladder:
        if rung.symptoms and symptom not in rung.symptoms:
            continue
        for start in names if rung.start is None else [rung.start]:
            least[start][rung.to] = min(least[start][rung.to], rung.minutes)
    for middle in names:
        for start in names:
            for to in names:
                least[start][to] = min(least[start][to], least[start][middle] + least[middle][to])
    return {start: {to: m for to, m in row.items() if m < math.inf} for start, row in least.items()}


def standing_after(machine: Machine, standing: str, needed: str) -> str:
    """Return where somebody stands after a move: nothing is given up that includes what is needed."""
    return standing if needed in included(machine, standing) else needed
