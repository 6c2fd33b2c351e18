"""1,000 drawn states of the machine: the page's suspects and next check against Python's, and how long that takes.

python builder/start.py bench diagnosis [STATES]
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from drawn_states import browser, verify_equal_on_drawn_states

from warmyard.machine.load import load_machine

ROOT = Path(__file__).resolve().parents[2]
STATES = 1000
SEED = 20261004


def main(states: int = STATES) -> int:
    """Print the milliseconds that both languages take together for one state; return 1 when they differ."""
    machine, faults = load_machine(ROOT / "course" / "machine", ROOT)
    if machine is None:
        raise SystemExit("\n".join(map(str, faults)))
    began = time.perf_counter()
    try:
        verify_equal_on_drawn_states(machine, browser(machine, ROOT), states, SEED)
    except AssertionError as problem:
        print(f"diagnosis-{states}  the page and Python differ: {problem}")
        return 1
    print(f"diagnosis-{states}  {(time.perf_counter() - began) / states * 1000:.1f}  ms a state, both languages agree")
    return 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:2])))
