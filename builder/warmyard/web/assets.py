"""Scripts, styles and data of an edition: what every page loads, and what a page needs for its items and formulas."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from warmyard.course.workspace import Workspace
from warmyard.item.model import Edition
from warmyard.kept import Book
from warmyard.page.face import FACE, face_css
from warmyard.page.formula_script import register_script
from warmyard.page.javascript import lean_text, runtime_text, script_of
from warmyard.page.payload import PRACTICE_SCRIPTS, reading_script
from warmyard.web.blocks import Writer
from warmyard.web.drawn import DrawBook
from warmyard.web.fill import FOLDER, THEME
from warmyard.web.step_marks import SCRIPTS as STEPS_SCRIPTS
from warmyard.web.telephone import START_SCRIPT, start_script

RUNTIME = (*PRACTICE_SCRIPTS, "formula.js", "packs.js")
"""Runtime scripts in the order in which a page loads them."""
MENU_SCRIPTS = ("signs.js", "today_list.js", "menu.js")
"""Runtime scripts of every page of the staff: what the menu says of each lesson."""
SHARED_STYLES = ("wy.css", "chart.css", "machine.css")
STYLES = (
    FACE,
    *SHARED_STYLES,
    *("frame.css", "site.css", "steps.css", "print.css", "survey.css", "today.css", "paper.css"),
)
STORAGE_VERSION = "1"
"""Raised only when records of an older site could no longer be read."""
ONE_SCRIPT, ONE_STYLE = "runtime.js", "warmyard.css"
"""The scripts and the styles of every page, each joined in one file: asked for once, and packed better together."""
COMPANY_STYLE = "company.css"
"""A company's own colours: site_config/theme/company.css."""


_STYLE_NOTES = re.compile(r"/\*.*?\*/|^\s+", re.DOTALL | re.MULTILINE)
"""What the joined style sheet does without: comments and indentation."""
WORDS_OF_SCRIPTS = (
    *(
        "record-is-practice",
        "cautions-plate",
        "cautions-law",
        "practice",
        "case",
        "record",
        "course",
        "plan",
        "mixed",
        "ready",
        "move",
    ),
    *(
        "mock",
        "calls",
        "today",
        "marking",
        "reading",
        "question",
        "survey",
        *("your-machine", "decks", "aloud"),
        "step",
        "paper.question",
        "paper.left",
        "paper.time_up",
    ),
)
"""Words, and groups of words, that the scripts of a site say."""


SEARCH_WORDS = {
    "name": "search.name",
    "close": "close",
    "field": "search.placeholder",
    "wait": "search.result.initializer",
    "begin": "search.result.placeholder",
    "none": "search.result.none",
    "one": "search.result.one",
    "other": "search.result.other",
    "meant": "search.meant",
}
"""What the search box says, by its ids after `theme.`."""


def script_words(words: Mapping[str, str]) -> dict[str, str]:
    """Return the words that the scripts of a site say, by their whole id."""
    said = set(WORDS_OF_SCRIPTS)
    return {name: text for name, text in words.items() if name in said or name.partition(".")[0] in said}


def search_script(words: Mapping[str, str]) -> str:
    """Return the script of the search box with its words; a page loads it when somebody looks for the first time."""
    said = {name: words[f"theme.{id_}"] for name, id_ in SEARCH_WORDS.items()}
    return script_of(searchWords=said) + "".join(map(lean_text, ("finding.js", "search_box.js")))


def style_text(name: str) -> str:
    """Return a style sheet of the site: of the runtime, which sheets that stand alone share, or of the theme."""
    if name == FACE:
        return face_css()
    return runtime_text(name) if name in SHARED_STYLES else (THEME / FOLDER / name).read_text("utf-8")


def scripts_of(names: Sequence[str]) -> dict[str, bytes]:
    """Return runtime scripts by their place in the site, without those that every page loads."""
    return {f"{FOLDER}/{name}": lean_text(name).encode() for name in names if name not in (*RUNTIME, *MENU_SCRIPTS)}


class Assets:
    """What an edition ships besides its pages: what was drawn is kept in a book, what pages need is written at once."""

    def __init__(self, workspace: Workspace, edition: Edition, book: Book) -> None:
        self.workspace = workspace
        self.edition = edition
        self.drawn = DrawBook(workspace, book)
        self.folder: Path | None = None
        """Where the site is being written; without one, what pages turn out to need is written nowhere."""
        self.standing: Path | None = None
        """The site that the written files will be put over: what stands there already is not written again."""

    def styles(self) -> tuple[str, ...]:
        """Return the style sheets of every page, in their order."""
        return tuple(f"{FOLDER}/{name}" for name in (ONE_STYLE, *self._own_style()))

    def _own_style(self) -> tuple[str, ...]:
        own = self.workspace.root / "site_config" / "theme" / COMPANY_STYLE
        return (COMPANY_STYLE,) if own.is_file() else ()

    def files(self) -> dict[str, str | bytes]:
        """Return the runtime, the words and the company's own style by their place in the site."""
        found: dict[str, str | bytes] = {
            f"{FOLDER}/{ONE_SCRIPT}": "".join(map(lean_text, self._runtime())),
            f"{FOLDER}/{ONE_STYLE}": _STYLE_NOTES.sub("", "".join(map(style_text, STYLES))),
        }
        found[f"{FOLDER}/words.js"] = (
            script_of(words=script_words(self.workspace.words), site=self.storage()) + reading_script()
        )
        found[f"{FOLDER}/search.js"] = search_script(self.workspace.words)
        found[START_SCRIPT] = start_script(self.workspace)
        for name in self._own_style():
            path = self.workspace.root / "site_config" / "theme" / name
            found[f"{FOLDER}/{name}"] = path.read_text(encoding="utf-8")
        return found

    def _runtime(self) -> tuple[str, ...]:
        return (*RUNTIME, *(MENU_SCRIPTS if self.edition == "staff" else ()))

    def storage(self) -> dict[str, str]:
        """Return the name under which a browser keeps what the reader did; files share one storage on a machine."""
        name = re.sub(r"[^a-z0-9]+", "-", self.workspace.company.name.lower()).strip("-")
        return {"id": f"{name}-{self.edition}", "version": STORAGE_VERSION}

    def write(self, files: Mapping[str, bytes]) -> None:
        """Write what pages turned out to need; nothing of it stays in memory, however many pages there are."""
        if self.folder is None:
            return
        for path, content in files.items():
            if self.standing is not None and _holds(self.standing / path, content):
                continue
            file = self.folder / path
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(content)

    def scripts_for(self, uri: str, writer: Writer) -> list[str]:
        """Return the scripts of a page in their order; a page without items and formulas needs few."""
        stem = uri.removesuffix(".md").replace("/", "-")
        busy = bool(writer.items or writer.formulas) or self.edition == "staff"
        names = ("frame.js", *(("words.js", ONE_SCRIPT) if busy else ()), "site.js")
        scripts = [f"{FOLDER}/{name}" for name in names]
        if writer.stepped:
            scripts += [f"{FOLDER}/{name}" for name in STEPS_SCRIPTS]
        if writer.formulas:
            path = f"{FOLDER}/data/{stem}.formulas.js"
            self.write({path: register_script(self.workspace.register, writer.formulas).encode()})
            scripts.append(path)
        if writer.items:
            drawn = self.drawn.scripts(self.workspace.items[name] for name in writer.items)
            self.write(drawn)
            # The first stands there before anything is painted; the others come when they are near.
            scripts.append(next(iter(drawn)))
        self.write({**writer.scripts, **writer.more_files})
        return [*scripts, *writer.scripts, START_SCRIPT]


def _holds(file: Path, content: bytes) -> bool:
    try:
        return file.stat().st_size == len(content) and file.read_bytes() == content
    except OSError:
        return False
