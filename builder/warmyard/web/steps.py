"""A lesson's finished HTML cut into its steps, with the line that shows the way through them, reference under them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from markupsafe import Markup

from warmyard.course.lesson import Lesson
from warmyard.course.steps import LessonStep, minutes_shown, steps_of
from warmyard.course.stop_passages import cited_in
from warmyard.course.stop_rule import stop_words
from warmyard.course.workspace import Workspace
from warmyard.web.blocks import Writer
from warmyard.web.fill import fill
from warmyard.web.retrieval import write_retrieval
from warmyard.web.step_marks import MARKED

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


def in_steps(writer: Writer, page: Lesson, html: str, pages: Iterable[Lesson]) -> str:
    """Return the page with its steps and its reference; a page without steps as it is.

    `pages` are those of the site, of which the next lesson is named.
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
    shown = _shown(writer.workspace, list(steps.values()), bodies, Markup(scene))
    reference = [
        fill("reference", anchor=match["id"], title=Markup(match["title"]), say=Markup(match["say"]), body=body)
        for match, body in bodies
        if match["what"] == "reference"
    ]
    stops = _stops(writer, page)
    onward, after = _onward(pages, page), write_retrieval(writer, page)
    block = fill("steps", lesson=page.id, steps=shown, stops=stops, onward=onward, after=after, reference=reference)
    return top + end + str(block)


def _onward(pages: Iterable[Lesson], page: Lesson) -> Lesson | None:
    """Return the lesson after one; None after the last."""
    lessons = [each for each in pages if each.front.kind == page.front.kind]
    return next((after for before, after in pairwise(lessons) if before.id == page.id), None)


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


def _stops(writer: Writer, page: Lesson) -> list[tuple[str, Markup, Markup]]:
    """Return the stop rules that a lesson cites, for its sheet to carry: title, what is done, what ends it."""
    rules = writer.workspace.shelf.stop_rules
    cited = (rules[name] for name in dict.fromkeys(cited_in(page.body)) if name in rules)
    told = ((rule, stop_words(rule, "", "staff"), stop_words(rule, "ends", "staff")) for rule in cited)
    return [
        (rule.title, writer.rich(acts or "", rule.place), writer.rich(ends or "", rule.place))
        for rule, acts, ends in told
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
