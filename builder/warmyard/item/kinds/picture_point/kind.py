"""The record of picture point items."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.item.kind import Kind
from warmyard.item.kinds.picture_point.check import check_point
from warmyard.item.kinds.picture_point.draw import point_variant
from warmyard.item.kinds.picture_point.marking import POINTING
from warmyard.item.kinds.picture_point.schema import PicturePoint

KIND = Kind(
    struct=PicturePoint,
    marking=POINTING,
    shows=("picture",),
    rank=20,
    variants=4,
    draw=point_variant,
    check=check_point,
    print=lambda question, words: Markup(""),
    rests_on=lambda item: ("picture",),
)
