"""The source marks of one page: numbered in the order of use, listed at its end, with how each fact is known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from markupsafe import Markup

from warmyard.course.model import Source
from warmyard.formula.model import Known
from warmyard.markup import element, joined
from warmyard.web.fill import word

SAID_BESIDE: tuple[Known, ...] = ("memory", "demo")
"""What stands beside a value that nobody read in its source; nothing stands beside the others."""


@dataclass(slots=True)
class Notes:
    """Gathers the sources of one page while it is written."""

    sources: Mapping[str, Source]
    words: Mapping[str, str]
    used: dict[str, int] = field(default_factory=dict)
    marked: set[str] = field(default_factory=set)

    def mark(self, source: str, known: Known | None, about: str = "") -> Markup:
        """Return the mark of a source: its number, and on the first mention of `about` how it is known."""
        if source not in self.sources:
            return Markup("")
        number = self.used.setdefault(source, len(self.used) + 1)
        title = self.sources[source].title
        link = element(
            "a",
            number,
            class_="wy-source-mark",
            data_search_exclude=True,
            href=f"#source-{number}",
            aria_label=word("notes.mark", number=number, title=title),
        )
        return link + self.known_mark(known, about or source)

    def known_mark(self, known: Known | None, about: str) -> Markup:
        """Return `from memory` or `set for the demo`, once a page for one thing."""
        if known not in SAID_BESIDE or about in self.marked:
            return Markup("")
        self.marked.add(about)
        return joined((" ", element("span", self.words[f"known-{known}"], class_="wy-known")))

    def listing(self) -> list[tuple[int, Source, str]]:
        """Return number, source and how it is known, for the end of the page."""
        found = [(number, self.sources[id_]) for id_, number in self.used.items()]
        return [(number, source, self.words[f"known-{source.known}"]) for number, source in found]
