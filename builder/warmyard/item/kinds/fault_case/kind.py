"""The record of fault cases."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.item.kind import Kind
from warmyard.item.kinds.fault_case.check import check_case
from warmyard.item.kinds.fault_case.draw import case_variant
from warmyard.item.kinds.fault_case.marking import CASE
from warmyard.item.kinds.fault_case.schema import FaultCase
from warmyard.item.printing import text_html
from warmyard.item.response import Words
from warmyard.item.variant_model import Question
from warmyard.markup import element


def _printed(question: Question, words: Words) -> Markup:
    if question.case is None:
        return Markup("")
    about = [element("li", text_html(one)) for one in question.case.contexts]
    said = element("blockquote", text_html(question.case.as_said), class_="wy-said")
    return said + element("ul", *about) if about else said


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
