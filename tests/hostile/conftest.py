"""The demo's records folder, for attackers."""

from __future__ import annotations

import pytest
from demo_records import Demo


@pytest.fixture
def target(demo: Demo) -> Demo:
    """Give a copy of the demo to attack."""
    return demo
