"""The mark of a number with its unit, and of what it means where the item asks for that too."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import msgspec

from warmyard.errors import InputError
from warmyard.formula.quantity import read_quantity
from warmyard.formula.typed import read_typed
from warmyard.item.kind import Marking
from warmyard.item.response import Response, Words, not_understood
from warmyard.item.tolerance import NOTHING_KNOWN, RIGHT, Reach
from warmyard.item.variant_model import Mark, NumberKey, Question
from warmyard.item.words import bare, sentence
from warmyard.words import say

GROUPED = re.compile(r"([-+]?[0-9]{1,3})((?:[, '\u00a0\u202f][0-9]{3})+)((?:\.[0-9]+)?(?:\s+\S{1,20})?)\Z")
"""A number with something between its thousands, or a decimal comma before three digits: nobody can tell which.
It was refused as a whole in papers whose keys say `reads` 1; today only what can mean two numbers is."""


def mark_number(question: Question, key: NumberKey, response: Response, words: Words) -> Mark:
    """Return the mark: within the tolerance is right; a number that a named slip gives is told as that slip."""
    text = response.get("text")
    if not isinstance(text, str) or not text.strip():
        return not_understood(say(words, "marking.blank"))
    grouped = GROUPED.match(text.strip()) if key.reads == 1 else None
    if grouped:
        return not_understood(_thousands(grouped, words))
    try:
        value = (read_quantity if key.reads == 1 else read_typed)(text, key.unit)
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


def _right(question: Question, key: NumberKey) -> dict[str, Any]:
    # A person writes the rounded number; where a whole number must be met, it is one already.
    text = f"{key.value:.{question.decimals}f}" if key.tolerance else f"{key.value:.12g}"
    return {"text": _with_unit(text, key), **({"verdict": key.verdict} if key.verdict else {})}


def _with_unit(text: str, key: NumberKey) -> str:
    return f"{text} {key.unit}".removesuffix(" 1")


def _renamed(key: NumberKey, other: Mapping[str, str]) -> NumberKey:
    why = {other[id]: text for id, text in key.why.items() if id in other}
    return msgspec.structs.replace(key, verdict=other.get(key.verdict, ""), why=why)


def _wrong(question: Question, key: NumberKey) -> dict[str, str]:
    return {slip.id: slip.id for slip in key.slips}


def _given(question: Question, key: NumberKey, response: Response) -> tuple[str, ...]:
    return (mark_number(question, key, response, {}).slip,)


def _missing(question: Question, key: NumberKey) -> list[dict[str, Any]]:
    return [{"text": f"{slip.value:.6g}"} for slip in key.slips]


def _mixed_up(question: Question, key: NumberKey) -> str:
    """Return which slip's own answer, written as a person would, is not marked as that slip."""
    for slip in key.slips:
        found = mark_number(question, key, {**_right(question, key), "text": _with_unit(repr(slip.value), key)}, {})
        if found.right or found.slip != slip.id:
            return f"the slip {slip.id} gives {slip.value:.6g}, which is marked as {found.slip or 'none'}"
    return ""


NUMBER = Marking(
    key=NumberKey,
    mark=mark_number,
    right=_right,
    rename=_renamed,
    wrong=_wrong,
    given=_given,
    missing=_missing,
    mixed_up=_mixed_up,
)
