"""The pocket file: the customer's pages in one file without scripts, small enough to send to a telephone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from bs4 import BeautifulSoup
from bs4.element import Tag

from warmyard.course.fence_table import FENCES
from warmyard.course.model import Company
from warmyard.errors import InputError
from warmyard.page.face import face_css
from warmyard.web.card_sheets import site_code
from warmyard.web.fill import THEME, fill

FILE = "pocket.html"
LARGEST_BYTES = 300_000
POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
_FILLED_IN = tuple(name for name, fence in FENCES.items() if fence.filled_in)
_DROPPED = ("script", "noscript", "wy-item", "form", "button", "input", "template", *_FILLED_IN)
_DROPPED_CLASSES = (
    "wy-source-mark", "wy-sources", "wy-print-buttons", "wy-card-files", "wy-card__code", *_FILLED_IN,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Leaf:
    """One page for the pocket file."""

    uri: str
    title: str
    html: str


def write_pocket(leaves: Sequence[Leaf], company: Company, words: Mapping[str, str], title: str) -> bytes:
    """Return the pocket file; raise InputError when it is larger than a telephone likes."""
    names = {leaf.uri.removesuffix(".md") + ".html": _anchor(leaf.uri) for leaf in leaves}
    parts = [(_anchor(leaf.uri), leaf.title, _trim(leaf, names)) for leaf in leaves]
    style = face_css() + (THEME / "blocks" / "pocket.css").read_text(encoding="utf-8")
    code = site_code(company)
    page = fill("pocket", parts=parts, company=company, words=words, style=style, policy=POLICY, title=title, code=code)
    made = str(page).encode()
    if len(made) > LARGEST_BYTES:
        what = f"the pocket file has {len(made) // 1000} kB"
        raise InputError(f"{what}; take drawings or pages out of the customer edition until it is below 300 kB")
    return made


def _anchor(uri: str) -> str:
    return "page-" + Path(uri).with_suffix("").as_posix().replace("/", "-")


def _trim(leaf: Leaf, names: dict[str, str]) -> str:
    """Return a page without what needs scripts, its links turned into places of the one file."""
    page = BeautifulSoup(leaf.html, "html.parser")
    for tag in page.find_all(_DROPPED):
        tag.decompose()
    for name in _DROPPED_CLASSES:
        for tag in page.find_all(class_=name):
            tag.decompose()
    for heading in page.find_all("h1"):
        heading.decompose()
    for tag in page.find_all("details", class_="wy-picture__words"):
        tag.decompose()
    for tag in page.find_all(id=True):
        if tag.find_parent("svg") is None:
            tag["id"] = f"{_anchor(leaf.uri)}-{tag['id']}"
    for link in page.find_all("a", href=True):
        _turn(link, names | {"": _anchor(leaf.uri)})
    return page.decode(formatter="minimal").strip()


def _turn(link: Tag, names: Mapping[str, str]) -> None:
    """Point a link into the file, keep telephone and mail, and leave only the words of any other."""
    address = str(link["href"])
    if address.startswith(("tel:", "mailto:")):
        return
    file, _, place = address.partition("#")
    target = names.get(file.removeprefix("./"))
    if target is None:
        link.unwrap()
    else:
        link["href"] = f"#{target}-{place}" if place else f"#{target}"
