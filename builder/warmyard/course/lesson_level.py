"""The level of the scheme that a lesson is for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from warmyard.course.lesson import Lesson
from warmyard.course.model import Skill
from warmyard.course.scheme_model import Level


def level_of(lesson: Lesson, skills: Mapping[str, Skill], levels: Sequence[Level]) -> int:
    """Return the lowest level whose readers need half of the lesson's skills, else the highest; 0 without levels."""
    named = [skills[name] for name in lesson.front.skills]
    rising = sorted(levels, key=lambda level: level.level)
    for level in rising:
        if 2 * sum(level.audience in skill.audience for skill in named) >= len(named):
            return level.level
    return rising[-1].level if rising else 0
