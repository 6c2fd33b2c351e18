"""The demo's records folder, for attackers."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from conftest import Demo


@pytest.fixture
def target(demo: Demo) -> Demo:
    """Give a copy of the demo to attack."""
    return demo
