"""Schemes of a records folder: canonical JSON with decimals as text, nameless or labelled, become today's scheme."""

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

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def scheme() -> Scheme:
    """Give the demo company's scheme, which uses every part that a scheme may have."""
    faults: list[SourceError] = []
    found = load_scheme(ROOT / "site_config" / "scheme.yaml", ROOT, faults)
    assert found is not None, faults
    return found


def stored(value: Any) -> Any:
    """Return a scheme as the records folder of version 1 held it: no places, no empty fields, decimals as text."""
    if isinstance(value, dict):
        return {key: stored(inner) for key, inner in value.items() if key != "place" and inner is not None}
    if isinstance(value, list | tuple):
        return [stored(inner) for inner in value]
    return f"{value:.10g}" if isinstance(value, float) else value


def plain(scheme: Scheme) -> dict[str, Any]:
    """Return a scheme as JSON reads it back."""
    found: dict[str, Any] = json.loads(json.dumps(stored(msgspec.to_builtins(scheme))))
    return found


@pytest.mark.parametrize("label", [{}, {"format": "warmyard-scheme-2"}])
def test_an_adopted_scheme_is_the_scheme_that_was_adopted(scheme: Scheme, label: dict[str, str]) -> None:
    """Without a label it is of version 1; with one of version 2; both give every value back, decimals as numbers."""
    kept = plain(scheme)
    assert isinstance(kept["levels"][0]["parts"][0]["cut"]["percent"], str)
    found = msgspec.convert(bring_up_adopted({**label, **kept}), Scheme)
    assert plain(found) == kept
    assert found.levels[0].parts[0].cut == scheme.levels[0].parts[0].cut
    assert found.place == Place()


def test_what_an_adopted_scheme_left_out_is_as_its_version_had_it(scheme: Scheme) -> None:
    """A scheme from before declarations of interests had an age keeps the twelve months that it meant."""
    kept = plain(scheme)
    del kept["declare_months"]
    assert bring_up_adopted(kept)["declare_months"] == 12


def test_an_adopted_scheme_of_a_newer_tool_is_one_sentence(scheme: Scheme) -> None:
    """It says what, which version, and which this tool reads."""
    with pytest.raises(NewerFormatError) as caught:
        bring_up_adopted({"format": f"warmyard-scheme-{SCHEMES.version + 1}", **plain(scheme), "more": 1})
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
        {"levels": []} | {"notice_days": "soon"},
        {"place": {"file": "x", "line": 1}},
    ],
)
def test_an_adopted_scheme_has_the_shape_of_its_version(scheme: Scheme, other: dict[str, Any]) -> None:
    """Another label, a field that no scheme has, a word for a number: refused."""
    with pytest.raises(msgspec.ValidationError):
        bring_up_adopted({**plain(scheme), **other})


@pytest.mark.parametrize("other", [None, [], "scheme", 3])
def test_what_is_no_scheme_is_refused(other: object) -> None:
    """Only named fields can be a scheme."""
    with pytest.raises(msgspec.ValidationError):
        bring_up_adopted(other)
