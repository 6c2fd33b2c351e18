"""The list of files that a telephone keeps, and the manifest."""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

import pytest

EDITIONS = ("staff", "customer")


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_list_names_every_file_with_its_digest(built: Path, edition: str) -> None:
    """Nothing of the site is forgotten, nothing else named, and each digest is that of the file."""
    folder = built / edition
    found = re.search(r"^var FILES = (.*);$", (folder / "sw.js").read_text(encoding="utf-8"), re.MULTILINE)
    assert found
    listed = json.loads(found.group(1))
    own = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if path.is_file()}
    assert set(own) - set(listed) <= {"sw.js", "manifest.webmanifest", "status.js"}
    assert {name: hashlib.sha256(own[name].read_bytes()).hexdigest()[:16] for name in listed} == listed


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_manifest_has_what_a_telephone_asks_for(built: Path, edition: str) -> None:
    """A name, a start inside the site, an icon of any size that is there."""
    told = json.loads((built / edition / "manifest.webmanifest").read_text(encoding="utf-8"))
    assert told["name"]
    assert told["display"] == "standalone"
    assert (built / edition / told["start_url"]).is_file()
    assert [icon["sizes"] for icon in told["icons"]] == ["any"]
    assert (built / edition / told["icons"][0]["src"]).read_text(encoding="utf-8").startswith("<svg")
