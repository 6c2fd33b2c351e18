"""The command itself: exit codes, one sentence, any console."""

from __future__ import annotations

import subprocess
import sys

import pytest


def warmyard(*words: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run the command as a person would."""
    import os

    return subprocess.run(
        [sys.executable, "-m", "warmyard.cli", *words],
        capture_output=True, check=False, env={**os.environ, **environment},
    )  # fmt: skip


@pytest.mark.parametrize("words", [["fly"], ["work", "--colour"], ["clearance", "--on"], ["mark"]])
def test_a_wrong_call_is_one_sentence_and_exit_code_2(words: list[str]) -> None:
    """A call that cannot be understood says so in one line and prints no result."""
    done = warmyard(*words)
    assert done.returncode == 2
    assert done.stdout == b""
    assert len(done.stderr.decode().strip().splitlines()) == 1


def test_a_console_of_another_code_page_still_prints(tmp_path: object) -> None:
    """On a cp1252 console the degree sign and the minus sign do not end the command."""
    done = warmyard("work", "air-density", "t=20", "--steps", PYTHONIOENCODING="cp1252")
    assert done.returncode == 0
    assert "1.204" in done.stdout.decode("utf-8")
