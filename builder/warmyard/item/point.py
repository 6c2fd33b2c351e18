"""Picture points: a drawing whose parts are numbered in a drawn order, so that nothing in it names the answer."""

from __future__ import annotations

import re
from collections.abc import Mapping
from xml.etree import ElementTree

from warmyard.item.chance import Chance
from warmyard.item.kinds import PicturePoint
from warmyard.item.surroundings import PictureFacts, Surroundings
from warmyard.item.variant_model import PointKey, Question, Shown, Variant
from warmyard.item.words import sentence

SVG = "http://www.w3.org/2000/svg"
LABEL = "wy-label"
"""Class of a text in a drawing that names a part; it is left out where the part is asked for."""


def point_variant(item: PicturePoint, seed: int, around: Surroundings, chance: Chance) -> Variant:
    """Return the item with its points numbered in a drawn order."""
    facts = around.pictures[item.picture]
    offered = chance.mixed(item.points or tuple(facts.points))
    number = {point: f"p{at + 1}" for at, point in enumerate(offered)}
    question = Question(
        item=item.id,
        seed=seed,
        kind="picture-point",
        ask=around.inline(item.ask),
        skill=item.skill,
        critical=item.critical,
        options=tuple(Shown(id=number[point], text=facts.where.get(point, "")) for point in offered),
        picture=item.picture,
        drawing=numbered_drawing(facts, number, f"d{seed % 1_000_000}-"),
    )
    why = {number[point]: sentence(around.inline(item.why.get(point, ""))) for point in offered if point in item.why}
    for point in offered:
        if number[point] not in why and point not in item.right and facts.does.get(point):
            why[number[point]] = sentence(around.inline(facts.does[point]))
    key = PointKey(
        right=tuple(number[point] for point in item.right if point in number),
        why=why,
        names={number[point]: facts.points[point] for point in offered},
    )
    return Variant(question=question, key=key, sense=around.inline(item.sense))


def numbered_drawing(facts: PictureFacts, number: Mapping[str, str], prefix: str) -> str:
    """Return the drawing without titles and labels; asked parts carry data-point instead of their id.

    Every other id gets the prefix, so that two drawings on one page never share one.
    """
    ElementTree.register_namespace("", SVG)
    tree = ElementTree.fromstring(facts.svg)
    _leave_out(tree)
    named = {part.get("id", "") for part in tree.iter()} - {""}
    for part in tree.iter():
        id = part.get("id")
        if id is not None:
            if id in number:
                part.set("data-point", number[id])
            _rename(part, id, number, facts, prefix)
        for name, value in list(part.attrib.items()):
            if name != "id":
                part.set(name, _with_prefix(value, named, prefix))
    for name in ("role", "aria-label", "aria-labelledby", "aria-describedby", "id"):
        tree.attrib.pop(name, None)
    tree.set("aria-hidden", "true")
    tree.set("focusable", "false")
    return ElementTree.tostring(tree, encoding="unicode")


def _rename(part: ElementTree.Element, id: str, number: Mapping[str, str], facts: PictureFacts, prefix: str) -> None:
    if id in facts.points:
        # The id says what the part is; where another element refers to it, the number serves.
        del part.attrib["id"]
        if id in number:
            part.set("id", prefix + number[id])
    else:
        part.set("id", prefix + id)


def _leave_out(tree: ElementTree.Element) -> None:
    for parent in list(tree.iter()):
        for child in list(parent):
            name = child.tag.rpartition("}")[2]
            classes = child.get("class", "").split()
            if name in ("title", "desc", "metadata") or LABEL in classes:
                parent.remove(child)


def _with_prefix(value: str, named: set[str], prefix: str) -> str:
    value = re.sub(r"url\(#([^)]+)\)", lambda found: f"url(#{prefix}{found.group(1)})", value)
    return f"#{prefix}{value[1:]}" if value.startswith("#") and value[1:] in named else value


def words_in_drawing(svg: str) -> str:
    """Return all text that stays in a drawing where its parts are asked for."""
    tree = ElementTree.fromstring(svg)
    _leave_out(tree)
    return " ".join(text.strip() for text in tree.itertext() if text.strip())
