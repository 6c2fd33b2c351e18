"""Recompute the cases of recall with the reference of the open FSRS model, PyPI's fsrs.

pip install --require-hashes -r builder/pins/outside.txt
python tests/outside/recompute_recall.py           says whether tests/contract/recall.json is what the reference gives
python tests/outside/recompute_recall.py --write   writes it anew

The page runs npm's ts-fsrs 5.4.2. Both know the model's version 6 and have the same 21 published parameters; the file
holds them, so that a library with others is found. Days are whole days, as the page counts them; no steps of minutes.
"""

from __future__ import annotations

import json
import random
import sys
from datetime import UTC, datetime, timedelta
from importlib.metadata import version
from pathlib import Path
from typing import Any

from fsrs import Card, Rating, Scheduler

CASES = Path(__file__).resolve().parents[1] / "contract" / "recall.json"
FIRST = datetime(2026, 1, 5, 12, tzinfo=UTC)
GAPS = (0, 0, 1, 1, 2, 3, 5, 9, 20, 60, 200)
RATINGS = (Rating.Again, Rating.Hard, Rating.Good, Rating.Good, Rating.Good, Rating.Easy)
DRAWN = 30
LATER = (0, 1, 7, 30, 365)


def main(words: list[str]) -> int:
    """Compare the frozen file with what the reference gives now, or write it."""
    made = json.dumps(recomputed(), indent=1) + "\n"
    if words == ["--write"]:
        CASES.write_text(made, encoding="utf-8")
        return 0
    same = CASES.read_text(encoding="utf-8") == made
    print(f"recall.json: {'as' if same else 'NOT as'} fsrs {version('fsrs')} gives it")
    return 0 if same else 1


def recomputed() -> dict[str, Any]:
    """Return every case as the reference gives it."""
    scheduler = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    chance = random.Random(20261129)
    stories = [[(0, rating)] for rating in Rating]
    stories += [[(0, Rating.Good), (gap, rating)] for gap in (0, 1, 10) for rating in Rating]
    for _ in range(DRAWN):
        stories.append([(chance.choice(GAPS), chance.choice(RATINGS)) for _ in range(chance.randint(3, 12))])
    return {
        "source": f"PyPI fsrs {version('fsrs')}, tests/outside/recompute_recall.py",
        "parameters": list(scheduler.parameters),
        "wanted": scheduler.desired_retention,
        "cases": [told(scheduler, story) for story in stories],
    }


def told(scheduler: Scheduler, story: list[tuple[int, Rating]]) -> dict[str, Any]:
    """Return one story of reviews: after each, stability, difficulty and due day; at its end, recall on later days."""
    card, now, reviews = Card(), FIRST, []
    for gap, rating in story:
        now += timedelta(days=gap)
        card, _ = scheduler.review_card(card, rating, now)
        after = {"stability": card.stability, "difficulty": card.difficulty, "due": str(card.due.date())}
        reviews.append({"day": str(now.date()), "rating": int(rating), **after})
    shares = {days: scheduler.get_card_retrievability(card, now + timedelta(days=days)) for days in LATER}
    return {"reviews": reviews, "shares": {str(days): share for days, share in shares.items()}}


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
