"""The page of coverage: every task of the job analysis with what teaches it, asks it and watches it, and the gaps."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from warmyard.course.lesson import Lesson
from warmyard.course.model import Duty, Procedure, Skill, Station
from warmyard.course.workspace import Workspace
from warmyard.item.kind_table import KINDS, tag_of
from warmyard.item.model import Use, Way
from warmyard.web.blocks import Writer
from warmyard.web.fill import fill
from warmyard.words import say

WAYS_WHEN_CRITICAL = 4
"""A task that can kill is asked at least so often, practice and exam together."""


@dataclass(frozen=True, slots=True)
class Covered:
    """A task and everything in the course that belongs to it."""

    skill: Skill
    lessons: Sequence[Lesson]
    practice: Mapping[str, int]
    """Kind of item -> how many, by rank."""
    exam: Mapping[str, int]
    procedures: Sequence[Procedure]
    stations: Sequence[Station]

    @property
    def gaps(self) -> list[str]:
        """What the task lacks, in words."""
        gaps = []
        if not self.lessons:
            gaps.append(say({}, "coverage.no-lesson"))
        if not self.practice:
            gaps.append(say({}, "coverage.no-practice"))
        if not self.exam:
            gaps.append(say({}, "coverage.no-exam"))
        times = sum(self.practice.values()) + sum(self.exam.values())
        if self.skill.criticality == 3 and times < WAYS_WHEN_CRITICAL:
            gaps.append(say({}, "coverage.seldom", times=WAYS_WHEN_CRITICAL))
        lacks = [way for way in self.skill.best if not self._is_shown(way)]
        return gaps + [say({}, "coverage.no-way", way=say({}, f"coverage.way.{way}")) for way in lacks]

    @property
    def ways(self) -> list[str]:
        """How the task is best assessed, in words."""
        return [say({}, f"coverage.way.{way}") for way in self.skill.best]

    def _is_shown(self, way: Way) -> bool:
        if way == "observed":
            return bool(self.stations)
        asked = {*self.practice, *self.exam}
        return any(way in KINDS[kind].shows for kind in asked) or (way == "order" and bool(self.procedures))


def covered(workspace: Workspace) -> list[Covered]:
    """Return every task in the order of the job analysis."""
    return [
        Covered(
            skill,
            [
                page
                for page in workspace.lessons.values()
                if page.edition == "staff" and page.front.kind == "lesson" and skill.id in page.front.skills
            ],
            _kinds(workspace, skill, "practice"),
            _kinds(workspace, skill, "exam"),
            [procedure for procedure in workspace.procedures.values() if procedure.skill == skill.id],
            [station for station in workspace.stations.values() if skill.id in station.skills],
        )
        for skill in workspace.skills.values()
    ]


def _kinds(workspace: Workspace, skill: Skill, use: Use) -> Mapping[str, int]:
    asked = [item for item in workspace.items.values() if item.skill == skill.id and item.use == use]
    counts = Counter(tag_of(item) for item in asked)
    return {kind: counts[kind] for kind in KINDS if counts[kind]}


def coverage(writer: Writer) -> Markup:
    """Return every task, grouped by duty, with links to what covers it, and the gaps in words."""
    workspace = writer.workspace
    rows = covered(workspace)
    groups: list[tuple[Duty, list[Covered]]] = [
        (duty, [row for row in rows if row.skill.duty == duty.id]) for duty in workspace.duties.values()
    ]
    judged = {name for level in workspace.scheme.levels for part in level.parts for name in part.stations}
    shown = {one.id for one in workspace.procedures.values() if writer.edition in one.editions}
    return fill(
        "coverage", groups=groups, rows=rows, judged=judged, shown=shown,
        gaps=[row for row in rows if row.gaps],
    )  # fmt: skip
