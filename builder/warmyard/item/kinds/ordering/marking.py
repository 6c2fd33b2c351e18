"""The mark of an order: by the constraints that it breaks, and the reversals that fail at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from warmyard.item.kind import Marking
from warmyard.item.response import Response, Words, named_ids, not_understood
from warmyard.item.variant_model import Mark, OrderKey, Question
from warmyard.item.words import bare
from warmyard.words import say

Pair = tuple[str, str]


def mark_order(question: Question, key: OrderKey, response: Response, words: Words) -> Mark:
    """Return the mark: each broken constraint costs its share, and a fatal reversal everything."""
    order = named_ids(response, "order")
    text = {option.id: bare(option.text) for option in question.options}
    if order is None or set(order) != text.keys():
        return not_understood(say(words, "marking.order_short"))
    failed = failed_pairs(key, order)
    if failed:
        wrong, must = failed[0]
        why = key.reasons.get(f"{must}<{wrong}", "")
        reason = say(words, "marking.order_fails", first=text[must], then=text[wrong], why=why)
        return Mark(right=False, share=0.0, reason=reason, slip=f"{must}<{wrong}", critical_fail=True)
    broken = broken_pairs(key, order)
    if not broken:
        return Mark(right=True, share=1.0, reason=say(words, "marking.order_right"))
    first, then = broken[0]
    why = key.reasons.get(f"{first}<{then}", "")
    reason = say(words, "marking.order_wrong", first=text[first], then=text[then], why=why)
    if len(broken) > 1:
        reason += " " + say(words, "marking.order_more", count=str(len(broken) - 1))
    share = 1.0 - len(broken) / len(key.before)
    return Mark(right=False, share=share, reason=reason, slip=f"{first}<{then}")


def broken_pairs(key: OrderKey, order: Sequence[str]) -> list[Pair]:
    """Return the constraints (first, then) that an order breaks, in the order of the key."""
    spot: Mapping[str, int] = {step: at for at, step in enumerate(order)}
    return [(first, then) for first, then in key.before if spot[first] > spot[then]]


def failed_pairs(key: OrderKey, order: Sequence[str]) -> list[Pair]:
    """Return the reversals (wrong first, must precede) that an order makes and that fail at once."""
    spot: Mapping[str, int] = {step: at for at, step in enumerate(order)}
    return [(wrong, must) for wrong, must in key.fails if spot[wrong] < spot[must]]


def _right(question: Question, key: OrderKey) -> dict[str, Any]:
    return {"order": list(key.reference)}


ORDER = Marking(key=OrderKey, mark=mark_order, right=_right)
