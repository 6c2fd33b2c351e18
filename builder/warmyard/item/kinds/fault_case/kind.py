"""The record of fault cases."""

from __future__ import annotations

from warmyard.item.kind import Kind
from warmyard.item.kinds.fault_case.check import check_case
from warmyard.item.kinds.fault_case.draw import case_variant
from warmyard.item.kinds.fault_case.marking import CASE
from warmyard.item.kinds.fault_case.schema import FaultCase
from warmyard.item.printing import text_html
from warmyard.item.response import Words
from warmyard.item.variant_model import Question


def _printed(question: Question, words: Words) -> str:
    if question.case is None:
        return ""
    about = "".join(f"<li>{text_html(one)}</li>" for one in question.case.contexts)
    said = f'<blockquote class="wy-said">{text_html(question.case.as_said)}</blockquote>'
    return said + (f"<ul>{about}</ul>" if about else "")


KIND = Kind(
    struct=FaultCase,
    marking=CASE,
    shows=("case",),
    rank=60,
    variants=1,
    draw=case_variant,
    check=check_case,
    print=_printed,
    rests_on=lambda item: ("machine",),
    level=lambda item: item.level,
    seeds=1,
)
