"""The icons of the site as a telephone wants them: the mark drawn to the edges of a square, in pixels.

A telephone cuts corners or a circle out of it, so that the mark keeps clear of the edges and the ground has none.
`python -m warmyard.web.icons` draws them anew into the theme after a change of the mark or of its colours; a test holds
the files against what is drawn.
"""

from __future__ import annotations

from warmyard.page.face import colours
from warmyard.web.fill import FOLDER, THEME

SIZES_PX = (180, 192, 512)
"""Edges; the first is that of the icon which a telephone without a manifest asks for."""
SHARE_OF_MARK = 0.86
_HOME = THEME / FOLDER


def icon_name(size_px: int) -> str:
    """Return the name of the icon of a size."""
    return f"icon-{size_px}.png"


def draw_icon(size_px: int) -> bytes:
    """Return the mark as a square PNG; the same bytes from the same version of typst."""
    from warmyard.page.print import print_picture

    mark = (_HOME / "mark.svg").read_text("utf-8")
    told = {"size": size_px, "share": SHARE_OF_MARK, "ground": colours("light")["head"], "mark": mark}
    return print_picture("icon", told)


def main() -> None:
    """Draw every icon into the theme."""
    for size_px in SIZES_PX:
        (_HOME / icon_name(size_px)).write_bytes(draw_icon(size_px))


if __name__ == "__main__":
    main()
