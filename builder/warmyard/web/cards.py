"""Cards to print and hang on the heater: few lines, large letters, the telephone numbers, the cautions."""

from __future__ import annotations

from collections.abc import Sequence

from warmyard.errors import Place, SourceError

MOST_LINES = 10
"""More lines than this nobody reads beside a running heater, and they do not fit on A5."""


def check_lines(title: str, lines: Sequence[str], place: Place) -> None:
    """Raise SourceError when a card has more lines than fit."""
    if len(lines) > MOST_LINES:
        what = f"the card {title!r} has {len(lines)} lines"
        raise SourceError(place.within("lines"), what, f"keep to {MOST_LINES}, one action each, or make two cards")
