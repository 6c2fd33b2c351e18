"""The mark of a response, whatever the item's kind; runtime/marking.js does the same from the same cases.

A response that is no answer (blank, a letter for a number) comes back with `understood` false and words that help.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from warmyard.errors import InputError
from warmyard.formula.quantity import read_quantity
from warmyard.item.case_marking import mark_case
from warmyard.item.ordering import broken_pairs, failed_pairs
from warmyard.item.tolerance import NOTHING_KNOWN, RIGHT, Reach
from warmyard.item.variant_model import (
    CaseKey,
    ChoiceKey,
    Mark,
    NumberKey,
    OrderKey,
    PointKey,
    Question,
    Variant,
)
from warmyard.item.words import bare, sentence
from warmyard.words import say

Words = Mapping[str, str]
NO_WORDS: Words = {}
GROUPED = re.compile(r"([-+]?[0-9]{1,3})((?:[, '\u00a0\u202f][0-9]{3})+)((?:\.[0-9]+)?(?:\s+\S{1,20})?)\Z")
"""A number with something between its thousands, or a decimal comma before three digits: nobody can tell which."""


def mark(variant: Variant, response: Mapping[str, Any], words: Words = NO_WORDS) -> Mark:
    """Return the mark of a response; `words` may hold other sentences than the built-in ones, by id."""
    question, key = variant.question, variant.key
    match key:
        case ChoiceKey():
            return _mark_choice(question, key, response, words)
        case NumberKey():
            return _mark_number(question, key, response, words)
        case OrderKey():
            return _mark_order(question, key, response, words)
        case CaseKey():
            return mark_case(question, key, response, words)
        case PointKey():
            return _mark_point(question, key, response, words)


def not_understood(reason: str) -> Mark:
    """Return the mark of what is no answer."""
    return Mark(right=False, share=0.0, reason=reason, understood=False)


def named_ids(response: Mapping[str, Any], field: str) -> list[str] | None:
    """Return the ids of a response's list, each once; None when it is no list of texts."""
    found = response.get(field)
    if not isinstance(found, list) or not all(isinstance(one, str) for one in found):
        return None
    return list(dict.fromkeys(found))


def _mark_choice(question: Question, key: ChoiceKey, response: Mapping[str, Any], words: Words) -> Mark:
    chosen = named_ids(response, "chosen")
    if not chosen:
        return not_understood(say(words, "marking.choose"))
    offered = {option.id: option.text for option in question.options}
    if not set(chosen) <= offered.keys() or (len(chosen) > 1 and not question.several):
        return not_understood(say(words, "marking.unknown_answer"))
    wrong = [id for id in chosen if id not in key.right]
    missed = [id for id in key.right if id not in chosen]
    if not wrong and not missed:
        why = key.why.get(key.right[0], "") if len(key.right) == 1 else ""
        return Mark(right=True, share=1.0, reason=say(words, "marking.right_why", why=why))
    found = len(chosen) - len(wrong)
    share = max(0.0, (found - len(wrong)) / len(key.right)) if question.several else 0.0
    if wrong:
        return Mark(right=False, share=share, reason=key.why.get(wrong[0], ""), slip=wrong[0])
    reason = say(words, "marking.missed", text=bare(offered.get(missed[0], "")), why=key.why.get(missed[0], ""))
    return Mark(right=False, share=share, reason=reason, slip=missed[0])


def _mark_number(question: Question, key: NumberKey, response: Mapping[str, Any], words: Words) -> Mark:
    text = response.get("text")
    if not isinstance(text, str) or not text.strip():
        return not_understood(say(words, "marking.blank"))
    grouped = GROUPED.match(text.strip())
    if grouped:
        return not_understood(_thousands(grouped, words))
    try:
        value = read_quantity(text, key.unit)
    except InputError as problem:
        return not_understood(sentence(str(problem)))
    verdict = response.get("verdict")
    if question.options and verdict not in [option.id for option in question.options]:
        return not_understood(say(words, "marking.verdict_missing"))
    met = Reach(key.value, key.tolerance, key.share).what_is_met(value, [slip.value for slip in key.slips])
    if met == RIGHT:
        return _mark_verdict(question, key, verdict, words)
    if met == NOTHING_KNOWN:
        return Mark(right=False, share=0.0, reason=say(words, "marking.number_wrong", shown=key.shown))
    slip = key.slips[met]
    carried = bool(slip.link) and len(key.links) > 1
    word = "marking.number_carried" if carried else "marking.number_slip"
    share = 1.0 - 1.0 / len(key.links) if carried else 0.0
    return Mark(right=False, share=share, reason=say(words, word, say=slip.say, shown=key.shown), slip=slip.id)


def _thousands(grouped: re.Match[str], words: Words) -> str:
    """Return what to write instead of 1,250 or 1 250."""
    first, rest, tail = grouped.groups()
    return say(words, "marking.thousands", joined=first + "".join(re.findall("[0-9]{3}", rest)) + tail)


def _mark_verdict(question: Question, key: NumberKey, verdict: object, words: Words) -> Mark:
    if not question.options or verdict == key.verdict:
        return Mark(right=True, share=1.0, reason=say(words, "marking.number_right", shown=key.shown))
    text = next(bare(option.text) for option in question.options if option.id == key.verdict)
    why = key.why.get(str(verdict), "")
    reason = say(words, "marking.verdict_wrong", shown=key.shown, text=text, why=why)
    return Mark(right=False, share=0.5, reason=reason, slip=f"verdict.{verdict}")


def _mark_order(question: Question, key: OrderKey, response: Mapping[str, Any], words: Words) -> Mark:
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


def _mark_point(question: Question, key: PointKey, response: Mapping[str, Any], words: Words) -> Mark:
    point = response.get("point")
    if not isinstance(point, str) or not point:
        return not_understood(say(words, "marking.choose"))
    if point not in [option.id for option in question.options]:
        return not_understood(say(words, "marking.unknown_answer"))
    text, why = bare(key.names.get(point, point)), key.why.get(point, "")
    if point in key.right:
        return Mark(right=True, share=1.0, reason=say(words, "marking.point_right", text=text))
    return Mark(right=False, share=0.0, reason=say(words, "marking.point_wrong", text=text, why=why), slip=point)
