"""A number with its unit as people type it: decimal commas, units in words. The page's number.js reads the same.

Sources of the course are read by `formula/quantity.py`, which takes one way of writing only.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import Any

from warmyard.errors import InputError
from warmyard.formula.quantity import LONGEST_INPUT, shown_back
from warmyard.formula.unit_spellings import AMBIGUOUS, TABLE
from warmyard.formula.units import Unit, name_quantity, quantities, show_unit, spellings_for, unit_in, unit_of
from warmyard.words import say, spoken

REFUSALS = ("empty", "no-number", "two-ways", "too-great", "unit-unknown", "unit-case", "unit-other")
"""The words `typed.NAME` that answer what cannot be read; the page says the same."""
_UNPRINTED = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_HEAD = re.compile(
    r"([-+]?) ?((?:[0-9]|[.,](?=[0-9]))(?:[0-9.,']| (?=[0-9]{3}(?![0-9])))*)([eE][-+]?[0-9]{1,4})?(?![0-9]) *(.*)\Z"
)
_FOREIGN = re.compile(r"(?!1 ?/ ?[A-Za-z])[-+]?[0-9]")
"""A second number where a unit should stand; 1/h is one."""
_POINT = re.compile(r"[0-9]*\.?[0-9]*\Z")
_COMMA = re.compile(r"[0-9]*,[0-9]*\Z")
_TWO_WAYS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}\Z")
"""A comma before three digits: decimals for one reader, a thousand for the next."""
_GROUPED = re.compile(
    r"(?:[0-9]{1,3}(?:[ '][0-9]{3})+(?:[.,][0-9]+)?|[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]+|[0-9]{1,3}(?:,[0-9]{3}){2,}"
    r"|[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+|[0-9]{1,3}(?:\.[0-9]{3}){2,})\Z"
)
_SIGNS = str.maketrans({"\u2212": "-", "\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2019": "'", "\u2032": "'"})
_SMALL = str.maketrans("²³₂", "232")
_MARKS = re.compile("[ ·*().^]")
MOST_WORDS = 4
"""Words of the longest name of a unit, such as inches of water column."""


def read_typed(text: str, unit: str) -> float:
    """Return what a person typed, in a unit; without a unit of its own it is in that unit.

    Raises InputError whose sentence says what was not understood: a number with a comma that can mean two things, a
    unit that is not known, a unit of another quantity.
    """
    wanted = unit_of(unit)
    example = f"12.5 {show_unit(unit)}".strip()
    clean = re.sub(" +", " ", _UNPRINTED.sub(" ", text).translate(_SIGNS)).strip(" ")
    if not clean:
        raise _refusal("empty", example=example)
    shown = clean[:LONGEST_INPUT]
    found = _HEAD.match(clean) if len(clean) <= LONGEST_INPUT else None
    if found is None:
        raise _refusal("no-number", text=shown, example=example)
    sign, digits, power, tail = found.groups()
    name = tail.rstrip(" .,;")
    if _FOREIGN.match(name):
        raise _refusal("no-number", text=shown, example=example)
    number = _number(digits, shown, example)
    value = float(f"{sign}{number}{power or ''}")
    if not math.isfinite(value):
        raise _refusal("too-great", text=shown, example=example)
    return _in_wanted(value, name, wanted, shown, example) if name else value


def _number(digits: str, shown: str, example: str) -> str:
    """Return digits with one point and nothing else between them."""
    body = digits.rstrip(".,' ") or digits
    if _TWO_WAYS.match(body):
        point = body.replace(",", ".").rstrip("0").rstrip(".")
        raise _refusal("two-ways", text=shown, point=point, whole=body.replace(",", ""))
    if _POINT.match(body):
        return body
    if _COMMA.match(body):
        return body.replace(",", ".")
    if not _GROUPED.match(body):
        raise _refusal("no-number", text=shown, example=example)
    signs = re.sub("[0-9]", "", body)
    has_decimals = signs[-1] in ".," and signs.count(signs[-1]) == 1 and len(signs) > 1
    whole, decimals = (body.rsplit(signs[-1], 1)) if has_decimals else (body, "")
    return re.sub("[^0-9]", "", whole) + ("." + decimals if decimals else "")


def _in_wanted(value: float, name: str, wanted: Unit, shown: str, example: str) -> float:
    spelling = spelling_of(name, wanted.quantity)
    if spelling in AMBIGUOUS:
        raise InputError(say({}, f"ambiguous.{spelling}"))
    given = unit_in(spelling, wanted.quantity) if spelling else None
    if given is not None:
        if spelling == wanted.spelling:
            return value
        return (value - given.zero) * (given.factor / wanted.factor) + wanted.zero
    known = spellings_for(wanted.quantity)
    units = ", ".join(filter(None, map(show_unit, known)))
    near = next((one for one in known if unit_key(one).lower() == unit_key(name).lower() and one), None)
    if near:
        raise _refusal("unit-case", unit=name, near=show_unit(near))
    other = quantities().get(spelling)
    if other:
        given_as, asked = name_quantity(other), name_quantity(wanted.quantity)
        raise _refusal("unit-other", text=shown, given=given_as, wanted=asked, example=example, units=units)
    raise _refusal("unit-unknown", unit=name, example=example, units=units)


def spelling_of(name: str, quantity: str) -> str:
    """Return the table's spelling of a unit as a person writes it, or the name as it is when there is none.

    Capital letters are let pass where the quantity has one such unit, but never an m for an M: a thousandfold apart.
    """
    if name in AMBIGUOUS or unit_in(name, quantity) is not None:
        return name
    keys = unit_keys()
    key = unit_key(_worded(name))
    if key in keys:
        return keys[key]
    if key in AMBIGUOUS:
        return key
    near = {keys[known] for known in keys if known.lower() == key.lower() and _alike(known, key)}
    fits = [one for one in near if unit_in(one, quantity)]
    return fits[0] if len(fits) == 1 else name


def _alike(known: str, key: str) -> bool:
    """Say whether two spellings that differ in capitals only cannot be a thousandfold apart."""
    return known[:1] == key[:1] or known[:1] not in "mM"


def unit_key(text: str) -> str:
    """Return what a spelling is known by: no spaces, dots and brackets, no raised digits, one stroke."""
    plain = text.translate(_SMALL).replace("Ω", "ohm").replace("°C", "degC").replace("°F", "degF").replace("°", "deg")
    above, stroke, below = _MARKS.sub("", plain).partition("/")
    return ("" if above == "1" and stroke else above) + stroke + below.replace("/", "")


def unit_keys() -> dict[str, str]:
    """Return the spelling of every unit by its key, in the words that are spoken."""
    return _keys_of(tuple(shown_back().items()))


@lru_cache(maxsize=8)
def _keys_of(shown: tuple[tuple[str, str], ...]) -> dict[str, str]:
    forms = [*((spelling, spelling) for spelling in quantities()), *shown]
    return {unit_key(form): spelling for form, spelling in forms if unit_key(form)}


def unit_names() -> dict[str, str]:
    """Return every part of a unit in words, such as litres, by the word: what stands for it in a spelling."""
    return _names_of(tuple((name, text) for name, text in spoken().items() if name.startswith("named.")))


@lru_cache(maxsize=8)
def _names_of(words: tuple[tuple[str, str], ...]) -> dict[str, str]:
    found = {}
    for name, text in words:
        part = name.removeprefix("named.")
        for one in text.split(","):
            found[one.strip()] = {"per": "/", "nothing": ""}.get(part, part)
    return found


def _worded(text: str) -> str:
    """Return a unit with each of its words turned into what stands for it: litres an hour becomes L/h."""
    names = unit_names()
    tokens = re.findall(r"[/·*()]|[^ \-/·*()]+", text)
    made: list[str] = []
    at = 0
    while at < len(tokens):
        for count in range(min(MOST_WORDS, len(tokens) - at), 0, -1):
            word = " ".join(tokens[at : at + count])
            # A capital A is an ampere; "a" alone at either end is no "per".
            inside = at > 0 and at + count < len(tokens)
            known = names.get(word.lower()) if word != "A" and (word != "a" or inside) else None
            if known is not None:
                made.append(known)
                at += count
                break
        else:
            made.append(tokens[at])
            at += 1
    return "".join(made)


def _refusal(word: str, **parts: str) -> InputError:
    return InputError(spoken()[f"typed.{word}"].format_map(parts))


def unit_table() -> dict[str, Any]:
    """Return everything the page needs to read and show quantities: WY.units."""
    units: dict[str, Any] = {}
    for quantity in TABLE:
        for spelling in spellings_for(quantity):
            unit = unit_in(spelling, quantity)
            assert unit is not None
            units.setdefault(quantity, {})[spelling] = [unit.factor, unit.zero]
    return {
        "units": units,
        "quantityOf": quantities(),
        "shown": {spelling: show_unit(spelling) for spelling in quantities()},
        "keys": unit_keys(),
        "named": unit_names(),
        "names": {quantity: name_quantity(quantity) for quantity in TABLE},
        "ambiguous": {spelling: say({}, f"ambiguous.{spelling}") for spelling in AMBIGUOUS},
        "words": {word: spoken()[f"typed.{word}"] for word in (*REFUSALS, "none")},
        "longest": LONGEST_INPUT,
    }
