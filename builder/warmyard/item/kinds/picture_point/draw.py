"""Picture points: a drawing whose parts are numbered in a drawn order, so that nothing in it names the answer."""

from __future__ import annotations

import re
from collections.abc import Mapping
from xml.etree import ElementTree

from warmyard.item.chance import Chance, start_of
from warmyard.item.kinds.picture_point.schema import PicturePoint
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
        drawing=numbered_drawing(facts, number, f"d{start_of(item.id) & 0xFFFFFF:x}-{seed}-", around),
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


def numbered_drawing(facts: PictureFacts, number: Mapping[str, str], prefix: str, around: Surroundings) -> str:
    """Return the drawing without titles, labels and ids; asked parts carry data-point with their number.

    An id that something in the drawing refers to (a gradient) stays under a name that tells nothing, with the prefix.
    """
    name = f"drawing {facts.id}"
    known = around.prepared.get(name)
    if not isinstance(known, tuple) or known[0] is not facts:
        known = around.prepared[name] = (facts, _nameless(facts))
    text: str = known[1]
    for point in facts.points:
        wanted = f'data-point="{number[point]}"' if point in number else ""
        text = text.replace(f'data-point="{point}"', wanted)
    return text.replace(_PREFIX, prefix)


_PREFIX = "wy-prefix-"
_REFERENCE = re.compile(r"url\(#([^)]+)\)|^#([A-Za-z][^ ]*)$")


def _nameless(facts: PictureFacts) -> str:
    ElementTree.register_namespace("", SVG)
    tree = ElementTree.fromstring(facts.svg)
    _leave_out(tree)
    named = [part.get("id", "") for part in tree.iter() if part.get("id")]
    inside = [value for part in tree.iter() for name, value in part.attrib.items() if name != "id"]
    used = {one for value in inside for found in _REFERENCE.finditer(value) for one in found.groups() if one}
    names = {id: f"{_PREFIX}r{at}" for at, id in enumerate(named) if id in used}
    for part in tree.iter():
        for name, value in list(part.attrib.items()):
            if name == "id":
                del part.attrib[name]
            else:
                part.set(name, _renamed(value, names))
            if name == "id" and value in names:
                part.set("id", names[value])
            if name == "id" and value in facts.points:
                part.set("data-point", value)
    for name in ("role", "aria-label", "aria-labelledby", "aria-describedby"):
        tree.attrib.pop(name, None)
    tree.set("aria-hidden", "true")
    tree.set("focusable", "false")
    return ElementTree.tostring(tree, encoding="unicode")


def _renamed(value: str, names: Mapping[str, str]) -> str:
    def other(found: re.Match[str]) -> str:
        id = found.group(1) or found.group(2)
        return found.group(0).replace(f"#{id}", f"#{names[id]}") if id in names else found.group(0)

    return _REFERENCE.sub(other, value)


def _leave_out(tree: ElementTree.Element) -> None:
    for parent in list(tree.iter()):
        for child in list(parent):
            name = child.tag.rpartition("}")[2]
            classes = child.get("class", "").split()
            if name in ("title", "desc", "metadata") or LABEL in classes:
                parent.remove(child)


def words_in_drawing(svg: str) -> str:
    """Return all text that stays in a drawing where its parts are asked for."""
    tree = ElementTree.fromstring(svg)
    _leave_out(tree)
    return " ".join(text.strip() for text in tree.itertext() if text.strip())
