"""Recompute suspects with pgmpy (extra `outside`): one cause, its symptom and its checks as a Bayesian network.

Run by hand after a change of the machine or of that library: python tests/outside/recompute_diagnosis.py
It prints one line a symptom and ends with exit code 1 when a weight differs by more than 1e-9. Single faults only, and
only checks that can be done whatever the fault is: elsewhere our rule for "cannot be done" is no probability.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path

import msgspec
import numpy as np
from pgmpy.factors.discrete import TabularCPD
from pgmpy.inference import VariableElimination
from pgmpy.models import DiscreteBayesianNetwork

from warmyard.machine.diagnosis import Situation, suspects
from warmyard.machine.load import load_machine
from warmyard.machine.model import Check, Machine, Mode

ROOT = Path(__file__).parents[2]
DRAWS = 3
TOLERANCE = 1e-9


def strength(machine: Machine, mode: Mode, symptom: str) -> float:
    """Return how strongly a mode shows a symptom."""
    if symptom in mode.strong:
        return machine.likelihoods.strong
    if symptom in mode.weak:
        return machine.likelihoods.weak
    return machine.likelihoods.other if symptom in mode.seldom else 0.0


def network(machine: Machine, symptom: str, checks: list[Check]) -> VariableElimination:
    """Return the network of a cause, whether it shows the symptom, and what each check shows."""
    modes = list(machine.modes.values())
    weights = np.array([mode.weight for mode in modes], dtype=float)
    net = DiscreteBayesianNetwork([("cause", "symptom"), *(("cause", check.id) for check in checks)])
    net.add_cpds(TabularCPD("cause", len(modes), (weights / weights.sum()).reshape(-1, 1)))
    shown = np.array([strength(machine, mode, symptom) for mode in modes])
    net.add_cpds(TabularCPD("symptom", 2, np.vstack([1 - shown, shown]), ["cause"], [len(modes)]))
    for check in checks:
        outcomes = list(check.outcomes)
        table = np.zeros((len(outcomes), len(modes)))
        for at, mode in enumerate(modes):
            table[outcomes.index(mode.shows.get(check.id, check.normal)), at] = 1
        net.add_cpds(TabularCPD(check.id, len(outcomes), table, ["cause"], [len(modes)]))
    return VariableElimination(net)


def main() -> int:
    """Compare both on drawn findings of a hidden fault, for every symptom; return the exit code."""
    found, faults = load_machine(ROOT / "course" / "machine", ROOT)
    if found is None:
        print(*faults, sep="\n")
        return 1
    alone = msgspec.structs.replace(found.likelihoods, behind=0.0)
    machine = msgspec.structs.replace(found, likelihoods=alone)
    plain = [
        check
        for check in machine.checks.values()
        if not (check.context_only or check.cannot or check.not_allowed or check.while_running)
    ]
    chance, worst = random.Random(7), 0.0
    for symptom in machine.symptoms:
        for _ in range(DRAWS):
            hidden = chance.choice(list(machine.modes.values()))
            checks = chance.sample(plain, chance.randint(0, 3))
            seen = {check.id: hidden.shows.get(check.id, check.normal) for check in checks}
            evidence = {"symptom": 1, **{c.id: list(c.outcomes).index(seen[c.id]) for c in checks}}
            theirs = network(machine, symptom, checks).query(["cause"], evidence, show_progress=False).values
            mine = {one.id: one.weight for one in suspects(machine, Situation(symptom, seen))}
            gap = max(abs(mine.get(mode, 0.0) - theirs[at]) for at, mode in enumerate(machine.modes))
            worst = max(worst, float(gap))
            print(f"{symptom:22}{len(seen)} findings, largest difference {gap:.1e}")
    print(f"largest of all: {worst:.1e}")
    return int(worst > TOLERANCE)


if __name__ == "__main__":
    sys.exit(main())
