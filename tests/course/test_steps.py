"""The steps of a lesson are counted as a reader meets them: what is shown, what is to do, how long it takes."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from warmyard.course.fence_table import FENCES
from warmyard.course.grammar import Block
from warmyard.course.lesson import Lesson
from warmyard.course.pace import pace, words_in
from warmyard.course.steps import reckoned_minutes, steps_of, weight
from warmyard.course.workspace import Workspace, read_workspace
from warmyard.item.kind_table import KINDS

SHARED = Path(__file__).resolve().parents[1] / "shared"


@pytest.fixture
def stepped(yard: Path) -> Workspace:
    """Give the small yard with a lesson that is cut into steps."""
    shutil.copy(SHARED / "stepped_lesson.md", yard / "course/lessons/staff/bunds.md")
    return read_workspace(yard)


def lesson_of(workspace: Workspace) -> Lesson:
    """Return the lesson."""
    return workspace.lessons["bunds"]


def test_the_first_step_shows_the_scene_and_not_its_fold(stepped: Workspace) -> None:
    """Twelve words of the scene and six of the text count, an inline as one; the fold and its heading do not."""
    first = steps_of(lesson_of(stepped))[0]
    assert [weight(one) for one in first.open if not isinstance(one, Block)] == [13, 7]
    assert first.words == 20
    assert first.items == ("q-bund",)


def test_a_drawing_counts_by_its_rate_and_a_problem_as_no_reading(stepped: Workspace) -> None:
    """The step of the parts holds a drawing with a line of five words, and a problem."""
    parts = next(step for step in steps_of(lesson_of(stepped)) if step.id == "parts")
    assert parts.words == pace().as_words["wy-picture"] + 5


def test_time_is_words_and_problems_by_their_kind(stepped: Workspace) -> None:
    """The steps of a lesson add up to what `check` holds the declared minutes against."""
    steps = steps_of(lesson_of(stepped))
    run_on = steps[1]
    expected = run_on.words / pace().words_a_minute + pace().seconds["choice"] / 60
    assert run_on.minutes(stepped.items) == pytest.approx(expected)
    assert reckoned_minutes(steps, stepped.items) == pytest.approx(sum(step.minutes(stepped.items) for step in steps))


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("", 0),
        ("Two words.", 2),
        ("- A line of a list", 7),
        ("Keep [[rule clear-in-front]] clear.", 3),
        ("It [[stop overheat|gets too hot]] here.", 5),
        ("|---|---|", 0),
    ],
)
def test_the_words_of_a_line(line: str, words: int) -> None:
    """An inline counts as one word or as those that it shows, and a line of a list takes room."""
    assert words_in(line) == words


def test_a_lesson_without_steps_has_none(stepped: Workspace) -> None:
    """A lesson of an older format is not cut."""
    assert steps_of(stepped.lessons["L08"]) == ()


def test_every_kind_of_problem_and_of_task_has_its_seconds() -> None:
    """No kind is reckoned by the rate of the others because somebody forgot it."""
    timed = {name for name, fence in FENCES.items() if fence.filled_in and "items" not in fence.node.__struct_fields__}
    assert KINDS.keys() <= pace().seconds.keys()
    assert timed <= pace().seconds.keys()
    assert pace().as_words.keys() <= FENCES.keys()
