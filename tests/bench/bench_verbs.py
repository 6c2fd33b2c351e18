"""How long the office waits for its everyday commands, and a reader for a number: the fastest of three processes each.

python tests/bench/bench_verbs.py [RUNS]
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
RUNS = 3
NUMBER = ["work", "air-density", "t=20", "--steps"]
"""A cold start that answers a question; a reader notices what takes longer than two seconds."""
FACTS = {
    "person": "name: Anna Berg\nroles: [trainer]\n",
    "interest": 'person: rune\non: "{today}"\n',
    "notice": "changed: lesson:know-the-heater\n",
}


def main(runs: int = RUNS) -> None:
    """Print a line for each command: seconds of the whole process, and what it was."""
    _print(NUMBER, NUMBER, runs)
    with tempfile.TemporaryDirectory() as folder:
        records = Path(folder) / "records"
        _seconds(["demo", "--records", str(records)])
        calls = [["clearance"], ["clearance", "--person", "asta"], ["ledger", "verify"], ["upgrade"]]
        for kind, text in FACTS.items():
            file = Path(folder) / f"{kind}.yaml"
            file.write_text(text.format(today=time.strftime("%Y-%m-%d")), encoding="utf-8")
            calls.append(["enter", kind, str(file)])
        calls.append(["ledger", "requirements"])
        for call in calls:
            _print(call, [*call, "--records", str(records)], runs)


def _print(call: list[str], words: list[str], runs: int) -> None:
    best = min(_seconds(words) for _ in range(runs))
    print(f"{best:6.2f} s  warmyard {' '.join(call[:2])}")


def _seconds(words: list[str]) -> float:
    """Return the seconds that one command took; it must end well."""
    start = time.perf_counter()
    way = {**os.environ, "PYTHONPATH": str(ROOT / "builder")}
    done = subprocess.run(
        [sys.executable, "-m", "warmyard.cli", *words], cwd=ROOT, env=way, capture_output=True, text=True
    )
    if done.returncode:
        raise SystemExit(f"warmyard {' '.join(words)}: {done.stderr}")
    return time.perf_counter() - start


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
