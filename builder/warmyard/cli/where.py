"""Where the workspace and the records folder are."""

from __future__ import annotations

import os
import sys
from argparse import ArgumentParser
from pathlib import Path

from warmyard.errors import InputError

SOURCE_ROOT = Path(__file__).resolve().parents[3]


def workspace_root() -> Path:
    """Return the nearest folder at or above the current one that holds course/ and site_config/, else this checkout."""
    here = Path.cwd()
    for folder in (here, *here.parents):
        if (folder / "course").is_dir() and (folder / "site_config").is_dir():
            return folder
    if (SOURCE_ROOT / "course").is_dir():
        return SOURCE_ROOT
    raise InputError("no course/ and site_config/ here or above; run warmyard inside a Warmyard folder")


def whole_path(text: str) -> Path:
    """Return the whole path of a name typed on the command line; raise InputError when it can be none."""
    try:
        return Path(text).expanduser().resolve()
    except (RuntimeError, OSError, ValueError):
        raise InputError(f"{text!r} is no name of a file or folder; write another") from None


def cache_folder(*records: Path) -> Path | None:
    """Return the user's folder for what can be made again at any time; None where there is none to use.

    It never lies in the sources or in a records folder: neither may hold a file that nobody asked for.
    """
    try:
        folder = (_user_cache() / "warmyard").resolve()
        outside = [workspace_root(), *([SOURCE_ROOT] if (SOURCE_ROOT / "course").is_dir() else []), *records]
        outside += [whole_path(named)] if (named := os.environ.get("WARMYARD_RECORDS")) else []
        return None if any(folder.is_relative_to(each.resolve()) for each in outside) else folder
    except (InputError, RuntimeError, OSError):
        return None


def _user_cache() -> Path:
    """Return where this system keeps what can be made again; XDG_CACHE_HOME, when it is a whole path, goes first."""
    named = Path(os.environ.get("XDG_CACHE_HOME", ""))
    if named.is_absolute():
        return named
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches"
    if sys.platform == "win32":
        local = Path(os.environ.get("LOCALAPPDATA", ""))
        return local if local.is_absolute() else Path.home() / "AppData" / "Local"
    return Path.home() / ".cache"


def add_records(parser: ArgumentParser) -> None:
    """Add --records, which names the records folder."""
    parser.add_argument("--records", metavar="DIR", help="records folder (else WARMYARD_RECORDS)")


def records_folder(named: str | None, *, must_exist: bool = True) -> Path:
    """Return the records folder; raise InputError when it is not named, lies in the workspace, or does not exist."""
    text = named or os.environ.get("WARMYARD_RECORDS", "")
    if not text:
        raise InputError("no records folder; name it with --records DIR or WARMYARD_RECORDS")
    folder = whole_path(text)
    if (SOURCE_ROOT / "course").is_dir() and folder.is_relative_to(SOURCE_ROOT):
        raise InputError(f"{text} lies inside the sources; keep records outside the repository")
    if must_exist and not folder.is_dir():
        raise InputError(f"there is no records folder {text}; check the name, or make one with `warmyard demo`")
    return folder
