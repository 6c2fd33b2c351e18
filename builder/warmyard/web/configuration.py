"""The configuration of the editions: base.yml and what each edition says over it, told as all other sources are."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from warmyard.errors import FollowingError, Place, SourceError
from warmyard.fields import nearest
from warmyard.sources import Document, part, read_document, relative_name

INHERIT = "INHERIT"
EARLIER_THEME = "material"
"""The theme that configurations of earlier versions name. It is taken no notice of, as any other would be."""
COMPARE = "compare it with the file that came with Warmyard"
_SAID = re.compile(r"Config value '([^']+)': (.*)", re.DOTALL)
_QUOTED = re.compile(r"['\"]([^'\"]+)['\"]")
_TYPES = {"bool": "true or false", "str": "text", "int": "a whole number", "list": "a list", "dict": "named fields"}
_IN_OUR_WORDS: tuple[tuple[re.Pattern[str], str, str], ...] = (
    (re.compile(r"Unrecognised configuration name"), "nothing is configured by the name {key}", COMPARE),
    (re.compile(r'The "(.*?)" plugin is not installed'), "there is no plugin {0}", "write warmyard"),
    (re.compile(r"Failed to load extension '(.*?)'"), "there is no extension {0} of Markdown", COMPARE),
    (re.compile(r"The path '.*' isn't an existing"), "{key} leads to no folder", COMPARE),
    (re.compile(r"option '(.*?)': Expected one of: \((.*?)\) but received: (.*)"), "{0} is {2}", "write one of {1}"),
)


@dataclass(frozen=True, slots=True)
class Configuration:
    """The files that one edition is configured by, its own first."""

    files: tuple[Document, ...]
    faults: tuple[SourceError, ...]

    def place(self, key: str, *names: str) -> Place:
        """Return where a key stands, or the part of it that has one of some names or values; else the first line."""
        holding = [document for document in self.files if part(document, key) is not None]
        for document in holding:
            for path, line in document.lines.items():
                inside = path == key or path.startswith(f"{key}.")
                if inside and (path.rpartition(".")[2] in names or part(document, path) in names):
                    return Place(document.file, line)
        return holding[0].place(key) if holding else self.files[0].place()


def read_configuration(file: Path, root: Path) -> Configuration:
    """Return the files of an edition's configuration, and the faults of those that cannot be read."""
    found: list[Document] = []
    while True:
        try:
            document = read_document(file, root)
        except SourceError as fault:
            return Configuration(tuple(found), (fault,))
        if not isinstance(document.value, dict):
            nothing = SourceError(document.place(), "the file holds no named fields", COMPARE)
            return Configuration((*found, document), (nothing,))
        found.append(document)
        base = document.value.get(INHERIT)
        if base is None or any(relative_name(file.parent / str(base), root) == one.file for one in found):
            return Configuration(tuple(found), ())
        if not (file.parent / str(base)).is_file():
            known = [path.name for path in sorted(file.parent.glob("*.yml")) if path.name != file.name]
            near = nearest(str(base), known)
            what = f"{INHERIT} names {base}, which is not there"
            what_to_do = f"did you mean {near}?" if near else f"write {base} beside it; {COMPARE}".replace(";", ",")
            place = document.place(INHERIT)
            missing = FollowingError(place, what, what_to_do, ("page", str(base)), names_nothing=True)
            return Configuration(tuple(found), (missing,))
        file = file.parent / str(base)


def check_theme(configuration: Configuration) -> Iterator[SourceError]:
    """Yield a fault for every theme that a configuration asks for: the pages have a frame of their own."""
    for document in configuration.files:
        named = part(document, "theme.name") or part(document, "theme")
        if isinstance(named, str) and named != EARLIER_THEME:
            key = "theme.name" if part(document, "theme.name") else "theme"
            yield SourceError(document.place(key), f"no page is shown in a theme {named}", "take `theme:` out")


def in_our_words(configuration: Configuration, said: Iterable[str]) -> Iterator[SourceError]:
    """Yield what was said against a configuration, at the line that it is about."""
    for sentence in said:
        match = _SAID.fullmatch(sentence.strip())
        if match is None:
            yield SourceError(Place(configuration.files[0].file, 1), _one_line(sentence), COMPARE)
            continue
        key, text = match.groups()
        what, what_to_do = _worded(key, text)
        yield SourceError(configuration.place(key, *_QUOTED.findall(text)), what, what_to_do)


def _worded(key: str, text: str) -> tuple[str, str]:
    for pattern, what, what_to_do in _IN_OUR_WORDS:
        if found := pattern.search(text):
            groups = [group.replace("'", "") for group in found.groups()]
            return what.format(*groups, key=key), what_to_do.format(*groups, key=key)
    types = re.findall(r"<class '(\w+)'>", text)
    if text.startswith("Expected type") and len(types) > 1:
        wanted, got = (_TYPES.get(name, name) for name in (types[0], types[-1]))
        return f"{key} is {got}", f"write {wanted}"
    return f"{key} cannot be used: {_one_line(text)}", COMPARE


def _one_line(text: str) -> str:
    return " ".join(text.split()).replace(";", ",")[:200]
