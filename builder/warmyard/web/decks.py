"""The page of cards to turn over: a part ringed on its drawing, a sound in words, a sign."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from warmyard.course.model import Deck
from warmyard.web.assets import scripts_of
from warmyard.web.blocks import Writer
from warmyard.web.drawing import inline_svg
from warmyard.web.fill import fill

SCRIPTS = ("decks.js",)
NO_PART: dict[str, Any] = {"name": "", "picture": None, "ring": ""}
"""What a written card has in the place of a part on its drawing."""


def decks_page(writer: Writer) -> Markup:
    """Return every deck: without scripts as a list to read, with them one card at a time."""
    writer.scripts |= scripts_of(SCRIPTS)
    decks = [
        {
            "deck": deck,
            "say": writer.rich(deck.say, deck.place),
            "drawings": _drawings(writer, deck),
            "cards": [*_parts(writer, deck), *_written(writer, deck)],
        }
        for deck in writer.workspace.decks.values()
    ]
    return fill("decks", decks=decks)


def _prefix(picture: str) -> str:
    return f"deck-{picture}-"


def _drawings(writer: Writer, deck: Deck) -> list[dict[str, Any]]:
    """Return the drawings on which the parts of a deck are ringed."""
    found = [writer.workspace.pictures[name] for name in deck.pictures]
    drawings = writer.workspace.drawings
    return [{"picture": one, "svg": inline_svg(drawings[one.id], one.describes, _prefix(one.id))} for one in found]


def _parts(writer: Writer, deck: Deck) -> list[dict[str, Any]]:
    """Return a card for each named point: in front where it is on its drawing, behind its name and what it does."""
    pictures = [writer.workspace.pictures[name] for name in deck.pictures]
    return [
        {
            "front": point.where,
            "name": point.name,
            "back": point.does,
            "id": f"{picture.id}.{point.id}",
            "picture": picture,
            "ring": f"{_prefix(picture.id)}{point.id}",
        }
        for picture in pictures
        for point in picture.points
    ]


def _written(writer: Writer, deck: Deck) -> list[dict[str, Any]]:
    """Return the cards that an author wrote."""
    places = [deck.place.within(f"cards.{at}") for at in range(len(deck.cards))]
    return [
        {
            "front": writer.rich(card.front, place.within("front")),
            "back": writer.rich(card.back, place.within("back")),
            "id": card.id,
            **NO_PART,
        }
        for card, place in zip(deck.cards, places, strict=True)
    ]
