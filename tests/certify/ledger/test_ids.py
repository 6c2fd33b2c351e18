"""People are found in an entry by the type of a field, whatever it is called."""

from __future__ import annotations

from typing import Annotated

import msgspec
import pytest

from warmyard.certify.ledger.bodies import KINDS, Body, Countersign, Decision, Observation, Waiver
from warmyard.certify.ledger.ids import PaperId, PersonId, people_named, person_fields


class _Letter(Body, frozen=True, kw_only=True):
    to: PersonId
    copies: Annotated[tuple[PersonId, ...], msgspec.Meta(max_length=5)] = ()
    about: PaperId = ""
    read_by: PersonId | None = None


def test_a_new_field_needs_no_list_of_names() -> None:
    """A kind that nobody has told the admission of is looked through all the same, lists and limits included."""
    assert person_fields(_Letter) == (("to",), ("copies",), ("read_by",))
    assert list(people_named(_Letter(to="ann", copies=("bob", "cleo"), about="paper-x"))) == ["ann", "bob", "cleo"]


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        (Observation, {("observers",)}),
        (Waiver, {("decider",), ("observers",), ("countersign", "person")}),
        (Decision, {("decider",), ("trainers",), ("examiners",)}),
    ],
)
def test_people_inside_are_found(kind: type[Body], fields: set[tuple[str, ...]]) -> None:
    """In lists, and in the second signature of a waiver."""
    assert set(person_fields(kind)) == fields


def test_the_second_signature_names_somebody() -> None:
    """Who countersigned is somebody too: a name that nobody entered is refused."""
    second = Countersign(person="odile", key="0" * 20, signature="A" * 86)
    body = Waiver(waiver="w-x", level=2, decider="ines", conflicts=("trained",), side="a" * 64, countersign=second)
    assert list(people_named(body)) == ["ines", "odile"]


def test_an_id_of_something_else_is_nobody() -> None:
    """Papers, forms, waivers, certificates and notices have ids of the same shape and name no person."""
    named = {kind: {way[0] for way in person_fields(body)} for kind, body in KINDS.items()}
    assert named["paper"] == {"invigilator", "approved_by"}
    assert named["certificate"] == set()
    assert named["acknowledgement"] == set()
