"""The critical set: what a rule that forgives no miss does to somebody who is able."""

from __future__ import annotations

CRITICAL_SHARE = 0.95
"""How well somebody knows each critical item, for the figure printed beside the critical rule (set for the demo)."""
CRITICAL_SHARES = (CRITICAL_SHARE, 0.99)
"""The same, and for somebody surer; the page of the scheme prints both (set for the demo)."""


def chance_of_all(true_share: float, critical_items: int) -> float:
    """Return the chance that somebody who knows each critical item with `true_share` has all of them right."""
    if not 0 <= true_share <= 1 or critical_items < 0:
        raise ValueError("a chance lies from 0 to 1, and a number of items is not below 0")
    return float(true_share**critical_items)
