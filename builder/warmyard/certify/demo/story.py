"""A records folder of invented people, each cleared or not for another reason, made by the functions that the office
uses. Everything here is set for the demo: the names, the days, and the phrase files beside the keys."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from warmyard.certify.acts.certificate import publish_status
from warmyard.certify.acts.key import KeyFile, enter_key
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.acts.scheme import enter_scheme
from warmyard.certify.demo.cast import STAFF, opened_days_ago, stories
from warmyard.certify.demo.steps import Stage, make_key
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.state import State
from warmyard.course.workspace import Workspace


def make_demo(records: Path, workspace: Workspace, now: datetime) -> State:
    """Fill an empty folder with the demo's ledger, people, papers, sittings and decisions; return what it says.

    Days are counted back from `now`, so that each person is cleared or not for the same reason whenever it is made.
    """
    # Early in the day, so that the last step is not in the future.
    today = now.replace(hour=0, minute=0, second=0)
    begun = opened_days_ago(workspace.scheme)
    keys = {name: make_key(records, name) for name in ("office", "recovery")}
    ledger = Ledger.create(records, keys["office"], keys["recovery"], today - timedelta(days=begun))
    stage = Stage(records, ledger, workspace, today, keys)
    enter_scheme(stage.desk(begun), workspace.scheme)
    for person, name, roles in STAFF:
        enter_person(stage.desk(begun), PersonFile(person=person, name=name, roles=roles))
    # The first key of Ines is stolen in one of the stories; the one that holds has her name.
    for person, name in (("ines", "ines-first"), ("odile", "odile")):
        keys[person] = make_key(records, name)
        enter_key(stage.desk(begun), KeyFile(action="add", person=person), keys[person])
    for days_ago, step in sorted(stories(workspace.scheme), key=lambda step: -step[0]):
        step(stage, stage.desk(days_ago))
    publish_status(records, stage.state, workspace.company, workspace.words, now, keys["office"])
    return ledger.verify()
