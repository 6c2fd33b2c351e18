"""Procedures as partial orders: circles, counts, immediate fails, against counting by brute force."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from warmyard.course.model import Before, ImmediateFail, Procedure, ProcedureStep
from warmyard.course.procedure import check_procedure, closure, count_orders, find_circle

Pairs = list[tuple[str, str]]


def procedure(steps: str, pairs: Pairs, fails: Pairs = [], reference: str = "", orders: int | None = None) -> Procedure:  # noqa: B006
    """Return a procedure whose steps are letters."""
    return Procedure(
        id="p",
        title="P",
        skill="s",
        steps=tuple(ProcedureStep(id=step, do=f"Do {step}.") for step in steps),
        before=tuple(Before(first=first, then=then, because="so") for first, then in pairs),
        immediate_fail=tuple(
            ImmediateFail(must_precede=first, wrong_first=then, because="so") for first, then in fails
        ),
        reference=tuple(reference or steps),
        valid_orders=orders,
    )


def says(found: Procedure) -> str:
    """Return all faults of a procedure in one text."""
    return "\n".join(str(fault) for fault in check_procedure(found))


def test_a_sound_procedure_has_no_fault() -> None:
    """Steps, constraints, fails, reference and count that agree give nothing to say."""
    assert says(procedure("abcd", [("a", "b"), ("a", "c"), ("b", "d"), ("c", "d")], [("a", "d")], "acbd", 2)) == ""


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (procedure("abc", [("a", "b"), ("b", "c"), ("c", "a")]), "circle: "),
        (procedure("ab", [("a", "a")]), "circle: a before a"),
        (procedure("aab", []), "the step a stands twice"),
        (procedure("ab", [("a", "z")]), "there is no step z"),
        (procedure("ab", [("a", "b")], reference="ba"), "puts b before a"),
        (procedure("ab", [("a", "b")], reference="a"), "does not hold every step once"),
        (procedure("abc", [("a", "b")], [("a", "c")]), "no constraint says so"),
        (procedure("abc", [("a", "b")], orders=5), "says 5, the constraints allow 3"),
    ],
)
def test_what_does_not_hold_together_is_named(found: Procedure, words: str) -> None:
    """A circle, a wrong name, a wrong reference, an unbacked fail, a wrong count: each is said."""
    assert words in says(found)


def test_a_fail_implied_by_a_chain_needs_no_constraint_of_its_own() -> None:
    """a before b before c implies that c before a fails."""
    assert says(procedure("abc", [("a", "b"), ("b", "c")], [("a", "c")])) == ""


orders = st.sets(st.tuples(st.sampled_from("abcdef"), st.sampled_from("abcdef")).filter(lambda pair: pair[0] < pair[1]))


@settings(max_examples=60, deadline=None)
@given(orders)
def test_the_count_is_the_count_by_brute_force(pairs: set[tuple[str, str]]) -> None:
    """Orders counted over sets of steps done equal all permutations that keep every pair."""
    ids = "abcdef"
    kept = sum(all(order.index(first) < order.index(then) for first, then in pairs) for order in permutations(ids))
    assert count_orders(ids, sorted(pairs)) == kept
    assert find_circle(ids, sorted(pairs)) == []


@settings(max_examples=60, deadline=None)
@given(orders)
def test_the_closure_is_what_every_order_keeps(pairs: set[tuple[str, str]]) -> None:
    """A step is in another's closure exactly when every valid order puts it later."""
    ids = "abcde"
    within = sorted(pair for pair in pairs if set(pair) <= set(ids))
    valid = [order for order in permutations(ids) if all(order.index(a) < order.index(b) for a, b in within)]
    after = closure(ids, within)
    for first in ids:
        always = {then for then in ids if then != first and all(o.index(first) < o.index(then) for o in valid)}
        assert after[first] == always
