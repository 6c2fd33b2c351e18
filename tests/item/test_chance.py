"""The generator gives the published outputs and mixes evenly."""

from __future__ import annotations

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from warmyard.item.chance import Chance, chance_for, start_of


def test_splitmix64_gives_its_published_outputs() -> None:
    """The first five outputs for the seed 1234567 are those of the published test vector.

    Source: the reference implementation splitmix64.c by S. Vigna (prng.di.unimi.it); vector from memory.
    """
    chance = Chance(1234567)
    assert [chance.word() for _ in range(5)] == [
        6457827717110365317,
        3203168211198807973,
        9817491932198370423,
        4593380528125082431,
        16408922859458223821,
    ]


def test_every_order_of_three_comes_about_equally_often() -> None:
    """6,000 mixes of three things give each of the six orders 1,000 times, within five standard deviations."""
    counts = Counter(tuple(chance_for(start_of("mix"), seed).mixed("abc")) for seed in range(6000))
    assert len(counts) == 6
    assert all(abs(count - 1000) < 5 * (6000 * (1 / 6) * (5 / 6)) ** 0.5 for count in counts.values())


@given(st.integers(min_value=1, max_value=10**6), st.integers())
def test_a_draw_stays_below_its_count(count: int, seed: int) -> None:
    """Whatever the seed, even a negative or a huge one, a draw is a whole number below its count."""
    assert 0 <= chance_for(start_of("x"), seed).below(count) < count


def test_neighbouring_seeds_and_other_items_draw_differently() -> None:
    """Two seeds of an item, and one seed of two items, share no long run of draws."""
    drawn = [chance_for(start_of(name), seed) for name in "ab" for seed in range(20)]
    runs = {tuple(chance.below(100) for _ in range(8)) for chance in drawn}
    assert len(runs) == 40
