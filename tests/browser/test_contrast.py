"""What can be typed into or chosen on a practice page is seen to be there, in light and dark."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page
from practice_page import KINDS, MakePage, open_all

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_input_has_a_border_that_can_be_seen(
    browser_page: Page, make_practice_page: MakePage, scheme: Any
) -> None:
    """Text boxes and lists have a border of 2 px whose contrast with their ground is 3 to 1 or more (WCAG 1.4.11)."""
    page = browser_page
    page.emulate_media(color_scheme=scheme)
    page.goto(make_practice_page(KINDS, []))
    open_all(page)
    boxes = page.locator("input.wy-input, select.wy-input, .wy-option, .wy-step")
    assert boxes.count() > 10
    looks = boxes.evaluate_all(
        "nodes => nodes.map(n => { const s = getComputedStyle(n);"
        " return [s.borderTopWidth, s.borderTopStyle, s.borderTopColor,"
        " getComputedStyle(n.closest('.wy-item')).backgroundColor]; })"
    )
    for width, style, colour, ground in looks:
        assert float(width.removesuffix("px")) >= 1
        assert style == "solid"
        assert contrast(colour, ground) >= 3


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two CSS colours (WCAG 2.2, relative luminance)."""

    def luminance(colour: str) -> float:
        parts = [int(part) / 255 for part in colour.split("(")[1].rstrip(")").split(",")[:3]]
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
