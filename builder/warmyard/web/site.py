"""One edition as a site: its pages in order, what is made for it, and what each page needs. Knows nothing of mkdocs."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial, wraps
from pathlib import Path
from typing import Any, Concatenate, ParamSpec, TypeVar

from markupsafe import Markup

from warmyard.course.edition import FIRST_PAGE, pages_of
from warmyard.course.fence_table import fence_of, named_in
from warmyard.course.lesson import Lesson
from warmyard.course.steps import is_stepped, minutes_of_lesson
from warmyard.course.workspace import Workspace
from warmyard.item.kind_table import kind_of
from warmyard.item.kinds.fault_case.drawn_call import drawn_calls, written_calls
from warmyard.item.model import Edition, Item
from warmyard.kept import Book, digest_of
from warmyard.markup import element
from warmyard.page import verify_page
from warmyard.page.words import need_words
from warmyard.web.assets import Assets
from warmyard.web.blocks import Writer
from warmyard.web.calls import put_questions
from warmyard.web.card_sheets import PAPERS, card_pages, card_sheets, sheet_path
from warmyard.web.fence_writers import write_block
from warmyard.web.fill import fill
from warmyard.web.fleet import machine_of_page
from warmyard.web.frame import POLICY, looks, theme_words
from warmyard.web.notes import Notes
from warmyard.web.packs import practice_items
from warmyard.web.reference import GLOSSARY, START, MadePage, made_pages
from warmyard.web.retrieval import write_retrieval
from warmyard.web.start_page import start_page
from warmyard.web.steps import in_steps
from warmyard.web.telephone import home_name
from warmyard.web.weave import Woven, put_back, take_out
from warmyard.web.words import EVERY_PAGE
from warmyard.words import say, speaking

_PART = re.compile(r'<h2 id="([^"]+)">(.*?)</h2>', re.DOTALL)

STATUS_STUB = (
    b"// Put the status list of your office here; `warmyard certificate` writes it. Without one the page says so.\n"
)
GROUPS: Mapping[Edition, tuple[tuple[str, tuple[str, ...]], ...]] = {
    "staff": (
        ("staff-emergency", ("emergency",)),
        ("staff-lessons", ("lesson",)),
        ("staff-aids", ("page", "aid")),
        ("staff-cards", ("card",)),
    ),
    "customer": (
        ("customer-emergency", ("emergency",)),
        ("customer-pages", ("lesson", "page", "aid")),
        ("customer-cards", ("card",)),
    ),
}
"""Groups of the navigation, by the word `group.NAME`, and the kinds of page in each."""


@dataclass(slots=True)
class Finished:
    """A page as the template takes it."""

    html: str
    meta: dict[str, Any] = field(default_factory=dict)
    bare: str = ""
    """The page without its sources, for the pocket file."""


@dataclass(slots=True)
class _Group:
    title: str
    pages: list[dict[str, str]]
    open: bool = False

    @property
    def files(self) -> set[str]:
        return {page["file"] for page in self.pages}


Given = ParamSpec("Given")
Made = TypeVar("Made")


def _in_its_words(make: Callable[Concatenate[Site, Given], Made]) -> Callable[Concatenate[Site, Given], Made]:
    """Let a method of a site speak the words of its workspace."""

    @wraps(make)
    def speak(site: Site, /, *given: Given.args, **named: Given.kwargs) -> Made:
        with speaking(site.workspace.words):
            return make(site, *given, **named)

    return speak


class Site:
    """The pages, navigation, scripts and assets of one edition.

    `book` holds what was made before. `earlier` is the site that was built before: a page that is finished as it was
    need not be written again. `keeps` says whether finished pages stay in memory, for a site that follows. `take_over`
    says that only pages, items or the machine model were changed since the `earlier` site: what rests on none of the
    changed is not even made again.
    """

    def __init__(
        self,
        workspace: Workspace,
        edition: Edition,
        book: Book | None = None,
        *,
        earlier: Site | None = None,
        keeps: bool = False,
        take_over: bool = False,
    ) -> None:
        self.workspace = workspace
        self.book = Book() if book is None else book
        self._keeps = keeps or edition == "customer"
        self.edition = edition
        self.words = need_words(workspace.words, EVERY_PAGE)
        with speaking(workspace.words):
            self._set_up(earlier, take_over)

    def _set_up(self, earlier: Site | None, take_over: bool) -> None:
        workspace, edition = self.workspace, self.edition
        self.pages: dict[str, Lesson] = {page.file: page for page in pages_of(workspace.lessons, edition)}
        self.made: dict[str, MadePage] = {page.uri: page for page in made_pages(workspace, edition, self.pages)}
        self.assets: Assets = Assets(workspace, edition, self.book)
        self._kept: dict[str, Finished] = earlier._still_good(self.pages, workspace) if earlier and take_over else {}
        self._woven: dict[str, Woven] = {}
        self._groups = self._make_groups()
        same_frame = earlier is not None and digest_of(earlier.frame()) == digest_of(self.frame())
        self._before: Mapping[str, Finished] = earlier._kept if earlier and same_frame else {}
        self.gone = earlier.uris() - self.uris() if earlier else frozenset()
        """Pages that the earlier site had and this one has not."""

    def uris(self) -> frozenset[str]:
        """Return the names of all pages, written and made."""
        return frozenset({*self.pages, *self.made})

    def is_changed(self, uri: str) -> bool:
        """Say whether a page differs from that of the earlier site, as far as it is finished yet."""
        finished = self._kept.get(uri)
        return finished is None or finished != self._before.get(uri)

    def _still_good(self, pages: Mapping[str, Lesson], workspace: Workspace) -> dict[str, Finished]:
        """Return the finished pages that other written pages, items and machine model leave as they are.

        A made page may list any item and any part of the machine, so that none is kept where one was changed.
        """
        items, before = workspace.items, self.workspace.items
        model = workspace.machine != self.workspace.machine
        changed = {name for name in {*items, *before} if items.get(name) != before.get(name)}
        if any(_listed(items.get(name)) != _listed(before.get(name)) for name in changed):
            return {}
        if model:
            changed |= {name for name, item in items.items() if "machine" in kind_of(item).rests_on(item)}
        kept = {uri: done for uri, done in self._kept.items() if uri not in (FIRST_PAGE, GLOSSARY)}
        if changed or model:
            kept = {uri: done for uri, done in kept.items() if uri in pages and not changed & items_named(pages[uri])}
        if model:
            kept = {uri: done for uri, done in kept.items() if not _shows_machine(pages[uri])}
        return {uri: done for uri, done in kept.items() if pages.get(uri) == self.pages.get(uri)}

    def _make_groups(self) -> list[_Group]:
        rows: dict[str, list[dict[str, str]]] = {START: []}
        for group, kinds in GROUPS[self.edition]:
            rows[group] = []
            for page in self.pages.values():
                if page.file == FIRST_PAGE:
                    continue
                if page.front.kind in kinds:
                    rows[group].append(_entry(page.file, page.front.title, page.id))
        start = self.pages.get(FIRST_PAGE)
        rows[START] = [_entry(FIRST_PAGE, start.front.title if start else say({}, "title.start"), "index")]
        for made in self.made.values():
            rows.setdefault(made.group, []).append(_entry(made.uri, made.title))
        open_ = {group for group, kinds in GROUPS[self.edition] if "lesson" in kinds or "emergency" in kinds}
        titles = {group: say({}, f"group.{group}") if group != START else "" for group in rows}
        return [_Group(titles[group], pages, group in open_) for group, pages in rows.items() if pages]

    def title(self) -> str:
        """Return what the start page is called."""
        return self._groups[0].pages[0]["title"]

    def nav(self) -> list[Any]:
        """Return the navigation as mkdocs takes it: the order of the pages."""
        return [{page["title"]: page["file"]} for group in self._groups for page in group.pages]

    def frame(self) -> dict[str, Any]:
        """Return what every page's template needs."""
        return {
            "policy": POLICY,
            "nav": self._groups,
            "company": self.workspace.company,
            "edition": self.edition,
            "words": self.words,
            "theme": theme_words(self.workspace.words),
            "looks": looks(self.workspace.words),
            "home_name": home_name(self.workspace.words, self.edition),
        }

    def styles(self) -> tuple[str, ...]:
        """Return the style sheets of every page, in their order."""
        return self.assets.styles()

    @_in_its_words
    def made_files(self) -> dict[str, str | bytes]:
        """Return the made pages as Markdown stubs, and the assets."""
        stubs: dict[str, str | bytes] = {uri: f"# {page.title}\n\nwyblock0000end\n" for uri, page in self.made.items()}
        return {**stubs, **self.assets.files()}

    @_in_its_words
    def late_files(self) -> dict[str, bytes]:
        """Return what is made of finished pages: the customer's cards as sheets, pocket file and verify page."""
        late: dict[str, bytes] = {}
        if self.edition == "customer":
            from warmyard.web.pocket import FILE, Leaf, write_pocket

            pages = sorted(
                self.pages.values(), key=lambda page: (page.file != FIRST_PAGE, page.front.kind != "emergency")
            )
            leaves = [Leaf(page.file, page.front.title, self._kept[page.file].bare) for page in pages]
            if self.workspace.company.office_keys:
                late[verify_page.FILE_NAME], late[verify_page.STATUS_FILE] = self._verifier(), STATUS_STUB
            late.update(card_sheets(self.workspace, pages, self.words))
            late[FILE] = write_pocket(leaves, self.workspace.company, self.words, leaves[0].title)
        return late

    @_in_its_words
    def draw(self) -> None:
        """Draw what the pages carry, on all cores."""
        if self.edition != "staff":
            return
        machine = self.workspace.machine
        items = practice_items(self.workspace, self.edition)
        drawn = self.assets.drawn
        drawn.draw_all([*items, *drawn_calls(machine), *written_calls(machine)], machine.symptoms)

    def _verifier(self) -> bytes:
        activities = {activity.id: activity.title for activity in self.workspace.scheme.activities}
        return verify_page.make_verify_page(self.workspace.company, self.workspace.words, activities).encode()

    @_in_its_words
    def markdown(self, uri: str) -> str | None:
        """Return a written page's Markdown with fences and inlines taken out; None for a made page."""
        page = self.pages.get(uri)
        if page is None:
            return None
        woven = take_out(page, self._writer(uri).plain)
        self._woven[uri] = woven
        return woven.markdown

    @_in_its_words
    def content(self, uri: str, html: str) -> Finished:
        """Return a page's HTML with everything put back, its sources at the end, and the scripts that it needs."""
        if uri in self._kept:
            return self._kept[uri]
        writer = self._writer(uri)
        if uri in self.made:
            html = html.replace("<p>wyblock0000end</p>", str(self.made[uri].write(writer)))
            title = self.made[uri].title
        else:
            page = self.pages[uri]
            html = put_back(html, self._woven[uri], partial(write_block, writer), writer.inline)
            html = self._head(page, in_steps(writer, page, html, self.pages.values()), writer)
            title = page.front.title
        html = put_questions(html, self.workspace.machine, writer.calls, writer.rich)
        listing = writer.notes.listing()
        notes = str(fill("sources", listing=listing, folded=writer.stepped)) if listing else ""
        scripts = self.assets.scripts_for(uri, writer)
        finished = Finished(html + notes, {"title": title, "wy_scripts": scripts}, html)
        if self._keeps:
            self._kept[uri] = finished
        return finished

    def _head(self, page: Lesson, html: str, writer: Writer) -> str:
        """Put title, time, skills and outcomes at the head of a page, the course at the end of the start page."""
        if "<h1" not in html:
            html = f"{element('h1', page.front.title)}{html}"
        if page.front.kind == "lesson":
            skills = [self.workspace.skills[name] for name in page.front.skills]
            outcomes = [writer.rich(outcome.text, page.place) for outcome in page.front.outcomes]
            parts = [] if writer.stepped else [(anchor, Markup(name)) for anchor, name in _PART.findall(html)]
            head = fill(
                "head",
                minutes=minutes_of_lesson(page, self.workspace.items),
                skills=skills,
                outcomes=outcomes,
                parts=parts,
            )
            html = _under_title(html, head if writer.stepped else head + write_retrieval(writer, page))
        if page.front.kind == "emergency":
            parts = [(anchor, Markup(name)) for anchor, name in _PART.findall(html)]
            called = say(self.workspace.words, "head.on-page")
            html = _under_title(html, fill("jumps", called=called, parts=parts))
        if page.front.kind == "aid" and writer.sheet_boxes:
            html = _under_title(html, machine_of_page(writer, html))
        if page in card_pages([page]):
            files = [(paper, Path(sheet_path(page, paper)).name) for paper in PAPERS]
            html += str(fill("card-files", files=files))
        if page.file == FIRST_PAGE:
            html = self._start(html, writer)
        look = f"wy-page wy-page--{page.front.kind} wy-edition--{self.edition}"
        return str(element("div", Markup(html), class_=look))

    def _start(self, html: str, writer: Writer) -> str:
        if self.edition == "customer":
            from warmyard.web.doors import open_doors

            return open_doors(html)
        lessons = [page for page in self.pages.values() if page.front.kind == "lesson"]
        ways = [(made.title, _entry(made.uri, "")["url"]) for made in self.made.values() if made.group == START]
        return start_page(writer, html, lessons, ways)

    def _writer(self, uri: str) -> Writer:
        base = "../" * uri.count("/")
        page = self.pages[uri].id if uri in self.pages else uri.removesuffix(".md")
        notes = Notes(self.workspace.sources, self.words)
        stepped = uri in self.pages and is_stepped(self.pages[uri])
        first, drawn = uri == FIRST_PAGE, self.assets.drawn
        return Writer(self.workspace, self.edition, page, drawn, base, notes, stepped=stepped, opens_problems=first)


def _under_title(html: str, block: Markup) -> str:
    """Return a page with a block right under its title."""
    top, end, rest = html.partition("</h1>")
    return f"{top}{end}{block}{rest}"


def items_named(page: Lesson) -> set[str]:
    """Return the items that stand on a page."""
    return named_in((block.node for block in page.blocks), "item")


def _shows_machine(page: Lesson) -> bool:
    return any(fence_of(block.node).of_machine for block in page.blocks)


def _listed(item: Item | None) -> tuple[object, ...] | None:
    """Return what pages that do not hold an item may take from it."""
    return None if item is None else (item.skill, item.use, item.editions)


def _entry(file: str, title: str, id_: str = "") -> dict[str, str]:
    """Return a page as the navigation lists it; a made page is known by the name of its file."""
    stem = file.removesuffix(".md")
    return {"id": id_ or stem, "file": file, "title": title, "url": f"{stem}.html"}
