"""Recall on the day of the examination, of simulated learners: the rule of before, random, expanding days, and now.

python builder/start.py bench learning [LEARNERS]

A learner of level 2 has 14 or 28 days and so many answers a day over the skills that its papers can ask. What is
asked is chosen by the page's own scripts in node; what is recalled is said by a memory that is not theirs, one of three
in learning.js, each with its source. Ends with 1 where now is worse than the best of the others by more than 0.03.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import warmyard.page
from warmyard.course.workspace import read_workspace
from warmyard.web.packs import plan_of

ROOT = Path(__file__).resolve().parents[2]
SCRIPT = Path(__file__).with_name("learning.js")
LEVEL = 2
SETTINGS = ((14, 20), (14, 40), (28, 20), (28, 40))
"""Days, and answers a day."""
LEARNERS = 24
MOST_WORSE = 0.03


def main(learners: int = LEARNERS) -> int:
    """Print the mean recall under each memory and rule; return 1 where now is worse by too much, 2 without node."""
    node = shutil.which("node")
    if node is None:
        print("learning: no node was found; install node 20", file=sys.stderr)
        return 2
    worst = 0.0
    with tempfile.TemporaryDirectory() as folder:
        plan = Path(folder) / "plan.json"
        plan.write_text(json.dumps(plan_of(read_workspace(ROOT), "staff")), encoding="utf-8")
        for days, answers in SETTINGS:
            settings = {"level": LEVEL, "days": days, "answers": answers, "learners": learners}
            runtime = Path(warmyard.page.__file__).parent / "runtime"
            words = [node, str(SCRIPT), str(runtime), str(plan), json.dumps(settings)]
            found = json.loads(subprocess.run(words, capture_output=True, check=True, text=True).stdout)
            for memory, shares in found["recall"].items():
                told = ", ".join(f"{rule} {share:.3f}" for rule, share in shares.items())
                lost = max(share for rule, share in shares.items() if rule != "now") - shares["now"]
                worst = max(worst, lost)
                print(
                    f"learning-{days}x{answers}-{memory}  {told}  share of {found['skills']} skills recalled",
                    flush=True,
                )
    print(f"learning  {worst:.3f}  the most that now is worse than the best of the others, {MOST_WORSE} may be")
    return int(worst > MOST_WORSE)


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:2])))
