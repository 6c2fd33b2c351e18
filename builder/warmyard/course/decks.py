"""What may be wrong with the cards to turn over (course/decks.yaml): parts of drawings, sounds in words, signs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from warmyard.course.model import Deck, Picture
from warmyard.course.references import missing
from warmyard.errors import SourceError


def check_decks(decks: Mapping[str, Deck], pictures: Mapping[str, Picture]) -> list[SourceError]:
    """Return the faults of decks: drawings that are not there, no card at all, one id twice."""
    return [fault for deck in decks.values() for fault in _check(deck, pictures)]


def _check(deck: Deck, pictures: Mapping[str, Picture]) -> Iterator[SourceError]:
    for at, name in enumerate(deck.pictures):
        yield from missing(deck.place.within(f"pictures.{at}"), "picture", name, pictures)
    if not deck.pictures and not deck.cards:
        yield SourceError(deck.place, f"the deck {deck.id} has no card", "write cards, or name pictures")
    seen: set[str] = set()
    for at, card in enumerate(deck.cards):
        if card.id in seen:
            what = f"the deck {deck.id} has two cards {card.id}"
            yield SourceError(deck.place.within(f"cards.{at}.id"), what, "give each its own id")
        seen.add(card.id)
