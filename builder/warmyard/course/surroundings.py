"""The course's objects as the plain facts that items need around them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import TYPE_CHECKING

from warmyard.course.fences import find_inlines
from warmyard.course.model import Picture, Procedure, Sheet
from warmyard.course.rules import rule_values
from warmyard.course.values import meaning
from warmyard.errors import SourceError
from warmyard.item.instrument import Instrument
from warmyard.item.kinds import FaultCase, Item, Numeric, Ordering, PicturePoint, Reading
from warmyard.item.surroundings import OrderFacts, PictureFacts, Surroundings

if TYPE_CHECKING:
    from warmyard.course.workspace import Workspace


def make_surroundings(workspace: Workspace, instruments: Mapping[str, Instrument]) -> Surroundings:
    """Return what the items of a workspace need from it."""

    def inline(text: str) -> str:
        return plain_text(workspace, text)

    return Surroundings(
        register=workspace.register,
        machine=workspace.machine,
        orders={procedure.id: order_facts(procedure) for procedure in workspace.procedures.values()},
        pictures={
            picture.id: picture_facts(picture, workspace.drawings[picture.id])
            for picture in workspace.pictures.values()
            if picture.id in workspace.drawings
        },
        sheet_values={sheet.id: sheet_facts(sheet) for sheet in workspace.sheets.values()},
        rule_values=rule_values(workspace.rules),
        instruments=instruments,
        inline=inline,
    )


def order_facts(procedure: Procedure) -> OrderFacts:
    """Return a procedure as an ordering item sees it."""
    return OrderFacts(
        id=procedure.id,
        title=procedure.title,
        steps={step.id: step.do for step in procedure.steps},
        before=tuple((pair.first, pair.then, pair.because) for pair in procedure.before),
        fails=tuple((fail.wrong_first, fail.must_precede, fail.because) for fail in procedure.immediate_fail),
        reference=procedure.reference,
    )


def picture_facts(picture: Picture, svg: str) -> PictureFacts:
    """Return a drawing as a picture item sees it."""
    return PictureFacts(
        id=picture.id,
        title=picture.title,
        describes=picture.describes,
        points={point.id: point.name for point in picture.points},
        does={point.id: point.does for point in picture.points if point.does},
        where={point.id: point.where for point in picture.points if point.where},
        svg=svg,
    )


def sheet_facts(sheet: Sheet) -> Mapping[str, str]:
    """Return a machine's values, with its name."""
    return {**sheet.texts, **sheet.values, "name": sheet.name}


def plain_text(workspace: Workspace, text: str) -> str:
    """Return a text with its inlines written out; one that names nothing stays as it is and is reported elsewhere."""
    if "[[" not in text:
        return text
    faults: list[SourceError] = []
    for inline in find_inlines(text, "", 1, faults):
        try:
            text = text.replace(inline.text, meaning(workspace, inline).text, 1)
        except SourceError:
            continue
    return text


def sound_items(workspace: Workspace, faults: defaultdict[str, list[SourceError]]) -> list[Item]:
    """Return the items whose formulas, machine, procedure or drawing have no fault of their own.

    The others would only repeat a fault that is already reported where it stands.
    """
    faulty = faulty_formulas(workspace, faults["formula"])
    return [item for item in workspace.items.values() if _stands_on_sound(workspace, item, faults, faulty)]


def _stands_on_sound(
    workspace: Workspace, item: Item, faults: defaultdict[str, list[SourceError]], faulty: set[str]
) -> bool:
    if isinstance(item, Ordering):
        return not faults["procedure"]
    if isinstance(item, FaultCase):
        return not faults["machine"]
    if isinstance(item, PicturePoint):
        return not faults["picture"]
    if isinstance(item, Reading) and faults["instrument"]:
        return False
    if isinstance(item, Numeric | Reading) and (faults["sheet"] or faults["rule"]):
        return not any(draw.sheet or draw.rule for draw in item.draw.values())
    if isinstance(item, Numeric):
        named = {link.formula for link in item.chain} | ({item.formula} if item.formula else set())
        known = workspace.register.formulas
        return not named & faulty and not (faults["formula"] and any(name not in known for name in named))
    return True


def faulty_formulas(workspace: Workspace, faults: list[SourceError]) -> set[str]:
    """Return the ids of the formulas in whose lines a fault stands."""
    found = set()
    for fault in faults:
        above = [
            formula
            for formula in workspace.register.formulas.values()
            if formula.place.file == fault.place.file and formula.place.line <= fault.place.line
        ]
        if above:
            found.add(max(above, key=lambda formula: formula.place.line).id)
    return found
