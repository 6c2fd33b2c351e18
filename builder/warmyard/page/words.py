"""The words of course/words.yaml that a page needs: a missing one is a fault of that file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from warmyard.errors import Place, SourceError
from warmyard.words import own_words


@dataclass(frozen=True, slots=True)
class Language:
    """In which language the words are: its tag after BCP 47, and the direction of its script, ltr or rtl."""

    tag: str
    direction: str

    @property
    def language(self) -> str:
        """The language alone, as a printed sheet takes it: `en` of `en-GB`."""
        return self.tag.split("-")[0].lower()

    @property
    def region(self) -> str:
        """The region, or nothing: `GB` of `en-GB`."""
        return next((part.upper() for part in self.tag.split("-")[1:] if len(part) == 2), "")


def language_of(words: Mapping[str, str]) -> Language:
    """Return the language of the words; the one place from which pages and sheets take `lang` and `dir`."""
    known = {**own_words(), **words}
    return Language(known["language.code"], known["language.direction"])


def need_words(words: Mapping[str, str], names: Iterable[str]) -> dict[str, str]:
    """Return the named words; raise SourceError naming the first that course/words.yaml lacks."""
    found = {}
    for name in names:
        if not words.get(name, "").strip():
            raise SourceError(Place("course/words.yaml", 1), f"there is no word {name}", "write it in quotes")
        found[name] = words[name]
    return found


def words_of(words: Mapping[str, str], *groups: str) -> dict[str, str]:
    """Return the words of some groups by their whole id, as a page's scripts use them."""
    chosen = {name: text for name, text in words.items() if name.split(".")[0] in groups}
    for group in groups:
        need_words(chosen, [] if any(name.startswith(f"{group}.") for name in chosen) else [f"{group}.title"])
    return chosen
