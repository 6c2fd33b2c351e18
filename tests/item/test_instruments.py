"""Strip, shades, blades, dipstick, clamp meter and sound meter: drawn where they stand, told without the answer."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from warmyard.errors import SourceError
from warmyard.item.check import check_items, own_answer
from warmyard.item.gauge_card import grey_of
from warmyard.item.instrument import Instrument, Scale, StripLine, check_instrument, load_instruments
from warmyard.item.instrument_drawing import sketch_instrument
from warmyard.item.kinds.reading.draw import plan_reading
from warmyard.item.kinds.reading.schema import Reading
from warmyard.item.marking import mark
from warmyard.item.model import Answer, Draw, ItemSlip
from warmyard.item.standing import display_text
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import NumberKey

ROOT = Path(__file__).resolve().parents[2]
COMMON: dict[str, Any] = {"skill": "s", "criticality": 1, "use": "practice", "demand": "recall", "ask": "Read it."}
SOUND = Reading(
    id="sound",
    instrument="sound-meter",
    draw={"L": Draw(low=52, high=75, step=1, unit="dB"), "R": Draw(among=(50, 60, 70), unit="dB")},
    value="L - R",
    lines={"switch": "R"},
    asked="R + reading",
    answer=Answer(unit="dB", decimals=0, within="0.5"),
    slips=(ItemSlip(id="turned", relation="R - reading", say="You took off what the pointer adds."),),
    **COMMON,
)
CLAMP = Reading(
    id="clamp",
    instrument="clamp-meter",
    draw={"I": Draw(low=1.5, high=9.5, step=0.01, unit="A"), "R": Draw(among=(200,), unit="A"), "k": Draw(among=(10,))},
    value="I*k",
    lines={"switch": "R"},
    asked="I",
    answer=Answer(unit="A", decimals=2, within="0.01"),
    slips=(ItemSlip(id="tenfold", relation="reading", say="The coil makes ten of one."),),
    **COMMON,
)


@pytest.fixture(scope="module")
def course() -> Surroundings:
    """The instruments of the course itself."""
    instruments, faults = load_instruments(ROOT / "course/pictures/instruments.yaml", ROOT)
    assert faults == []
    return Surroundings(instruments=instruments)


def alternative(drawing: str) -> str:
    """Return the text alternative of a drawing."""
    found = re.search('aria-label="([^"]*)"', drawing)
    assert found
    return found.group(1)


@pytest.mark.parametrize(
    ("value", "switch", "shown"), [(6.42, 20, "06.42"), (1.285, 2, "1.285"), (64.2, 200, "064.2"), (0, 20, "00.00")]
)
def test_a_display_has_four_places_and_the_switch_moves_the_point(value: float, switch: float, shown: str) -> None:
    """A range of one digit leaves three places behind the point, one of three digits leaves one."""
    assert display_text(value, switch) == shown


def test_level_is_switch_and_pointer_together(course: Surroundings) -> None:
    """The answer is the level, the drawing says pointer and switch apart, and the turned sign is named."""
    for seed in range(30):
        variant = make_variant(SOUND, seed, course)
        assert isinstance(variant.key, NumberKey)
        assert 52 <= variant.key.value <= 75
        told = alternative(variant.question.drawing)
        assert variant.key.shown not in told
        switch = re.search(r"stands at (\d+) dB", told)
        assert switch
        assert -10 <= variant.key.value - float(switch.group(1)) <= 6
    assert check_items([SOUND], course) == []


def test_what_is_asked_may_differ_from_what_is_shown(course: Surroundings) -> None:
    """A tenfold coil shows ten times the current; who writes the display is told of the coil."""
    variant = make_variant(CLAMP, 3, course)
    assert isinstance(variant.key, NumberKey)
    assert mark(variant, own_answer(variant)).right
    assert mark(variant, {"text": f"{variant.key.value * 10:.1f} A"}).slip == "tenfold"


def test_shades_send_back_a_tenth_less_each() -> None:
    """Screen greys of 90, 50 and 10 percent light are 243, 188 and 89 by the curve of IEC 61966-2-1."""
    assert [int(grey_of(shade)[1:3], 16) for shade in (0, 1, 5, 9)] == [255, 243, 188, 89]


def test_the_spot_on_the_card_has_the_grey_of_its_patch(course: Surroundings) -> None:
    """The holes and the lone spot carry one colour, and exactly one patch has the same."""
    drawing = sketch_instrument(course.instruments["smoke-card"], 4, "1")
    assert set(re.findall(r'<circle[^>]*fill="(#\w{6})"', drawing)) == {grey_of(4)}
    assert len(re.findall(rf'<rect[^>]*fill="{grey_of(4)}"', drawing)) == 1


def test_blades_go_in_up_to_the_gap_and_no_further(course: Surroundings) -> None:
    """At 2.8 mm six blades from 1.8 mm on pass the tips and the five thicker ones stop; no gap is named in words."""
    drawing = sketch_instrument(course.instruments["electrode-feeler"], 2.8, "mm")
    widths = [float(width) for width in re.findall(r'<rect x="60"[^>]*? width="([\d.]+)"', drawing)]
    assert [width == max(widths) for width in widths] == [True] * 6 + [False] * 5
    assert "2.8" not in alternative(drawing)
    assert "6 pass" in alternative(drawing)


def test_a_dipstick_is_wet_to_the_same_height_on_both_scales(course: Surroundings) -> None:
    """On a stick of 60 cm and 150 L, 20 cm and 50 L are one height."""
    stick = course.instruments["fuel-dipstick"]
    wet = [re.search(r'd="M63.0 ([\d.]+)H', sketch_instrument(stick, *one)) for one in ((20, "cm"), (50, "L"))]
    assert wet[0]
    assert wet[1]
    assert wet[0].group(1) == wet[1].group(1)


def test_a_strip_is_told_line_by_line_but_never_as_name_with_number(course: Surroundings) -> None:
    """Names, numbers and units are three lists; the asked number never stands beside its unit."""
    also = {"flue": 214, "air": 8, "rise": 206, "o2": 5.4, "co2": 11.4, "co": 62, "co-at-3": 72}
    drawing = sketch_instrument(course.instruments["analyser-strip"], 62, "ppm", also)
    assert "214; 8; 206; 5.4; 11.4; 62; 72" in alternative(drawing)
    assert "62 ppm" not in alternative(drawing)


def test_a_reading_that_leaves_lines_out_is_a_fault(course: Surroundings) -> None:
    """A switch that stands nowhere, and a strip of which only one line is given, are told with what is missing."""
    from msgspec.structs import replace

    with pytest.raises(SourceError, match="do not fit") as found:
        plan_reading(replace(SOUND, lines={}), course)
    assert "switch" in found.value.what_to_do
    with pytest.raises(SourceError, match="do not fit"):
        plan_reading(replace(SOUND, instrument="analyser-strip", line="o2", lines={}), course)


@pytest.mark.parametrize(
    "wrong",
    [
        {"look": "sound-meter", "scale": Scale(unit="dB", low=-10, high=6, division=1, figures=2)},
        {"look": "dipstick", "scale": Scale(unit="L", low=0, high=60, division=1, figures=10), "positions": (1, 2)},
        {"look": "analyser-strip", "scale": Scale(unit="L", low=0, high=60, division=1, figures=10)},
        {"look": "analyser-strip", "lines": (StripLine(id="a", label="A", unit="%", low=0, high=1, decimals=0),)},
        {"look": "clamp-meter", "positions": (2, 20)},
    ],
)
def test_an_instrument_without_its_switch_or_lines_is_a_fault(wrong: dict[str, Any]) -> None:
    """A sound meter without switch, a stick with one, a strip with a scale or one line, a clamp without scale."""
    built = Instrument(id="x", title="X", describes="Something that is described in a sentence.", **wrong)
    assert len(check_instrument(built)) == 1
