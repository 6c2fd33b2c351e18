"""The record of picture point items."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.item.kind import Kind
from warmyard.item.kinds.picture_point.check import check_point
from warmyard.item.kinds.picture_point.draw import point_variant
from warmyard.item.kinds.picture_point.marking import POINTING
from warmyard.item.kinds.picture_point.schema import PicturePoint
from warmyard.item.printing import options_html
from warmyard.item.response import Words
from warmyard.item.variant_model import Question


def _points_html(question: Question, words: Words) -> Markup:
    """Return where each point lies, in words; on paper a drawing whose points have none is marked itself."""
    return options_html(question) if all(one.text for one in question.options) else Markup("")


KIND = Kind(
    struct=PicturePoint,
    marking=POINTING,
    shows=("picture",),
    rank=20,
    variants=4,
    draw=point_variant,
    check=check_point,
    print=_points_html,
    rests_on=lambda item: ("picture",),
)
