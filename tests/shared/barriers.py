"""What axe finds on a page, for every test that says a page has no barrier."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

ENHANCED = {"type": "rule", "values": ["color-contrast-enhanced"]}
"""The one rule about texts that stand out seven to one, which axe leaves out unless it is named."""


def barriers_on(page: Page, run_only: Mapping[str, Any] | None = None) -> list[str]:
    """Return every element that breaks a rule, as `rule: element`; all rules that axe holds, unless some are named.

    axe need not write down where it found nothing: that costs it more than finding it.
    """
    options: dict[str, Any] = {"resultTypes": ["violations"]}
    if run_only is not None:
        options["runOnly"] = run_only
    found = Axe().run(page, options=options).response["violations"]
    return [f"{one['id']}: {node['html'][:200]}" for one in found for node in one["nodes"]]
