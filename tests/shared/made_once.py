"""What is dear to make is made once in a whole run, though several processes share the run."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from filelock import FileLock


def made_once(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], object]) -> Path:
    """Return the folder of that name, filled by whoever asks first; the others wait for it and only read it."""
    place = factory.getbasetemp()
    if os.environ.get("PYTEST_XDIST_WORKER"):
        place = place.parent
    folder, whole = place / f"once-{name}", place / f"once-{name}.whole"
    with FileLock(place / f"once-{name}.lock"):
        if not whole.exists():
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            make(folder)
            whole.touch()
    return folder
