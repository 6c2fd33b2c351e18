"""Seconds along a chart: in order, whole at both ends, and a long still time drawn short."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from warmyard.page.time_scale import LONGEST_STILL_SECONDS, time_scale

moments = st.lists(st.integers(min_value=1, max_value=299), max_size=12)


@given(moments)
def test_later_lies_further(changes: list[int]) -> None:
    """Whatever changes when: the scale runs from 0 to 1, and a later second never lies before an earlier one."""
    scale = time_scale(map(float, changes), 300)
    places = [scale.at(second) for second in range(301)]
    assert places == sorted(places)
    assert (places[0], places[-1]) == (0, 1)


@given(moments)
def test_only_a_still_time_is_drawn_short(changes: list[int]) -> None:
    """There are as many breaks as still times that are longer than the longest, and no mark stands in one."""
    ends = sorted({0, *changes, 300})
    still = [(a, b) for a, b in pairwise(ends) if b - a > LONGEST_STILL_SECONDS]
    scale = time_scale(map(float, changes), 300)
    assert len(scale.breaks) == len(still)
    assert not [second for second in scale.marks(10) for a, b in still if a < second < b]
