"""The critical set: the chance that an able person has all of a form right."""

from __future__ import annotations

import pytest

from warmyard.course.critical import CRITICAL_SHARES, chance_of_all


def test_the_chance_of_all_is_the_share_multiplied_item_by_item() -> None:
    """Squared three times by hand: 0.95 becomes 0.6634, 0.99 becomes 0.9227; of no item, all are right."""
    assert [round(chance_of_all(share, 8), 4) for share in CRITICAL_SHARES] == [0.6634, 0.9227]
    assert chance_of_all(0.5, 3) == 0.125
    assert chance_of_all(0.2, 0) == 1


@pytest.mark.parametrize(("share", "items"), [(-0.1, 3), (1.1, 3), (0.9, -1)])
def test_what_is_no_chance_is_refused(share: float, items: int) -> None:
    """A share outside 0 to 1 and a number of items below 0 are refused."""
    with pytest.raises(ValueError, match="a chance lies from 0 to 1"):
        chance_of_all(share, items)
