"""The mark of a response, whatever the item's kind; runtime/marking.js does the same from the same cases.

A response that is no answer (blank, a letter for a number) comes back with `understood` false and words that help.
"""

from __future__ import annotations

from warmyard.item.kind_table import marking_of
from warmyard.item.response import Response, Words
from warmyard.item.variant_model import Mark, Variant

NO_WORDS: Words = {}


def mark(variant: Variant, response: Response, words: Words = NO_WORDS) -> Mark:
    """Return the mark of a response; `words` may hold other sentences than the built-in ones, by id."""
    return marking_of(variant.key).mark(variant.question, variant.key, response, words)
