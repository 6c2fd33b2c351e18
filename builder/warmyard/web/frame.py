"""The frame of every page: its policy, what its landmarks and buttons say, and the looks that a reader may choose."""

from __future__ import annotations

from collections.abc import Mapping

from warmyard.words import language_of

POLICY = (
    "default-src 'none'; script-src 'self' file:; style-src 'self' file: 'unsafe-inline'; "
    "img-src 'self' file: data: blob:; font-src 'self' file: data:; connect-src 'self'; worker-src 'self'; "
    "manifest-src 'self'; base-uri 'none'; form-action 'none'; object-src 'none'"
)
"""Nothing from outside, nothing sent. `file:` because 'self' matches no file in some browsers."""

LOOKS = (
    ("device", "follow", "device", "sun"),
    ("sun", "bright", "sun", "dark"),
    ("dark", "dark", "slate", "light"),
    ("light", "light", "default", "device"),
)
"""Looks of a page: its name, its icon, the word palette.now-WORD for it, and the look that comes next."""


def theme_words(words: Mapping[str, str]) -> dict[str, str]:
    """Return what the frame of a page says, by the last part of its ids; `footer` is the word theme.footer.name."""
    language = language_of(words)
    said = {
        name.removeprefix("theme.").removesuffix(".name"): text
        for name, text in words.items()
        if name.startswith("theme.")
    }
    return {**said, "language": language.code, "direction": language.direction}


def looks(words: Mapping[str, str]) -> list[dict[str, str]]:
    """Return the looks in the order of their switch: what each is called, what its press leads to, and its icon.

    In this order the first press is always seen: bright sun looks like no device.
    """
    return [
        {"name": look, "icon": icon, "now": words[f"palette.now-{now}"], "next": words[f"palette.{leads_to}"]}
        for look, icon, now, leads_to in LOOKS
    ]
