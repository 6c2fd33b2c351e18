"""What no built page may hold: an outside address, a link to a repository, an undrawn diagram, a key of the bank."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Set
from dataclasses import dataclass
from pathlib import Path, PurePath
from urllib.parse import unquote, urlsplit

import msgspec
from selectolax.lexbor import LexborHTMLParser, LexborNode

from warmyard.kept import Book
from warmyard.web.parsed import anchors_of, elements, parse_html

ADDRESS_ATTRIBUTES = (
    "href", "src", "srcset", "action", "formaction", "poster", "data", "background", "cite", "manifest", "ping",
    "xlink:href", "longdesc", "archive", "codebase", "classid", "profile", "imagesrcset",
)  # fmt: skip
ALLOWED_SCHEMES = ("tel", "mailto", "data")
LOOKED_AT = (".html", ".css", ".js", ".json", ".svg", ".webmanifest")
NAMESPACES = ("http://www.w3.org/", "https://www.w3.org/")
LABELLED = ("a", "button", "label", "summary")
MISSING = object()
_OUTSIDE = re.compile(r"^\s*(?:[a-z][a-z0-9+.-]*:)?//|^\s*[a-z][a-z0-9+.-]*:", re.IGNORECASE)
_CSS_ADDRESS = re.compile(r"""url\(\s*["']?([^"')]+)["']?\s*\)|@import\s+["']([^"']+)["']""", re.IGNORECASE)
_NAMES_ONLY = bytes(
    code if chr(code).isascii() and (chr(code).isalnum() or chr(code) == "-") else 32 for code in range(256)
)
"""Turns what cannot stand in an id into a space: one pass over a site of 30 MB takes a third of a second."""
_REPOSITORY = re.compile(r"class=\"[^\"]*\bmd-source\b|data-md-component=\"source\"|edit-uri", re.IGNORECASE)
_DIAGRAM = re.compile(r"class=\"[^\"]*\bmermaid\b|```mermaid|language-mermaid", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PageFault:
    """Something that no built page may hold."""

    file: str
    what: str

    def __str__(self) -> str:
        return f"{self.file}: {self.what}"


class Inspected(msgspec.Struct, frozen=True):
    """What one file holds by itself: its faults, the places in it, and its links into the site."""

    faults: tuple[str, ...] = ()
    anchors: frozenset[str] = frozenset()
    links: tuple[tuple[str, str], ...] = ()
    """Tag and address of each."""


def check_site(folder: Path, secret_ids: Iterable[str] = (), book: Book | None = None) -> list[PageFault]:
    """Return everything in a built site that must not leave the house; `secret_ids` are ids of exam items.

    One file is read at a time, and no more is kept of it than its places and links; a file of the very bytes that a
    book knows is not looked at again.
    """
    known = Book() if book is None else book
    names = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())
    secrets = frozenset(secret.encode() for secret in secret_ids)
    beginnings = frozenset(secret.partition(b"-")[0] + b"-" if b"-" in secret else secret for secret in secrets)
    hidden = hashlib.sha256(b"\0".join(sorted(secrets))).hexdigest()

    def inspect(name: str) -> Inspected:
        content = (folder / name).read_bytes()
        parts = [PurePath(name).suffix, hashlib.sha256(content).hexdigest(), hidden]
        made = known.made("audit", parts, lambda: msgspec.msgpack.encode(look_at(name, content, secrets, beginnings)))
        return msgspec.msgpack.decode(made, type=Inspected)

    def inspect_all(share: Iterable[str]) -> dict[str, Inspected]:
        return {name: inspect(name) for name in share}

    looked: dict[str, Inspected] = {}
    for found in known.share([name for name in names if name.endswith(LOOKED_AT)], inspect_all):
        looked |= found
    inside = [PageFault(name, what) for name in sorted(looked) for what in looked[name].faults]
    files = frozenset(names)
    return inside + [
        PageFault(name, what) for name in sorted(looked) for what in _check_links(name, looked[name], looked, files)
    ]


def look_at(name: str, content: bytes, secrets: Set[bytes], beginnings: Set[bytes]) -> Inspected:
    """Return what a file holds; its name says what it is. A file without a beginning of a secret names none."""
    named = secrets & names_in(content) if any(beginning in content for beginning in beginnings) else set()
    faults = [f"names the exam item {secret.decode()}" for secret in sorted(named)]
    if not name.endswith((".css", ".html", ".svg")):
        return Inspected(tuple(faults))
    text = content.decode("utf-8")
    if name.endswith(".css"):
        return Inspected((*faults, *_check_css(text)))
    page = parse_html(text)
    faults += [*_check_text(text), *check_page(page, name.endswith(".html"))]
    return Inspected(tuple(faults), anchors_of(page), tuple(_links(page)))


def names_in(content: bytes) -> set[bytes]:
    """Return every run of letters, digits and single hyphens in a file, as ids are written."""
    return {word.strip(b"-") for word in set(content.translate(_NAMES_ONLY).replace(b"--", b"  ").split())}


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


def check_page(page: LexborHTMLParser, whole: bool) -> Iterator[str]:
    """Yield what one page may not hold; `whole` pages must also carry a policy."""
    ids: Counter[str] = Counter()
    for tag in elements(page):
        yield from _check_tag(tag)
        if name := tag.attributes.get("id"):
            ids[name] += 1
    if whole:
        yield from (f"has the id {name} {count} times" for name, count in ids.items() if count > 1)
        yield from _check_policy(page)


def _check_policy(page: LexborHTMLParser) -> Iterator[str]:
    policies = [tag for tag in page.css("meta") if _is_about(tag, "content-security-policy")]
    content = policies[0].attributes.get("content") or "" if policies else ""
    if "default-src 'none'" not in content:
        yield "has no content security policy that begins with default-src 'none'"
    for name in ("http:", "https:", "*"):
        if re.search(rf"(?:^|[\s;]){re.escape(name)}(?:[\s;]|$)", content):
            yield f"has a content security policy that lets {name} through"


def _is_about(tag: LexborNode, what: str) -> bool:
    return (tag.attributes.get("http-equiv") or "").lower() == what


def _check_tag(tag: LexborNode) -> Iterator[str]:
    yield from _check_addresses(tag)
    if tag.tag == "style":
        yield from _check_css(tag.text())
    yield from (what for name, test, what in _MAY_NOT if tag.tag == name and test(tag))
    if tag.tag == "img" and tag.attributes.get("alt", MISSING) is MISSING:
        yield f"holds a picture without a text alternative: {(tag.attributes.get('src') or '')[:60]}"
    if tag.tag == "svg" and not _is_described(tag):
        yield f"holds a drawing without a text alternative: {(tag.html or '')[:60]}"


def _check_addresses(tag: LexborNode) -> Iterator[str]:
    for name, value in tag.attributes.items():
        text = value or ""
        if name.lower() in ADDRESS_ATTRIBUTES:
            addresses = text.split(",") if name.lower().endswith("srcset") else [text]
            for address in addresses:
                if is_outside(address):
                    yield f"<{tag.tag} {name}> leads to {address.strip()[:80]}"
        if name == "style":
            yield from _check_css(text)


def _is_module(tag: LexborNode) -> bool:
    return (tag.attributes.get("type") or "").lower() in ("module", "importmap")


_MAY_NOT: tuple[tuple[str, Callable[[LexborNode], bool], str], ...] = (
    ("meta", lambda tag: _is_about(tag, "refresh"), "holds a refresh that leads away"),
    ("base", lambda tag: True, "holds <base>, which moves every link"),
    ("form", lambda tag: bool(tag.attributes.get("action")), "holds a form that sends its answers somewhere"),
    ("script", _is_module, "holds a module script, which no browser runs from a file"),
)
"""Elements that may not stand in a page: tag, when, and what is said."""


def _is_described(drawing: LexborNode) -> bool:
    """Say whether a drawing has a text alternative, or is an icon with words beside it, as in a labelled button."""
    if any(drawing.attributes.get(name) for name in ("aria-label", "aria-labelledby")) or drawing.css_first("title"):
        return True
    around = list(_with_parents(drawing))
    if any(tag.attributes.get("aria-hidden") == "true" for tag in around):
        return True
    return any(tag.tag in LABELLED for tag in around[1:])


def _with_parents(tag: LexborNode) -> Iterator[LexborNode]:
    at: LexborNode | None = tag
    while at is not None:
        yield at
        at = at.parent


def _links(page: LexborHTMLParser) -> Iterator[tuple[str, str]]:
    """Yield every link of a page into the site."""
    for tag in elements(page):
        for attribute in ("href", "src"):
            value = tag.attributes.get(attribute)
            if value and value.strip() and not _OUTSIDE.match(value):
                yield tag.tag or "", value


def _check_links(name: str, one: Inspected, looked: Mapping[str, Inspected], files: Set[str]) -> Iterator[str]:
    """Yield every link of a file that leads to no file of the site, or to no place in it."""
    for tag, value in one.links:
        parts = urlsplit(value)
        target = _tidy((Path(name).parent / unquote(parts.path)).as_posix() if parts.path else name)
        if target is None or target not in files:
            yield f"<{tag}> leads to {value[:80]}, which is no file of the site"
            continue
        has_places = target.endswith((".html", ".svg"))
        if parts.fragment and has_places and unquote(parts.fragment) not in looked[target].anchors:
            yield f"<{tag}> leads to {value[:80]}, a place that the page does not have"


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
