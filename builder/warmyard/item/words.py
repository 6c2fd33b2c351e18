"""The sentences of marking, filled in; Python and the page say the same, so the words are handed to the browser too."""

from __future__ import annotations

from warmyard.words import spoken

GROUPS = ("marking", "reading", "question", "case")
"""The groups of words that marking, readings and problems are made of."""


def marking_words() -> dict[str, str]:
    """Return the words of problems by dotted id."""
    return {name: text for name, text in spoken().items() if name.partition(".")[0] in GROUPS}


def bare(text: str) -> str:
    """Return a text without its full stop, to stand inside quotation marks."""
    return text.strip().removesuffix(".")


def sentence(text: str) -> str:
    """Return a reason as a sentence: first letter large, a full stop at the end; nothing stays nothing."""
    clean = text.strip()
    if not clean:
        return ""
    return clean[:1].upper() + clean[1:] + ("" if clean[-1] in ".!?" else ".")
