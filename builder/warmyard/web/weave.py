"""A page's Markdown with its fences and inlines taken out, and their HTML put back after Markdown is done."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from markupsafe import Markup

from warmyard.course.grammar import HEADING, Inline, Node
from warmyard.course.lesson import Lesson
from warmyard.markup import element

_BLOCK = re.compile(r"<p>\s*(wyblock\d{4}end)\s*</p>")
_SET_TITLE = re.compile(r'<h3 class="wy-set-title">(.*?)</h3>', re.DOTALL)
_BARE_TABLE = re.compile(r"<table>(.*?)</table>", re.DOTALL)
_INLINE = re.compile(r"wyinline\d{4}end")


@dataclass(slots=True)
class Woven:
    """Markdown in which every fence and inline is a plain word, and what each word stands for."""

    markdown: str
    blocks: dict[str, Node] = field(default_factory=dict)
    inlines: dict[str, Inline] = field(default_factory=dict)


def take_out(lesson: Lesson, plain: Callable[[Inline], str]) -> Woven:
    """Return the page's Markdown without fences and inlines; in headings an inline becomes plain text at once."""
    lines: list[str | None] = list(lesson.body.split("\n"))
    woven = Woven("")
    for number, block in enumerate(lesson.blocks):
        word = f"wyblock{number:04d}end"
        woven.blocks[word] = block.node
        first, last = block.first_line - lesson.body_line, block.last_line - lesson.body_line
        lines[first : last + 1] = [f"\n{word}\n", *[None] * (last - first)]
    for number, inline in enumerate(lesson.inlines):
        at = inline.place.line - lesson.body_line
        line = lines[at] or ""
        word = f"wyinline{number:04d}end"
        stands_for = plain(inline) if HEADING.match(line) else word
        if stands_for == word:
            woven.inlines[word] = inline
        lines[at] = line.replace(inline.text, stands_for, 1)
    woven.markdown = "\n".join(line for line in lines if line is not None)
    return woven


def put_back(html: str, woven: Woven, block: Callable[[Node], str], inline: Callable[[Inline], str]) -> str:
    """Return the page's HTML with every fence and inline in its place, in the order of the page."""

    def of_either(match: re.Match[str]) -> str:
        word = match.group(1) or match.group(0)
        return block(woven.blocks[word]) if word in woven.blocks else inline(woven.inlines[word])

    return levelled(re.sub(f"{_BLOCK.pattern}|{_INLINE.pattern}", of_either, framed_tables(html)))


def levelled(html: str) -> str:
    """Return HTML in which the title of a set of problems before the first heading is a heading of its level."""
    first = html.find("<h2")
    top, rest = (html, "") if first < 0 else (html[:first], html[first:])
    return _SET_TITLE.sub(_as_heading, top) + rest


def _as_heading(title: re.Match[str]) -> str:
    return element("h2", Markup(title.group(1)), class_="wy-set-title")


def framed_tables(html: str) -> str:
    """Return HTML whose bare tables scroll in a frame of their own that the keyboard can reach."""
    return _BARE_TABLE.sub(_framed, html)


def _framed(table: re.Match[str]) -> str:
    data = element("table", Markup(table.group(1)), class_="wy-data")
    return element("div", data, class_="wy-scroll", role="group", tabindex=0)
