"""A million variants of the course's numeric items, drawn and marked by their own answers, on one core."""

from __future__ import annotations

import sys
import time
from pathlib import Path

from warmyard.course.workspace import read_workspace
from warmyard.errors import InputError
from warmyard.item.chance import chance_for, start_of
from warmyard.item.drawn_numbers import what_is_mixed_up
from warmyard.item.kinds.numeric.draw import drawn_numbers, numeric_plan, slip_values
from warmyard.item.kinds.numeric.plan import NumericPlan
from warmyard.item.kinds.numeric.schema import Numeric
from warmyard.page.payload import practice_variants

ROOT = Path(__file__).resolve().parents[2]
VARIANTS_WANTED = 1_000_000
TARGET_S = 60.0


def main(wanted: int = VARIANTS_WANTED) -> None:
    """Print the seconds of one core for a million, the target, and what the variants of all pages take together."""
    workspace = read_workspace(ROOT)
    around = workspace.surroundings
    plans = [numeric_plan(item, around) for item in workspace.items.values() if isinstance(item, Numeric)]
    began = time.process_time()
    each = wanted // len(plans)
    for plan in plans:
        draw_and_mark(plan, each)
    seconds = time.process_time() - began
    made = each * len(plans)
    target = f"; target {TARGET_S:.0f} s" if wanted == VARIANTS_WANTED else ""
    print(f"variants-drawn-and-marked-{made}  {seconds:.1f}  s for {len(plans)} items{target}")
    began = time.process_time()
    count = sum(len(practice_variants(item, around)) for item in workspace.items.values())
    print(f"variants-for-pages-{count}  {time.process_time() - began:.2f}  s with text, steps and drawings")


def draw_and_mark(plan: NumericPlan, count: int) -> None:
    """Draw an item with many seeds; raise InputError when its own answer or a slip is not met as what it is."""
    start = start_of(plan.item.id)
    for seed in range(count):
        numbers = drawn_numbers(plan, chance_for(start, seed))
        if what := what_is_mixed_up(plan.item.answer, numbers.answer, numbers.reach, slip_values(plan, numbers)):
            raise InputError(f"{plan.item.id}: seed {seed}: {what}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
