"""Drawings: a description and named points in YAML, and the SVG beside it that holds them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from xml.etree import ElementTree

from warmyard.course.catalogue import by_id, one_per_file
from warmyard.course.model import Picture
from warmyard.errors import Place, SourceError
from warmyard.sources import read_text

INSTRUMENTS = "instruments.yaml"
SVG = "{http://www.w3.org/2000/svg}"
LINKS = ("href", "{http://www.w3.org/1999/xlink}href")
FORBIDDEN = {SVG + name for name in ("script", "foreignObject", "image", "animate", "set", "a")}
SHORTEST_DESCRIPTION = 40


def load_pictures(
    folder: Path, root: Path, faults: list[SourceError]
) -> tuple[Mapping[str, Picture], Mapping[str, str]]:
    """Return the pictures and their SVG texts by id; either without the other is a fault."""
    pictures: Mapping[str, Picture] = by_id(one_per_file(folder, root, Picture, faults, INSTRUMENTS), "picture", faults)
    drawings = {}
    for picture in pictures.values():
        try:
            drawings[picture.id] = read_text(folder / f"{picture.id}.svg", root)
        except SourceError as fault:
            faults.append(fault)
    for path in sorted(folder.glob("*.svg")):
        if path.stem not in pictures and not (folder / f"{path.stem}.yaml").exists():
            place = Place(path.relative_to(root).as_posix(), 1)
            what_to_do = f"write {path.stem}.yaml beside it"
            faults.append(SourceError(place, "the drawing has no description", what_to_do, loses=path.stem))
    return pictures, drawings


def check_pictures(pictures: Iterable[Picture], drawings: Mapping[str, str]) -> list[SourceError]:
    """Return every fault of every picture: a description too short, a drawing not whole and self-contained."""
    faults = []
    for picture in pictures:
        if len(picture.describes.strip()) < SHORTEST_DESCRIPTION:
            what_to_do = "describe what is seen, in a sentence or more"
            faults.append(
                SourceError(picture.place.within("describes"), "the text alternative is too short", what_to_do)
            )
        if picture.id in drawings:
            file = picture.place.file.removesuffix(".yaml") + ".svg"
            faults += check_drawing(picture, drawings[picture.id], file)
    return faults


def check_drawing(picture: Picture, svg: str, file: str) -> Iterator[SourceError]:
    """Yield every fault of one SVG: not XML, no viewBox, something foreign in it, a named point that it lacks."""
    try:
        tree = ElementTree.fromstring(svg)
    except ElementTree.ParseError as problem:
        yield SourceError(Place(file, problem.position[0]), "the drawing is not well-formed XML", "repair the mark-up")
        return
    if tree.tag != SVG + "svg" or not tree.get("viewBox"):
        what_to_do = 'begin it with <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 W H">'
        yield SourceError(Place(file, 1), "the drawing is no SVG with a viewBox", what_to_do)
    for element in tree.iter():
        names = [name for name in element.attrib if name.startswith("on")]
        outside = [element.get(name, "") for name in LINKS if not element.get(name, "#").startswith("#")]
        if element.tag in FORBIDDEN or names or outside:
            name = element.tag.rpartition("}")[2]
            line = _line_of(svg, f"<{name}")
            yield SourceError(
                Place(file, line), f"the drawing holds <{name}> or a link out of itself", "draw it instead"
            )
    ids = {element.get("id") for element in tree.iter()}
    for at, point in enumerate(picture.points):
        if point.id not in ids:
            what_to_do = f'give the part in {file} id="{point.id}"'
            yield SourceError(picture.place.within(f"points.{at}"), f"the drawing has no part {point.id}", what_to_do)


def _line_of(text: str, wanted: str) -> int:
    match = re.search(re.escape(wanted), text)
    return text[: match.start()].count("\n") + 1 if match else 1
