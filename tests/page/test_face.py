"""The table of colours: typed once, taken by name, each text readable on its ground; and nothing tied to a side."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from warmyard.page.face import SCHEMES, colours, face_css

COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
HEX = r"#[0-9a-fA-F]{3,8}\b"
NAMED = (
    "aqua|black|blue|brown|crimson|cyan|fuchsia|gold|gray|green|grey|indigo|lime|maroon|navy|olive|orange|pink|"
    "purple|red|silver|teal|tomato|violet|white|yellow"
)
TYPED = re.compile(rf"{HEX}|\b(?:rgba?|hsla?|hwb|lab|lch|oklab|oklch|color)\(|(?<![\w-])(?:{NAMED})(?![\w-])")
QUOTED = re.compile(r"[\"':(\s]#(?:[0-9a-fA-F]{6}|[0-9a-fA-F]{3})(?=[\"';)\s])")
"""A colour as code and templates write one; an anchor of a page is longer or has other letters."""
TRUE_COLOURS = {
    "#e0b000": "plug of 110 V (IEC 60309)",
    "#1f6feb": "plug of 230 V (IEC 60309)",
    "#cf222e": "plug of 400 V (IEC 60309)",
    "#2b2623": "soot",
    "#ffffff": "paper, printed card",
    "#000000": "smoke scale, darkest",
}
"""What a drawing may show in a colour that is the thing's own. The greys of the smoke scale are ASTM D2156's."""
GREY = re.compile(r"#([0-9a-f]{2})\1\1")
TEXT = 4.5
LARGE = 3.0
IN_THE_SUN = 7.0
PAIRS = (
    *((text, ground) for text in ("ink", "quiet", "accent", "good", "bad") for ground in ("paper", "soft")),
    ("ink", "mark"), ("quiet", "mark"), ("on-accent", "accent"), ("on-accent", "good"), ("on-stop", "stop"),
    ("on-warn", "warn"), ("on-head", "head"), ("on-dial", "dial"),
)  # fmt: skip
"""Text and the ground that it stands on, wherever a sheet puts them together."""
LINES = ("line", "accent", "good", "bad", "focus", "edge", "air", "hot")
BOUNDS = (*((line, ground) for line in LINES for ground in ("paper", "soft")), ("flame", "head"))
"""Edges of controls and lines of drawings, and what they stand on."""


def css_files(root: Path) -> Iterator[tuple[str, str]]:
    """Yield every style sheet but the table, without its comments."""
    for path in sorted((root / "builder/warmyard").rglob("*.css")):
        if path.name != "face.css":
            yield path.name, COMMENT.sub("", path.read_text("utf-8"))


def luminance(colour: str) -> float:
    """Return the relative luminance of `#rrggbb` by the formula of WCAG 2.2."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of WCAG 2.2, 1 to 21."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_the_formula_gives_the_published_ends() -> None:
    """Black on white is 21 to 1, a colour on itself 1 to 1, and the middle grey of the standard's examples 4.5."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#777777") == 1
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("scheme", SCHEMES)
def test_every_text_stands_out_from_its_ground(scheme: str) -> None:
    """Text 4.5 to 1, edges of controls 3 to 1; in bright sun text 7 to 1."""
    table = colours(scheme)
    least = IN_THE_SUN if scheme == "sun" else TEXT
    faults = [
        f"{one} on {ground}: {contrast(table[one], table[ground]):.2f}, needs {needed}"
        for pairs, needed in ((PAIRS, least), (BOUNDS, LARGE))
        for one, ground in pairs
        if contrast(table[one], table[ground]) < needed
    ]
    assert faults == []


def test_every_scheme_names_the_same_colours() -> None:
    """No scheme leaves a name to another's colour."""
    names = {scheme: set(colours(scheme)) for scheme in SCHEMES}
    assert all(found == names["light"] for found in names.values())
    assert len(names["light"]) > 20


def test_no_colour_is_typed_outside_the_table(workspace_root: Path) -> None:
    """Style sheets, templates, printed sheets, scripts and Python take colours by name."""
    found = [f"{name}: {one}" for name, text in css_files(workspace_root) for one in TYPED.findall(_values(text))]
    for pattern in ("*.html", "*.typ", "*.js", "*.py"):
        made_here = (workspace_root / "builder/warmyard").rglob(pattern)
        for path in sorted(path for path in made_here if path.parent.name != "vendored"):
            found += [f"{path.name}: {one}" for one in QUOTED.findall(path.read_text("utf-8"))]
    assert found == []


def _values(css: str) -> str:
    """Return what stands after the colons, without names and addresses."""
    return "\n".join(re.findall(r":([^;{}]*);", re.sub(r"--[\w-]+", "", css)))


def test_a_drawing_falls_back_to_the_table(workspace_root: Path) -> None:
    """Seen alone, a drawing has the light colours of the table; another colour is one that the thing has in truth."""
    table = colours("light")
    faults = []
    for path in sorted((workspace_root / "course/pictures").glob("*.svg")):
        text = path.read_text("utf-8")
        named = re.findall(r"var\(--wy-([a-z-]+),\s*(#[0-9a-f]+)\)", text)
        faults += [f"{path.name}: {name} is {colour}" for name, colour in named if table.get(name) != colour]
        bare = re.findall(HEX, re.sub(r"var\([^)]*\)", "", text))
        faults += [f"{path.name}: {one}" for one in bare if one not in TRUE_COLOURS and not GREY.fullmatch(one)]
    assert faults == []


def test_the_icon_has_the_colours_of_the_table(workspace_root: Path) -> None:
    """The icon of the site, which no style sheet reaches, is drawn in head and flame."""
    icon = (workspace_root / "builder/warmyard/web/theme/assets/wy/mark.svg").read_text("utf-8")
    assert set(re.findall(HEX, icon)) == {colours("light")["head"], colours("light")["flame"]}


def test_every_name_is_in_the_table_and_needs_no_other_colour(workspace_root: Path) -> None:
    """A name that a sheet takes is declared; none carries a second colour for when it is not."""
    declared = set(re.findall(r"(--wy-[a-z0-9-]+):", face_css()))
    used = {name for _, text in css_files(workspace_root) for name in re.findall(r"var\((--wy-[a-z0-9-]+)", text)}
    assert used - declared == set()
    assert not any(re.search(r"var\(--wy-[a-z0-9-]+\s*,", text) for _, text in css_files(workspace_root))


PHYSICAL = re.compile(
    r"(?<![\w-])(?:(?:margin|padding|border|scroll-margin|scroll-padding)-(?:left|right)(?:-[a-z]+)?|left|right)\s*:"
    r"|(?:text-align|float|clear|justify-content|justify-items)\s*:\s*(?:left|right)\b"
)
INNER = re.compile(r"\([^()]*\)")
FOUR_SIDES = re.compile(r"((?:margin|padding|border-width): [^\s;]+ ([^\s;]+) [^\s;]+ ([^\s;]+);)")


def test_nothing_is_tied_to_left_or_right(workspace_root: Path) -> None:
    """Sides are start and end, so that a language that runs the other way needs no sheet of its own."""
    faults = [f"{name}: {found}" for name, text in css_files(workspace_root) for found in PHYSICAL.findall(text)]
    assert faults == []
    unequal = [
        f"{name}: {whole}"
        for name, text in css_files(workspace_root)
        for whole, end, start in FOUR_SIDES.findall(INNER.sub("", INNER.sub("", text)))
        if end != start
    ]
    assert unequal == []


def test_a_device_gets_what_a_reader_may_choose() -> None:
    """A page without the switch takes dark and bright sun from the device, when it asks for them."""
    whole = face_css()
    for asked, scheme in (
        ("screen and (prefers-color-scheme: dark) {", "dark"),
        ("(prefers-contrast: more) {\n:root", "sun"),
    ):
        follows = whole[whole.rindex(asked) :]
        assert f"--wy-paper: {colours(scheme)['paper']}" in follows[: follows.index("}\n}")]
    assert whole.count("@media screen and (prefers") == 4
