"""The outline of a type, for tests of frozen shapes."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeAlias

import pytest

Outline: TypeAlias = Callable[..., Any]


@pytest.fixture(scope="session")
def outline() -> Outline:
    """Give the function of outline.py, which stands beside the tests."""
    spec = importlib.util.spec_from_file_location("outline", Path(__file__).with_name("outline.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    found: Outline = module.outline
    return found
