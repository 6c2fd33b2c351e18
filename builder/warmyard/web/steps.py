"""A lesson's finished HTML cut into its steps, with the line that shows the way through them, reference under them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from warmyard.course.lesson import Lesson
from warmyard.course.steps import LessonStep, minutes_shown, steps_of
from warmyard.course.workspace import Workspace
from warmyard.web.fill import fill
from warmyard.web.step_marks import MARKED

SCRIPT = "steps.js"
FOLDED = "folded"
_ENDS = re.compile(r'(?=<h3 id=")')


@dataclass(frozen=True, slots=True)
class ShownStep:
    """A step as its page shows it."""

    step: LessonStep
    anchor: str
    title: Markup
    idea: Markup
    minutes: int
    body: Markup
    scene: Markup


def in_steps(workspace: Workspace, page: Lesson, html: str, onward: Mapping[str, str] | None, after: Markup) -> str:
    """Return the page with its steps and its reference; a page without steps as it is.

    `onward` is the lesson after this one, by title and url; `after` stands between the steps and the reference.
    """
    steps = {step.id: step for step in steps_of(page)}
    found = [match for match in MARKED.finditer(html) if match["what"] != FOLDED]
    if not steps or not found:
        return html
    top, end, scene = html[: found[0].start()].rpartition("</h1>")
    bodies = [
        (match, _folded(html[match.end() : stop]))
        for match, stop in zip(found, [*(match.start() for match in found[1:]), len(html)], strict=True)
    ]
    shown = _shown(workspace, list(steps.values()), bodies, Markup(scene))
    reference = [
        fill("reference", anchor=match["id"], title=Markup(match["title"]), say=Markup(match["say"]), body=body)
        for match, body in bodies
        if match["what"] == "reference"
    ]
    return top + end + str(fill("steps", lesson=page.id, steps=shown, onward=onward, after=after, reference=reference))


def _shown(
    workspace: Workspace, steps: Sequence[LessonStep], bodies: Sequence[tuple[re.Match[str], Markup]], scene: Markup
) -> list[ShownStep]:
    own = [(match, body) for match, body in bodies if match["what"] == "step"]
    return [
        ShownStep(
            step,
            match["id"],
            Markup(match["title"]),
            Markup(match["say"]),
            minutes_shown(step.minutes(workspace.items)),
            body,
            scene if step.number == 1 else Markup(""),
        )
        for step, (match, body) in zip(steps, own, strict=True)
    ]


def _folded(html: str) -> Markup:
    """Return a part with each fold of it closed over what is under its heading."""
    made = ""
    for piece in _ENDS.split(html):
        match = MARKED.match(piece)
        if match is None:
            made += piece
            continue
        say, title, body = Markup(match["say"]), Markup(match["title"]), Markup(piece[match.end() :])
        made += str(fill("folded", anchor=match["id"], title=title, say=say, body=body))
    return Markup(made)
