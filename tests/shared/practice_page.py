"""A page that holds one item of each kind of the small yard, and how its problems are opened."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page

KINDS = ["q-run-on", "q-bund", "q-gauge", "q-filter-order", "q-filter-point", "q-case"]
"""One item of each of the six kinds in the small yard."""
MakePage = Callable[[list[str], list[str]], str]


def open_all(page: Page) -> None:
    """Open every problem that waits for the one before it."""
    buttons = page.get_by_role("button", name="Open this problem")
    for _ in range(buttons.count()):
        buttons.first.click()
    assert buttons.count() == 0
