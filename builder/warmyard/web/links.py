"""Links inside an edition, looked at in the sources: each leads to a page, file or place that the site will have."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Set
from posixpath import dirname, join, normpath
from urllib.parse import unquote, urlsplit

from warmyard.course.lesson import EDITIONS, Lesson
from warmyard.course.workspace import Workspace
from warmyard.errors import FollowingError, Place, SourceError, SourceKind, root_causes
from warmyard.fields import nearest
from warmyard.item.model import Edition
from warmyard.web.audit import is_outside
from warmyard.web.configuration import check_theme, in_our_words, read_configuration
from warmyard.web.parsed import anchors_of, elements, parse_html
from warmyard.web.site import Site

Render = Callable[[str], str]
FEW = 8
"""How many places of a page a fault lists at most."""


def check_links(
    workspace: Workspace, editions: Iterable[Edition] = EDITIONS, files: Collection[str] | None = None
) -> list[SourceError]:
    """Return a fault for every link of a page that leads nowhere, and for a configuration that mkdocs refuses.

    `files` are the only pages to look at, by their names from the workspace; all without it.
    """
    from warmyard.web.plugin import RefusedConfigurationError, markdown_of

    faults: list[SourceError] = []
    for edition in editions:
        file = workspace.root / "site_config" / f"{edition}.yml"
        configuration = read_configuration(file, workspace.root)
        found = [*configuration.faults, *check_theme(configuration)]
        if not found:
            try:
                render = markdown_of(file)
            except RefusedConfigurationError as problem:
                found = list(in_our_words(configuration, problem.said))
        faults += (fault for fault in found if str(fault) not in map(str, faults))
        if found:
            continue
        faults += Links(workspace, edition, render).faults(files)
    order = [fault.place for fault in faults]
    return sorted(root_causes({"page": faults}), key=lambda fault: order.index(fault.place))


class Links:
    """The links of one edition. `render` turns Markdown into HTML as the build does."""

    def __init__(self, workspace: Workspace, edition: Edition, render: Render) -> None:
        self.site, self.render = Site(workspace, edition), render
        self.html: dict[str, str] = {}
        """Page -> its Markdown as HTML, fences and inlines taken out."""
        self.places: dict[str, Set[str]] = {}
        """Page -> names of the places in it, for the pages into whose fences somebody links."""
        folder = workspace.root / "course" / "lessons" / edition
        written = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
        self.files = written | set(self.site.made) | set(self.site.assets.files())

    def faults(self, files: Collection[str] | None = None) -> Iterator[SourceError]:
        """Yield the fault of every link that leads nowhere, page by page, of all pages or of some files."""
        for page in self.site.pages.values():
            if files is not None and page.place.file not in files:
                continue
            finder = _Finder(page)
            for address in _addresses(self.markdown_of(page.file)):
                place, in_html = finder.find(address)
                target = self._target(page, address, in_html)
                if target is not None and target not in self.files:
                    what = f"the link {address[:80]} leads to no page of the {page.edition} edition"
                    needs: tuple[SourceKind, str] = ("page", f"{page.edition}/{target}")
                    yield FollowingError(place, what, self._advice(target), needs, names_nothing=True)
                else:
                    yield from (SourceError(place, *fault) for fault in self._look(page, address, in_html))

    def _target(self, page: Lesson, address: str, in_html: bool) -> str | None:
        """Return the page or file that an address inside the site leads to; None where it is none, or leads out."""
        parts = urlsplit(address)
        in_vain = in_html and parts.path.endswith(".md")
        if is_outside(address) or parts.scheme or in_vain or parts.path.startswith("/"):
            return None
        target = normpath(join(dirname(page.file), unquote(parts.path))) if parts.path else page.file
        return target.removesuffix(".html") + ".md" if in_html and target.endswith(".html") else target

    def _look(self, page: Lesson, address: str, in_html: bool) -> Iterator[tuple[str, str]]:
        """Yield what is wrong with one address, and what to do; one in plain HTML names the page as it is built."""
        if is_outside(address):
            what_to_do = "name it in course/sources.yaml, and write [[source ID]]"
            yield f"the link {address[:80]} leads out of the site", what_to_do
            return
        parts = urlsplit(address)
        if parts.scheme:
            return
        if in_html and parts.path.endswith(".md"):
            yield f"the link {address[:80]} stands in plain HTML, which nobody follows", "write [words](page.md)"
            return
        target = self._target(page, address, in_html)
        if target is None:
            target = normpath(join(dirname(page.file), unquote(parts.path)))
            yield f"the link {address[:80]} leads to no page of the {page.edition} edition", self._advice(target)
        elif not address.strip():
            yield "a link leads nowhere", "write the page that it leads to"
        elif parts.fragment and target.endswith(".md") and not self._has(target, unquote(parts.fragment)):
            known = [name for name in self.places_of(target) if not name.startswith("__")]
            near = nearest(unquote(parts.fragment), known)
            few = "link to a heading of it"
            if len(known) <= FEW:
                few = f"its places are {', '.join(sorted(known)) or 'none'}"
            yield (
                f"the link {address[:80]} leads to a place that {target} does not have",
                (f"did you mean #{near}?" if near else few),
            )

    def _advice(self, target: str) -> str:
        pages = [name for name in self.files if name.endswith(".md")]
        wanted = target.removesuffix(".html") + ".md" if target.endswith(".html") else target
        near = wanted if wanted in pages else nearest(wanted, pages)
        return f"did you mean {near}?" if near else "name a page by its file, such as index.md"

    def _has(self, target: str, place: str) -> bool:
        """Say whether a page has a place: a heading most often, and only else is the whole page made."""
        return place in anchors_of(parse_html(self.markdown_of(target))) or place in self.places_of(target)

    def markdown_of(self, target: str) -> str:
        """Return the Markdown of a page as HTML; of a made page its title."""
        if target not in self.html:
            made, stub = self.site.made.get(target), self.site.markdown(target)
            title = f"# {made.title if made else ''}\n\nwyblock0000end\n"
            self.html[target] = self.render(title if stub is None else stub)
        return self.html[target]

    def places_of(self, target: str) -> Set[str]:
        """Return the places of a page as built: those of its Markdown, its fences and its frame."""
        if target not in self.places:
            self.places[target] = anchors_of(parse_html(self.site.content(target, self.markdown_of(target)).html))
        return self.places[target]


def _addresses(html: str) -> Iterator[str]:
    for tag in elements(parse_html(html)):
        for name in ("href", "src"):
            if name in tag.attributes:
                yield tag.attributes[name] or ""


class _Finder:
    """Finds the line of each address of a page, the second of two equal ones after the first."""

    def __init__(self, page: Lesson) -> None:
        self.page = page
        self.lines = page.body.split("\n")
        self.seen: dict[str, int] = {}

    def find(self, address: str) -> tuple[Place, bool]:
        """Return where the next link with this address stands, and whether in plain HTML; else the head of the page."""
        start = self.seen.get(address, 0)
        for wanted in (address or "]()", unquote(address)):
            for at in range(start, len(self.lines)):
                line = self.lines[at]
                if wanted and wanted in line:
                    self.seen[address] = at + 1
                    in_html = any(f"{sign}{wanted}{sign}" in line for sign in ("'", '"'))
                    return Place(self.page.place.file, self.page.body_line + at), in_html
        return Place(self.page.place.file, self.page.place.line), False
