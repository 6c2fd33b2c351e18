"""Copies and builds of the small yard."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from warmyard.course.workspace import read_workspace
from warmyard.web.build import build_edition

SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """Give a fresh copy of the smallest complete workspace."""
    return Path(shutil.copytree(SMALL_YARD, tmp_path / "yard"))


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give both editions of the small yard, built once; tests only read them."""
    workspace = read_workspace(SMALL_YARD)
    folder = tmp_path_factory.mktemp("built")
    for edition in ("staff", "customer"):
        build_edition(workspace, edition, folder / edition)  # type: ignore[arg-type]
    return folder
