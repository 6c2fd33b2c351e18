"""What no built page may hold: an outside address, a link to a repository, an undrawn diagram, a key of the bank."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Set
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote, urlsplit

from bs4 import BeautifulSoup
from bs4.element import Tag

ADDRESS_ATTRIBUTES = (
    "href", "src", "srcset", "action", "formaction", "poster", "data", "background", "cite", "manifest", "ping",
    "xlink:href", "longdesc", "archive", "codebase", "classid", "profile", "imagesrcset",
)  # fmt: skip
ALLOWED_SCHEMES = ("tel", "mailto", "data")
NAMESPACES = ("http://www.w3.org/", "https://www.w3.org/")
_OUTSIDE = re.compile(r"^\s*(?:[a-z][a-z0-9+.-]*:)?//|^\s*[a-z][a-z0-9+.-]*:", re.IGNORECASE)
_CSS_ADDRESS = re.compile(r"""url\(\s*["']?([^"')]+)["']?\s*\)|@import\s+["']([^"']+)["']""", re.IGNORECASE)
_NAME = re.compile(r"[A-Za-z0-9]+(?:-[A-Za-z0-9]+)+|[A-Za-z0-9]+")
_REPOSITORY = re.compile(r"md-source|data-md-component=\"source\"|edit-uri", re.IGNORECASE)
_DIAGRAM = re.compile(r"class=\"[^\"]*\bmermaid\b|```mermaid|language-mermaid", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PageFault:
    """Something that no built page may hold."""

    file: str
    what: str

    def __str__(self) -> str:
        return f"{self.file}: {self.what}"


def check_site(folder: Path, secret_ids: Iterable[str] = ()) -> list[PageFault]:
    """Return everything in a built site that must not leave the house; `secret_ids` are ids of exam items."""
    pages: dict[str, BeautifulSoup] = {}
    faults: list[PageFault] = []
    secrets = frozenset(secret_ids)
    for path in sorted(folder.rglob("*")):
        if not path.is_file():
            continue
        name = path.relative_to(folder).as_posix()
        if path.suffix in (".html", ".css", ".js", ".json", ".svg", ".webmanifest"):
            text = path.read_text(encoding="utf-8")
            named = secrets.intersection(_NAME.findall(text))
            faults += [PageFault(name, f"names the exam item {secret}") for secret in sorted(named)]
            if path.suffix == ".css":
                faults += [PageFault(name, what) for what in _check_css(text)]
            if path.suffix in (".html", ".svg"):
                pages[name] = BeautifulSoup(text, "html.parser")
                faults += [PageFault(name, what) for what in _check_text(text)]
    anchors = {name: anchors_of(page) for name, page in pages.items()}
    for name, page in pages.items():
        faults += [PageFault(name, what) for what in check_page(page, name.endswith(".html"))]
        faults += [PageFault(name, what) for what in _check_links(folder, name, page, anchors)]
    return faults


def _check_text(text: str) -> Iterator[str]:
    if _DIAGRAM.search(text):
        yield "holds a diagram that is drawn by a script from outside; draw it as a picture"
    if _REPOSITORY.search(text):
        yield "holds a link to a repository"


def _check_css(text: str) -> Iterator[str]:
    for match in _CSS_ADDRESS.finditer(text):
        address = match.group(1) or match.group(2)
        if is_outside(address):
            yield f"loads {address[:80]} in a style"


def is_outside(address: str) -> bool:
    """Say whether an address leads out of the site: any scheme but tel, mailto and data, or a host."""
    if not _OUTSIDE.match(address):
        return False
    if address.lstrip().startswith(NAMESPACES):
        return False
    return urlsplit(address.strip()).scheme.lower() not in ALLOWED_SCHEMES


def check_page(page: BeautifulSoup, whole: bool) -> Iterator[str]:
    """Yield what one page may not hold; `whole` pages must also carry a policy."""
    for tag in page.find_all(True):
        yield from _check_tag(tag)
    if not whole:
        return
    ids = Counter(str(tag["id"]) for tag in page.find_all(id=True))
    yield from (f"has the id {name} {count} times" for name, count in ids.items() if count > 1)
    policy = page.find("meta", attrs={"http-equiv": re.compile("^content-security-policy$", re.IGNORECASE)})
    content = str(policy.get("content", "")) if isinstance(policy, Tag) else ""
    if "default-src 'none'" not in content:
        yield "has no content security policy that begins with default-src 'none'"
    for name in ("http:", "https:", "*"):
        if re.search(rf"(?:^|[\s;]){re.escape(name)}(?:[\s;]|$)", content):
            yield f"has a content security policy that lets {name} through"


def _check_tag(tag: Tag) -> Iterator[str]:
    for name, value in tag.attrs.items():
        text = " ".join(value) if isinstance(value, list) else str(value)
        if name.lower() in ADDRESS_ATTRIBUTES:
            addresses = text.split(",") if name.lower().endswith("srcset") else [text]
            for address in addresses:
                if is_outside(address):
                    yield f"<{tag.name} {name}> leads to {address.strip()[:80]}"
        if name == "style":
            yield from _check_css(text)
    if tag.name == "style":
        yield from _check_css(tag.get_text())
    if tag.name == "meta" and str(tag.get("http-equiv", "")).lower() == "refresh":
        yield "holds a refresh that leads away"
    if tag.name == "base":
        yield "holds <base>, which moves every link"
    if tag.name == "form" and tag.get("action"):
        yield "holds a form that sends its answers somewhere"
    if tag.name == "img" and tag.get("alt") is None:
        yield f"holds a picture without a text alternative: {str(tag.get('src', ''))[:60]}"
    if tag.name == "svg" and not _is_described(tag):
        yield f"holds a drawing without a text alternative: {str(tag)[:60]}"
    if tag.name == "script" and str(tag.get("type", "")).lower() in ("module", "importmap"):
        yield "holds a module script, which no browser runs from a file"


def _is_described(drawing: Tag) -> bool:
    """Say whether a drawing has a text alternative, or is an icon with words beside it, as in a labelled button."""
    if drawing.get("aria-label") or drawing.get("aria-labelledby") or drawing.find("title"):
        return True
    hidden = [drawing, *drawing.parents]
    if any(isinstance(tag, Tag) and tag.get("aria-hidden") == "true" for tag in hidden):
        return True
    labelled = ("a", "button", "label", "summary")
    return any(
        isinstance(tag, Tag) and (tag.name in labelled or "md-icon" in (tag.get("class") or [])) for tag in hidden
    )


def anchors_of(page: BeautifulSoup) -> Set[str]:
    """Return the names of all places in a page that a link can lead to."""
    return {str(tag.get("id")) for tag in page.find_all(id=True)} | {
        str(tag.get("name")) for tag in page.find_all("a", attrs={"name": True})
    }


def _check_links(folder: Path, name: str, page: BeautifulSoup, anchors: dict[str, Set[str]]) -> Iterator[str]:
    """Yield every link of a page into the site that leads to no file, or to no place in it."""
    for tag in page.find_all(True):
        for attribute in ("href", "src"):
            value = tag.get(attribute)
            if not isinstance(value, str) or not value.strip() or _OUTSIDE.match(value):
                continue
            parts = urlsplit(value)
            target = _tidy((Path(name).parent / unquote(parts.path)).as_posix() if parts.path else name)
            if target is None or not (folder / target).is_file():
                yield f"<{tag.name}> leads to {value[:80]}, which is no file of the site"
            elif parts.fragment and unquote(parts.fragment) not in anchors.get(target, {parts.fragment}):
                yield f"<{tag.name}> leads to {value[:80]}, a place that the page does not have"


def _tidy(path: str) -> str | None:
    """Return a path without . and .., or None when it leads out of the site."""
    kept: list[str] = []
    for part in path.split("/"):
        if part == "..":
            if not kept:
                return None
            kept.pop()
        elif part not in (".", ""):
            kept.append(part)
    return "/".join(kept)
