"""Scripts made by others: each is the file that was looked at, with its licence beside it."""

from __future__ import annotations

import hashlib
from pathlib import Path

import warmyard.page

FOLDER = Path(warmyard.page.__file__).parent / "runtime" / "vendored"
SHA256 = {
    "fsrs.LICENSE.txt": "8b83a73dd2894ff553d6de6113064b3ad9dfad3f839837b61f3b183881131d01",
    "fsrs.js": "e35adea2ad7f860f628115810644df127660db2598e693e18a21af80691cdba3",
    "qr-make.LICENSE.txt": "3a850fa5f08101db6f40676c2786e10bd2cd5fff7b12ffdf1e0c434d4e49d90c",
    "qr-make.js": "769fe1a14a2801a90bf6ee5f38fc82e4c85fa50126dbc71bfc34cf41e3c5c314",
    "qr-read.LICENSE.txt": "c6596eb7be8581c18be736c846fb9173b69eccf6ef94c5135893ec56bd92ba08",
    "qr-read.js": "63e71411b71d95c30594f151608402cc16b45133fe27ef58343eb5f0f12c0aa6",
}


def test_every_vendored_file_is_the_one_that_was_looked_at() -> None:
    """A changed, missing or new file is found by its SHA-256."""
    found = {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in FOLDER.iterdir() if path.suffix != ".md"
    }
    assert found == SHA256


def test_every_vendored_script_has_its_licence_and_says_how_it_was_made() -> None:
    """The licence lies beside it under its name, and the README holds it with the command that makes it."""
    said = (FOLDER / "README.md").read_text(encoding="utf-8")
    for script in FOLDER.glob("*.js"):
        licence = script.with_suffix(".LICENSE.txt").read_text(encoding="utf-8")
        assert "Permission is hereby granted" in licence or "Apache License" in licence
        assert f"`{script.name}`" in said
        assert f"--outfile={script.name}" in said
