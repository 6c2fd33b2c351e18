"""Schemes of a records folder: canonical JSON with decimals as text, nameless or labelled, become today's scheme.

tests/golden/adopted-scheme-1.json is what the desk kept of the golden workspace's scheme before formats had names.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import msgspec
import pytest

from warmyard.course.scheme import load_scheme
from warmyard.course.scheme_model import Scheme
from warmyard.errors import Place, SourceError
from warmyard.formats.register import NewerFormatError
from warmyard.formats.schemes import SCHEMES, bring_up_adopted

GOLDEN = Path(__file__).resolve().parents[1] / "golden"


@pytest.fixture
def kept() -> dict[str, Any]:
    """Give the scheme as the records folder holds it."""
    found: dict[str, Any] = json.loads((GOLDEN / "adopted-scheme-1.json").read_text("utf-8"))
    return found


def without_places(value: Any) -> Any:
    """Return a plain scheme without the lines that its parts stand on."""
    if isinstance(value, dict):
        return {key: without_places(inner) for key, inner in value.items() if key != "place"}
    return [without_places(inner) for inner in value] if isinstance(value, list | tuple) else value


@pytest.mark.parametrize("label", [{}, {"format": "warmyard-scheme-2"}])
def test_an_adopted_scheme_is_the_scheme_that_was_adopted(kept: dict[str, Any], label: dict[str, str]) -> None:
    """Without a label it is of version 1; with one of version 2; both are what scheme.yaml says, in numbers."""
    assert isinstance(kept["levels"][0]["parts"][0]["cut"]["percent"], str)
    root, faults = GOLDEN / "workspace-1", list[SourceError]()
    source = load_scheme(root / "site_config" / "scheme.yaml", root, faults)
    found = msgspec.convert(bring_up_adopted({**label, **kept}), Scheme, strict=True)
    assert without_places(msgspec.to_builtins(found)) == without_places(msgspec.to_builtins(source))
    assert found.place == Place()


def test_what_an_adopted_scheme_left_out_is_as_its_version_had_it(kept: dict[str, Any]) -> None:
    """A scheme from before declarations of interests had an age keeps the twelve months that it meant."""
    del kept["declare_months"]
    assert msgspec.convert(bring_up_adopted(kept), Scheme).declare_months == 12


def test_an_adopted_scheme_of_a_newer_tool_is_one_sentence(kept: dict[str, Any]) -> None:
    """It says what, which version, and which this tool reads."""
    with pytest.raises(NewerFormatError) as caught:
        bring_up_adopted({"format": f"warmyard-scheme-{SCHEMES.version + 1}", **kept, "more": 1})
    assert str(caught.value) == (
        f"the scheme is of format {SCHEMES.version + 1}, and this Warmyard reads formats up to {SCHEMES.version}; "
        "install a newer Warmyard"
    )


@pytest.mark.parametrize(
    "other",
    [
        {"format": "warmyard-scheme-1"},
        {"format": "warmyard-paper-key-1"},
        {"format": 2},
        {"format": None},
        {"more": 1},
        {"notice_days": "soon"},
        {"place": {"file": "x", "line": 1}},
    ],
)
def test_an_adopted_scheme_has_the_shape_of_its_version(kept: dict[str, Any], other: dict[str, Any]) -> None:
    """Another label, a field that no scheme has, a word for a number: refused."""
    with pytest.raises(msgspec.ValidationError):
        bring_up_adopted({**kept, **other})


@pytest.mark.parametrize("other", [None, [], "scheme", 3])
def test_what_is_no_scheme_is_refused(other: object) -> None:
    """Only named fields can be a scheme."""
    with pytest.raises(msgspec.ValidationError):
        bring_up_adopted(other)
