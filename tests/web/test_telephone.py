"""The list of files that a telephone keeps, and the manifest."""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

import pytest

from warmyard.web.fill import FOLDER, THEME
from warmyard.web.icons import SIZES_PX, draw_icon, icon_name

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
    """A short name, a start inside the site, icons of the sizes that they say, one of them for any shape."""
    told = json.loads((built / edition / "manifest.webmanifest").read_text(encoding="utf-8"))
    assert told["name"]
    assert told["display"] == "standalone"
    assert (built / edition / told["start_url"]).is_file()
    assert told["short_name"] == {"staff": "Heater work", "customer": "My heater"}[edition]
    assert {icon["sizes"] for icon in told["icons"]} == {"180x180", "192x192", "512x512", "any"}
    assert any(icon["purpose"] == "maskable" for icon in told["icons"])
    for icon in told["icons"]:
        content = (built / edition / icon["src"]).read_bytes()
        if icon["sizes"] == "any":
            assert content.startswith(b"<svg")
        else:
            width, height = (int.from_bytes(content[at : at + 4], "big") for at in (16, 20))
            assert icon["sizes"] == f"{width}x{height}"


@pytest.mark.parametrize("size_px", SIZES_PX)
def test_the_icons_are_the_mark_as_it_is_drawn(size_px: int) -> None:
    """The files in the theme are what the mark gives today, byte for byte."""
    assert (THEME / FOLDER / icon_name(size_px)).read_bytes() == draw_icon(size_px)
