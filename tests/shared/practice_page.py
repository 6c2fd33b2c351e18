"""A page that holds one item of each kind of the small yard, and how its problems are opened."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Locator, Page

KINDS = ["q-run-on", "q-bund", "q-gauge", "q-filter-order", "q-filter-point", "q-case"]
"""One item of each of the six kinds in the small yard."""
MakePage = Callable[[list[str], list[str]], str]


def open_all(page: Page) -> None:
    """Open every problem that waits for the one before it."""
    buttons = page.get_by_role("button", name="Open this problem")
    for _ in range(buttons.count()):
        buttons.first.click()
    assert buttons.count() == 0


def tab_to(page: Page, target: Locator, *, limit: int = 60) -> None:
    """Press Tab until the target has the focus; fail where the keyboard never gets there."""
    for _ in range(limit):
        if target.evaluate("node => node === document.activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"the keyboard never reaches {target}")


def item(page: Page, name: str) -> Locator:
    """Return an item's box."""
    return page.locator(f'wy-item[item="{name}"]')


def first_key(page: Page, name: str) -> dict[str, Any]:
    """Return the key of the variant that the page shows first."""
    found: dict[str, Any] = page.evaluate(f"WY.variants('{name}')[0].key")
    return found


def press(page: Page, box: Locator, button: str) -> None:
    """Reach a button of an item with the keyboard and press Enter."""
    tab_to(page, box.get_by_role("button", name=button, exact=True))
    page.keyboard.press("Enter")


def right_answer_is_said(box: Locator) -> bool:
    """Say whether the feedback begins with the word for right."""
    return box.locator(".wy-mark--good").inner_text().startswith("Right")


def give_order(page: Page, box: Locator, order: list[str]) -> None:
    """Place the steps in an order, whatever stood there before."""
    while box.locator(".wy-order-step--placed").count():
        box.locator(".wy-order-step--placed button").first.click()
    for step in order:
        box.locator(f'li[data-id="{step}"] button').click()
