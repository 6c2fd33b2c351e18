"""`warmyard --version`: the tool, and every format with the version that it writes."""

from __future__ import annotations

import pytest

from warmyard import __version__
from warmyard.cli.main import main
from warmyard.formats.every import EVERY


def test_it_prints_the_tool_and_the_formats_in_order(capsys: pytest.CaptureFixture[str]) -> None:
    """Two lines: the tool's version, and all formats sorted by name."""
    assert main(["--version"]) == 0
    tool, formats = capsys.readouterr().out.splitlines()
    assert tool == f"warmyard {__version__}"
    names = formats.removeprefix("formats: ").split(", ")
    assert names == sorted(f"{format_.name} {format_.version}" for format_ in EVERY)
    assert {"items", "lesson", "practice-record", "scheme"} <= {name.partition(" ")[0] for name in names}


def test_the_help_names_it(capsys: pytest.CaptureFixture[str]) -> None:
    """Who asks for help learns of it."""
    assert main(["--help"]) == 0
    assert "warmyard --version" in capsys.readouterr().out


def test_it_stands_alone(capsys: pytest.CaptureFixture[str]) -> None:
    """Another word beside it is one sentence and exit code 2."""
    assert main(["--version", "check"]) == 2
    assert capsys.readouterr().err == "--version stands alone; write `warmyard --version`\n"
