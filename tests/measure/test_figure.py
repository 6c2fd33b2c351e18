"""No figure without its n and interval, and no verdict from too few."""

from __future__ import annotations

import dataclasses
import inspect
import json

import pytest

from warmyard.measure import agreement, consistency, cut, forms, items, latent
from warmyard.measure.figure import SMALLEST_N, Figure
from warmyard.measure.interval import share_figure


def test_a_figure_says_its_n_and_interval() -> None:
    """The sentence holds value, n, bounds and method."""
    assert share_figure(81, 263, "answers").sentence() == "0.31 (n 263 answers; 95 % 0.26 to 0.37, Wilson)"


def test_too_few_are_called_too_few() -> None:
    """Below 30 every sentence and every record says so; from 30 on none does."""
    few, enough = share_figure(20, SMALLEST_N - 1, "answers"), share_figure(20, SMALLEST_N, "answers")
    assert few.sentence().endswith("n too small)")
    assert few.as_record()["n_too_small"] is True
    assert "too small" not in enough.sentence()
    assert enough.as_record()["n_too_small"] is False


@pytest.mark.parametrize(
    "figure",
    [
        share_figure(0, 0, "answers"),
        items.kr20([(1, 1), (1, 1), (1, 1)]),
        items.item_rest([(1, 1, 0), (1, 0, 1)], 0),
        consistency.reliability(consistency.as_scores([5, 5, 5], 10)),
        consistency.phi_lambda([], 0.8),
        consistency.livingston_lewis_agreement([(1, 0), (0, 1), (1, 0)], 1),
        agreement.kappa([[30, 0], [0, 0]]),
        forms.judged_difference([[0.5]], [[0.6]]),
    ],
)
def test_data_that_give_no_figure_say_why(figure: Figure) -> None:
    """Where answers are all alike or too few there is no number, but a reason and the n."""
    assert figure.value is None
    assert figure.interval is None
    assert figure.why
    assert figure.sentence().startswith("none (")


def test_every_public_figure_carries_n_and_interval() -> None:
    """The record of a figure always holds n, bounds, method and the warning, whatever its value."""
    fields = {field.name for field in dataclasses.fields(Figure)}
    assert {"value", "n", "interval", "why"} <= fields
    keys = set(share_figure(1, 2, "answers").as_record())
    assert {"value", "n", "low", "high", "confidence", "method", "n_too_small", "why"} <= keys
    assert "n" in inspect.signature(Figure).parameters


def test_a_perfect_group_has_no_reliability_but_a_share() -> None:
    """A class that knows everything shows why KR-20 is the wrong headline for a mastery test."""
    rows = [(1, 1, 1, 1)] * 40
    assert items.kr20(rows).value is None
    assert items.facility_figure([row[0] for row in rows]).value == 1


def test_no_interval_without_width_is_shown() -> None:
    """Where all agree, or all scores lie in line, the value stands without bounds and says why: n is no proof."""
    for figure in (
        agreement.kappa([[3, 0], [0, 2]]),
        items.item_rest([(1, 1), (0, 0), (1, 1), (0, 0), (1, 1)], 0),
        items.kr20([(1, 1), (0, 0), (1, 1), (0, 0), (1, 1)]),
        consistency.subkoviak_kappa(consistency.as_scores([0, 2, 0, 2], 2), 2),
    ):
        assert figure.value == pytest.approx(1)
        assert figure.interval is None
        assert "no interval:" in figure.sentence()


def test_a_dead_answer_and_a_hard_item_are_named() -> None:
    """From 30 answers on an item is flagged for facility, agreement with the rest, and an answer that nobody takes."""
    answers = [items.ItemAnswer("earth", at < 5, (at % 7) / 7, ("b" if at >= 5 else "a",)) for at in range(40)]
    (found,) = items.figures_of_items(answers, {"earth": ("b", "c")})
    assert "hard: below 0.3" in found.flags
    assert "c is hardly taken: below 0.03" in found.flags
    assert found.use["c"].value == 0
    (few,) = items.figures_of_items(answers[:20], {"earth": ("b", "c")})
    assert few.flags == ()


def test_a_cut_that_falls_on_a_whole_item_asks_for_no_more() -> None:
    """Three judges whose mean is 1 want 1 right, though the mean of their floating-point sums lies above 1."""
    found = cut.judge_cut([[0.55, 0.65], [0.3, 0.3], [0.55, 0.65]])
    assert found.mean.value is not None
    assert found.mean.value > 1
    assert found.cut == 1
    assert cut.cut_of_percent(70, 30) == 21


def test_a_small_panel_prints_that_it_is_small() -> None:
    """Three judges give a cut with its standard error, and the sentence says that three are few."""
    found = cut.judge_cut([[0.7, 0.8], [0.6, 0.7], [0.9, 0.8]])
    assert "n 3 judges" in found.mean.sentence()
    assert found.mean.too_small
    assert found.percent == pytest.approx(75)


@pytest.mark.parametrize("ratings", [[], [[0.5]], [[0.5], [0.5, 0.6]], [[0.5], [1.2]], [[0.5], [float("nan")]]])
def test_ratings_that_are_not_a_panel_are_refused(ratings: list[list[float]]) -> None:
    """One judge, a gap, or a chance above 1 is not a panel."""
    with pytest.raises(ValueError, match=r"wanted|chance"):
        cut.judge_cut(ratings)


def test_false_decisions_are_told_apart_by_the_true_share() -> None:
    """Below the cut passing is the error, at or above it failing is; the two are never mixed up."""
    below, above = cut.chances_at_cut(40, 32, (0.7, 0.9), tries=3)
    assert (below.is_false, above.is_false) == ("pass", "fail")
    assert below.passes == pytest.approx(0.11100918)
    assert below.passes_in_tries == pytest.approx(1 - (1 - 0.11100918) ** 3)
    assert (below.error, above.error) == pytest.approx((0.11100918, 0.015495305))
    with pytest.raises(ValueError, match="is not below"):
        cut.false_pass(0.9, 40, 32)
    with pytest.raises(ValueError, match="lies below"):
        cut.false_fail(0.7, 40, 32)


def test_papers_of_one_person_each_are_measured_by_their_scores() -> None:
    """Where every candidate had own items, scores alone give reliability, dependability and the same decision."""
    answers = consistency.as_scores([18, 16, 12, 19, 17, 15, 20, 14] * 5, 20)
    for figure in (
        consistency.reliability(answers),
        consistency.phi_lambda(answers, 0.75),
        consistency.subkoviak_agreement(answers, 15),
        consistency.subkoviak_kappa(answers, 15),
        consistency.livingston_lewis_agreement(answers, 15),
        consistency.measurement_error(answers),
    ):
        assert figure.n == 40
        assert figure.value is not None
        assert figure.interval is not None
        assert figure.interval.low <= figure.value <= figure.interval.high


def test_scores_that_chance_may_have_decided_are_counted() -> None:
    """Of eight scores whose standard error lies between 1 and 2 items, those one item from the cut are near it."""
    answers = consistency.as_scores([18, 16, 12, 19, 17, 14, 20, 14], 20)
    error = consistency.measurement_error(answers).value
    assert error is not None
    assert 1 < error < 2
    near = consistency.near_cut(answers, 15)
    assert (near.value, near.n) == (3 / 8, 8)
    assert consistency.near_cut(consistency.as_scores([5, 5, 5], 10), 5).value is None


def test_two_methods_agree_on_the_same_decision() -> None:
    """Subkoviak and Livingston-Lewis, built on different models, lie within 0.03 of each other on ordinary scores."""
    answers = consistency.as_scores([18, 16, 12, 19, 17, 15, 20, 14, 13, 17] * 10, 20)
    one, other = consistency.subkoviak_agreement(answers, 15), consistency.livingston_lewis_agreement(answers, 15)
    assert one.value == pytest.approx(other.value, abs=0.03)


def test_observers_who_agree_by_chance_alone_have_no_kappa() -> None:
    """Percent agreement may be high where kappa is 0, and both are printed with the number of pairs."""
    pairs = [("seen", "seen")] * 81 + [("seen", "not")] * 9 + [("not", "seen")] * 9 + [("not", "not")]
    found = agreement.observer_agreement(pairs)
    assert found.same.value == pytest.approx(0.82)
    assert found.kappa.value == pytest.approx(0, abs=1e-9)
    assert found.kappa.n == 100


def test_judges_of_two_papers_are_paired() -> None:
    """The difference of two papers is taken judge by judge, so that a strict judge does not widen it."""
    found = forms.judged_difference([[0.5, 0.6], [0.8, 0.9]], [[0.4, 0.6], [0.7, 0.9]])
    assert found.value == pytest.approx(5)
    assert found.interval is not None
    assert (found.interval.low, found.interval.high) == pytest.approx((5, 5))


def test_papers_further_apart_than_one_percent_are_named() -> None:
    """Of three papers the pair that differs by more than 1 % is named, and one with an unrated item has no cut."""
    ratings = {"a": [0.8, 0.7], "b": [0.8, 0.7], "c": [0.6, 0.6]}
    rated = forms.rate_papers(ratings, {"one": ["a"], "two": ["b"], "three": ["c"], "four": ["a", "d"]})
    assert {(pair.first, pair.second) for pair in rated.apart} == {("one", "three"), ("three", "two")}
    assert rated.unrated == {"four": ("d",)}
    assert rated.cuts["one"].mean.value == pytest.approx(0.75)
    lines = list(forms.rated_lines(rated))
    assert "four: no cut, nobody rated d" in lines
    assert any(line.startswith("not parallel: one and three, 15.00 %") for line in lines)
    assert any(line.startswith("  one less three, judge by judge, %: 15.00 (n 2 judges; 95 % ") for line in lines)
    assert [*json.loads(json.dumps(forms.rated_record(rated)))["judge_by_judge"][0]][:2] == ["one", "three"]


def test_a_model_of_items_bears_what_separates_nobody() -> None:
    """An extreme logit does not overflow, and an item that all had right is named."""
    assert latent.log_chance(-800) == -800
    with pytest.raises(ValueError, match="on item 1"):
        latent.fit_rasch([(1, 0), (1, 1)])
