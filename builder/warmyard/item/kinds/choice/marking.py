"""The mark of chosen options."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec

from warmyard.item.kind import Marking
from warmyard.item.response import Response, Words, named_ids, not_understood
from warmyard.item.variant_model import ChoiceKey, Mark, Question
from warmyard.item.words import bare
from warmyard.words import say


def mark_choice(question: Question, key: ChoiceKey, response: Response, words: Words) -> Mark:
    """Return the mark: every right option and no other is right; of several, each counts its share."""
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
    text, why = bare(offered.get(missed[0], "")), key.why.get(missed[0], "")
    if len(missed) == 1:
        reason = say(words, "marking.missed", text=text, why=why)
    else:
        reason = say(words, "marking.missed_more", count=str(len(missed)), text=text, why=why)
    return Mark(right=False, share=share, reason=reason, slip=missed[0])


def _right(question: Question, key: ChoiceKey) -> dict[str, Any]:
    return {"chosen": list(key.right)}


def _renamed(key: ChoiceKey, other: Mapping[str, str]) -> ChoiceKey:
    why = {other[id]: text for id, text in key.why.items() if id in other}
    return msgspec.structs.replace(key, right=tuple(other[id] for id in key.right), why=why)


def _wrong(question: Question, key: ChoiceKey) -> dict[str, str]:
    return {option.id: option.text for option in question.options if option.id not in key.right}


def _given(question: Question, key: ChoiceKey, response: Response) -> tuple[str, ...]:
    return tuple(dict.fromkeys(response["chosen"]))


def _missing(question: Question, key: ChoiceKey) -> list[dict[str, Any]]:
    return [{"chosen": [option.id]} for option in question.options]


CHOOSING = Marking(
    key=ChoiceKey, mark=mark_choice, right=_right, rename=_renamed, wrong=_wrong, given=_given, missing=_missing
)
