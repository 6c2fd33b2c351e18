"""A page that asks for anything outside its own file fails its test."""

from __future__ import annotations

from collections.abc import Sequence

import pytest


def refuse_outside(address: str, inside: Sequence[str]) -> None:
    """Fail the test when an address begins with none of the schemes that stay in the page."""
    if not address.startswith(tuple(inside)):
        pytest.fail(f"the page asked for {address}")
