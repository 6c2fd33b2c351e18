"""Copies and builds of the small yard."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """Give a fresh copy of the smallest complete workspace."""
    return Path(shutil.copytree(SMALL_YARD, tmp_path / "yard"))


@pytest.fixture(scope="session")
def built(small_site: Path) -> Path:
    """Give both editions of the small yard, built once; tests only read them."""
    return small_site
