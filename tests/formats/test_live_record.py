"""The live model of the record says what the newest frozen shape says: a careless rename is found here."""

from __future__ import annotations

from typing import Any

import pytest
from outline import outline

from warmyard.certify.credential.status import StatusList
from warmyard.certify.credential.token import Token
from warmyard.certify.exam.observation import ObservationForm
from warmyard.certify.exam.paper_key import PaperKey
from warmyard.certify.exam.sitting import HandedIn
from warmyard.certify.ledger.bodies import KINDS
from warmyard.formats.entries import BODIES
from warmyard.formats.forms import OBSERVATION
from warmyard.formats.handed_out import STATUS_LIST, TOKEN
from warmyard.formats.papers import PAPER_KEY, SITTING
from warmyard.formats.register import Format

LIVE = [
    *((BODIES[kind], body) for kind, body in KINDS.items()),
    (PAPER_KEY, PaperKey),
    (SITTING, HandedIn),
    (OBSERVATION, ObservationForm),
    (STATUS_LIST, StatusList),
    (TOKEN, Token),
]
WHAT_TO_DO = (
    "the live model no longer says what is stored: keep the stored name with msgspec.field(name=...), or write the "
    "change as the next version of the format, with an upgrade (DEVELOPERS.md, How a stored thing changes)"
)


@pytest.mark.parametrize(("format_", "live"), LIVE, ids=[format_.name for format_, _ in LIVE])
def test_the_live_model_stores_what_the_newest_version_says(format_: Format, live: type[Any]) -> None:
    """Names, types, limits and defaults of the live struct are those of the newest frozen shape."""
    assert outline(live) == outline(format_.shapes[format_.version]), WHAT_TO_DO


def test_every_kind_of_entry_is_frozen() -> None:
    """A new kind of entry without a frozen body would be read by a model that may change."""
    assert KINDS.keys() == BODIES.keys()
