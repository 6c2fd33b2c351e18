"""The mark of a point in a drawing."""

from __future__ import annotations

from typing import Any

from warmyard.item.kind import Marking
from warmyard.item.response import Response, Words, not_understood
from warmyard.item.variant_model import Mark, PointKey, Question
from warmyard.item.words import bare
from warmyard.words import say


def mark_point(question: Question, key: PointKey, response: Response, words: Words) -> Mark:
    """Return the mark: the point is one that is asked, or another, which is named."""
    point = response.get("point")
    if not isinstance(point, str) or not point:
        return not_understood(say(words, "marking.choose"))
    if point not in [option.id for option in question.options]:
        return not_understood(say(words, "marking.unknown_answer"))
    text, why = bare(key.names.get(point, point)), key.why.get(point, "")
    if point in key.right:
        return Mark(right=True, share=1.0, reason=say(words, "marking.point_right", text=text))
    return Mark(right=False, share=0.0, reason=say(words, "marking.point_wrong", text=text, why=why), slip=point)


def _right(question: Question, key: PointKey) -> dict[str, Any]:
    return {"point": key.right[0]}


def _wrong(question: Question, key: PointKey) -> dict[str, str]:
    return {option.id: option.text for option in question.options if option.id not in key.right}


def _given(question: Question, key: PointKey, response: Response) -> tuple[str, ...]:
    return (response["point"],)


POINTING = Marking(key=PointKey, mark=mark_point, right=_right, wrong=_wrong, given=_given)
