"""The course's objects as the plain facts that items need around them."""

from __future__ import annotations

from collections.abc import Mapping

from warmyard.course.model import Picture, Procedure, Sheet
from warmyard.course.rules import rule_values
from warmyard.course.shelf import Shelf
from warmyard.course.values import plain_text
from warmyard.item.instrument import Instrument
from warmyard.item.surroundings import NAME, OrderFacts, PictureFacts, Surroundings
from warmyard.machine.model import Machine


def make_surroundings(
    shelf: Shelf,
    *,
    machine: Machine,
    procedures: Mapping[str, Procedure],
    pictures: Mapping[str, Picture],
    drawings: Mapping[str, str],
    instruments: Mapping[str, Instrument],
) -> Surroundings:
    """Return what items need from the other sources of a workspace."""

    def inline(text: str) -> str:
        return plain_text(shelf, text)

    return Surroundings(
        register=shelf.register,
        machine=machine,
        orders={procedure.id: order_facts(procedure) for procedure in procedures.values()},
        pictures={
            picture.id: picture_facts(picture, drawings[picture.id])
            for picture in pictures.values()
            if picture.id in drawings
        },
        sheet_values={sheet.id: sheet_facts(sheet) for sheet in shelf.sheets.values()},
        rule_values=rule_values(shelf.rules),
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
    return {**sheet.texts, **sheet.values, NAME: sheet.name}
