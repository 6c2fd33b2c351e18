"""The machine of a page: chosen once, its data sheet fills what names a field of it."""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup

from warmyard.course.model import SheetField
from warmyard.page.javascript import runtime_text, script_of
from warmyard.page.survey_plan import fleet_data
from warmyard.web.blocks import Writer
from warmyard.web.fill import FOLDER, fill

SCRIPT = "fleet.js"
DATA = f"{FOLDER}/data/fleet.js"


def field_taken(value: object) -> str:
    """Return the field that `sheet FIELD` takes of whichever machine is chosen, or nothing for any other input."""
    kind, _, field = str(value).partition(" ")
    return field.strip() if kind == "sheet" and "." not in field else ""


def field_name(words: Mapping[str, str], field: str, known: Mapping[str, SheetField]) -> str:
    """Return what a field of a sheet is called: the word `sheet.FIELD`, what it means, or its id in plain words."""
    means = known[field].means if field in known else ""
    return words.get(f"sheet.{field}") or means or field.replace("-", " ").replace("_", " ")


def load_fleet_data(writer: Writer) -> None:
    """Let a page load the data sheets."""
    writer.scripts[DATA] = script_of(fleet=fleet_data(writer.workspace.sheets)).encode()


def load_fleet(writer: Writer) -> None:
    """Let a page load the data sheets and the script that hands them round."""
    load_fleet_data(writer)
    writer.scripts[f"{FOLDER}/{SCRIPT}"] = runtime_text(SCRIPT).encode()


def machine_of_page(writer: Writer, html: str) -> Markup:
    """Return the choice of the machine for the head of a page whose boxes take its sheet; a survey has its own."""
    if "data-wy-machine=" in html:
        return Markup("")
    load_fleet(writer)
    first = next(iter(writer.workspace.sheets.values())).name
    return fill("machine", choice=machine_choice(writer), first=first)


def machine_choice(writer: Writer) -> Markup:
    """Return the choice of the machine; its page remembers what was chosen."""
    return fill("machine-choice", sheets=writer.workspace.sheets, page=writer.page)
