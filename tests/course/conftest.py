"""A copy of the small yard for every test that changes it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """Give a fresh copy of the smallest complete workspace."""
    return Path(shutil.copytree(SMALL_YARD, tmp_path / "yard"))
