"""The words of course/words.yaml that a page needs: a missing one is a fault of that file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from warmyard.errors import Place, SourceError


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
