"""`warmyard suspects` from the command line, its start included, and the reasoning alone."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

from warmyard.machine.diagnosis import Situation, next_check
from warmyard.machine.load import load_machine

ROOT = Path(__file__).parents[2]
COMMANDS = 5


def main(commands: int = COMMANDS) -> None:
    """Print the slowest of a few commands, loading, and the next check of every symptom."""
    slowest_s = 0.0
    for _ in range(commands):
        began = time.perf_counter()
        words = [sys.executable, "-m", "warmyard.cli", "suspects", "spark-no-flame", "--json"]
        subprocess.run(words, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
        slowest_s = max(slowest_s, time.perf_counter() - began)
    began = time.perf_counter()
    machine, _ = load_machine(ROOT / "course" / "machine", ROOT)
    load_s = time.perf_counter() - began
    if machine is None:
        raise SystemExit("the machine has faults; run warmyard check")
    began = time.perf_counter()
    for symptom in machine.symptoms:
        next_check(machine, Situation(symptom))
    each_ms = (time.perf_counter() - began) / len(machine.symptoms) * 1000
    print(f"suspects-command  {slowest_s:.2f}  s, its start included (slowest of {commands})")
    besides = f"{len(machine.symptoms)} symptoms; machine loaded in {load_s:.2f} s"
    print(f"suspects-next-check  {each_ms:.1f}  ms each ({besides})")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
