"""Fences and inlines: what is found, with which line, and what is refused in words."""

from __future__ import annotations

import pytest

from warmyard.course.fence_table import NODES
from warmyard.course.fences.picture import PictureNode
from warmyard.course.grammar import find_blocks, find_inlines
from warmyard.course.lesson import parse_lesson
from warmyard.errors import SourceError

PAGE = """---
id: a-page
title: A page
kind: page
---
First line.

```wy-picture
picture: filter
```

```text
[[rule not-an-inline]]
```

A [[rule one]] and a [[term bund|small wall]], [[work nozzle-flow q_r=1 p="2 bar"]].
"""


def test_lines_count_in_the_file_not_in_the_body() -> None:
    """Front matter counts: the fence of line 8 is on line 8, its field on line 9."""
    faults: list[SourceError] = []
    lesson = parse_lesson(PAGE, "page.md", "staff", "page.md", faults)
    assert not faults
    assert lesson is not None
    (block,) = lesson.blocks
    assert isinstance(block.node, PictureNode)
    assert (block.first_line, block.last_line) == (8, 10)
    assert block.node.place.within("picture").line == 9


def test_inlines_are_read_outside_fences_only() -> None:
    """An inline inside an ordinary fence is text; the others are typed with name, shown words and inputs."""
    faults: list[SourceError] = []
    lesson = parse_lesson(PAGE, "page.md", "staff", "page.md", faults)
    assert lesson is not None
    rule, term, work = lesson.inlines
    assert (rule.kind, rule.name, rule.place.line) == ("rule", "one", 16)
    assert (term.name, term.shown) == ("bund", "small wall")
    assert work.inputs == (("q_r", "1"), ("p", "2 bar"))


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("```wy-picture\npicture: x", 1, "never closed"),
        ("a\n```wy-nothing\n```", 2, "there is no fence wy-nothing"),
        ("```wy-picture\npicture: [1\n```", 2, "not YAML"),
        ("```wy-picture\npicture: x\ncolour: red\n```", 3, "there is no field colour"),
        ("```wy-picture\npicture: 3\n```", 2, "expected text, found a whole number"),
        ("```wy-practice\ntitle: t\nitems: q-1\n```", 3, "expected a list, found text"),
        ("- a list\n  ```wy-caution\n  say: x\n  ```", 2, "left edge"),
        ("> ```wy-caution\n> say: x\n> ```", 1, "left edge"),
    ],
)
def test_a_bad_fence_is_refused_with_its_line(text: str, line: int, says: str) -> None:
    """A fence that cannot be read names its line and what is wrong."""
    faults: list[SourceError] = []
    find_blocks(text, "page.md", 1, faults, NODES)
    assert faults
    assert faults[0].place.line == line
    assert says in str(faults[0])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[[ruel one]]", "is not an inline"),
        ("[[rule]]", "is not an inline"),
        ("[[]]", "is not an inline"),
        ('[[work f a="1]]', "open quote"),
        ("[[work f a]]", "is not symbol=value"),
        ("[[work f a=]]", "is not symbol=value"),
    ],
)
def test_a_bad_inline_is_refused(text: str, says: str) -> None:
    """An inline that means nothing is a fault, never text that a reader sees."""
    faults: list[SourceError] = []
    assert find_inlines(text, "page.md", 1, faults) == []
    assert says in str(faults[0])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("# No front matter\n", "no front matter"),
        ("---\nid: a\n---\n", "the field title is missing"),
        ("---\nid: a\ntitle: b\nkind: story\n---\n", "kind"),
        ("---\nid: a\ntitle: b\nkind: page\nplace: 3\n---\n", "place is not a field"),
    ],
)
def test_a_bad_front_matter_is_refused(text: str, says: str) -> None:
    """A page without its front matter is no page, and the fault says what is missing."""
    faults: list[SourceError] = []
    assert parse_lesson(text, "page.md", "staff", "page.md", faults) is None
    assert says in str(faults[0])
