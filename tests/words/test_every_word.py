"""A site with every word replaced by its id: what English is left is course text, on every page of both editions."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator, Set
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from bs4.element import Comment, NavigableString, PreformattedString, Tag

from warmyard.course.fleet import load_sheets
from warmyard.course.workspace import read_workspace
from warmyard.web.build import build_edition
from warmyard.words import names_in, own_words

TESTS = Path(__file__).resolve().parents[1]
KEPT = {"language.code": "ar-EG", "language.direction": "rtl"}
"""Words that no reader reads."""
SPOKEN_ATTRIBUTES = ("aria-label", "alt", "title", "placeholder", "data-wy-gives", "content", "heading")
SILENT = ("script", "style", "math", "code")
"""Elements whose text is no sentence: programs, letters of formulas, ids."""
WORD = re.compile(r"[A-Za-z]{2,}(?:'[a-z]+)?")
MARK = re.compile(r"⟦[^⟧]*⟧|\{\w+\}")
"""A word by its id, and a name that is put into it later."""
KEY = re.compile(r"^\s*(?:- )?[\w-]+:(?=\s|$)|(?<=[{,])\s*[\w-]+:(?=\s)", re.MULTILINE)
"""A key of YAML, which is no text of the course."""
TEXT_IN_SCRIPT = re.compile(r'"((?:[^"\\]|\\.)*)"(:?)')


def marked(name: str, text: str) -> str:
    """Return a word as its id in brackets, with the names that are put into it."""
    return " ".join([f"⟦{name}⟧", *(f"{{{part}}}" for part in sorted(names_in(text)))])


def pairs(text: str) -> Iterator[tuple[str, ...]]:
    """Yield every word of a text, and every two that stand beside each other."""
    found = list(WORD.finditer(text))
    for at, word in enumerate(found):
        yield (word.group().lower(),)
        if at and text[found[at - 1].end() : word.start()].isspace():
            yield found[at - 1].group().lower(), word.group().lower()


def course_text(root: Path) -> Set[tuple[str, ...]]:
    """Return the words of the sources, and every two beside each other, without the keys of their YAML."""
    known: set[tuple[str, ...]] = set()
    for folder in ("course", "quizbank", "site_config"):
        for path in (root / folder).rglob("*"):
            if path.is_file() and path.name != "words.yaml":
                known.update(pairs(KEY.sub(" ; ", path.read_text(encoding="utf-8"))))
    for sheet in load_sheets(root / "site_config" / "fleet", root, []).values():
        known.update(pair for field in (*sheet.values, *sheet.texts) for pair in pairs(re.sub("[-_]", " ", field)))
    return known


def said_on(html: str) -> Iterator[str]:
    """Yield what a page says: text, and what a reader that speaks hears."""
    page = BeautifulSoup(html, "html.parser")
    for tag in page.find_all(True):
        yield from (str(tag[name]) for name in SPOKEN_ATTRIBUTES if tag.get(name) and tag.name != "meta")
        if tag.name == "meta" and tag.get("name") == "description":
            yield str(tag["content"])
    for text in page.find_all(string=True):
        silent = isinstance(text, (Comment, PreformattedString)) or text.find_parent(SILENT)
        if isinstance(text, NavigableString) and not silent:
            yield str(text)
    config = page.find("script", id="__config")
    if isinstance(config, Tag):
        yield from json.loads(config.text)["translations"].values()


def said_in(script: str) -> Iterator[str]:
    """Yield the sentences in the data of a page; ids, units and numbers stand alone and are none."""
    for found in TEXT_IN_SCRIPT.finditer(script):
        text = json.loads(f'"{found.group(1)}"', strict=False)
        if " " in text and not found.group(2):
            yield from said_on(text) if "<" in text else (text,)


def left(texts: Iterator[str], known: Set[tuple[str, ...]]) -> list[str]:
    """Return the texts that say something which neither a word nor the course says."""
    found = []
    for text in texts:
        rest = MARK.sub(" ; ", text)
        strange = [pair for pair in pairs(rest) if pair not in known]
        if strange:
            found.append(f"{' '.join(rest.split())[:120]} -> {strange[:3]}")
    return found


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Set[tuple[str, ...]]]:
    """Give both editions of the small yard with every word marked, and what its sources say."""
    yard = tmp_path_factory.mktemp("marked") / "yard"
    shutil.copytree(TESTS / "small_yard", yard)
    words = {name: KEPT.get(name) or marked(name, text) for name, text in own_words().items()}
    (yard / "course" / "words.yaml").write_text(json.dumps(words, ensure_ascii=False, indent=1), encoding="utf-8")
    workspace = read_workspace(yard)
    for edition in ("staff", "customer"):
        build_edition(workspace, edition, yard / "site" / edition)
    return yard / "site", course_text(yard)


def test_no_page_says_what_is_no_word(site: tuple[Path, Set[tuple[str, ...]]]) -> None:
    """Text, labels, titles and alternatives of every page are words by their ids, or stand in the sources."""
    folder, known = site
    found = [
        f"{path.relative_to(folder)}: {line}"
        for path in sorted(folder.rglob("*.html"))
        for line in left(said_on(path.read_text(encoding="utf-8")), known)
    ]
    assert found == [], "\n".join(found)


def test_no_data_says_what_is_no_word(site: tuple[Path, Set[tuple[str, ...]]]) -> None:
    """The same of the problems, plans and calls that scripts show."""
    folder, known = site
    found = [
        f"{path.relative_to(folder)}: {line}"
        for path in sorted(folder.rglob("data/*.js"))
        for line in left(said_in(path.read_text(encoding="utf-8")), known)
    ]
    assert found == [], "\n".join(found)


def test_every_page_is_written_in_the_direction_of_its_words(site: tuple[Path, Set[tuple[str, ...]]]) -> None:
    """Words written from right to left turn every page, the pocket file and the manifest; lang is theirs."""
    folder, _ = site
    pages = sorted(folder.rglob("*.html"))
    assert {"pocket.html", "index.html"} <= {path.name for path in pages}
    for path in pages:
        page = BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser")
        assert page.html is not None
        assert page.body is not None
        assert page.html["lang"] == "ar-EG", path
        assert "rtl" in (page.html.get("dir"), page.body.get("dir")), path
    for path in folder.rglob("manifest.webmanifest"):
        manifest = json.loads(path.read_text(encoding="utf-8"))
        assert (manifest["lang"], manifest["dir"]) == ("ar-EG", "rtl")
