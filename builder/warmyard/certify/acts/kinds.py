"""The files that `warmyard enter` takes: one schema for each kind."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import msgspec

from warmyard.certify.acts.appeal import AppealFile, enter_appeal
from warmyard.certify.acts.correction import EraseFile, VoidFile, enter_erase, enter_void
from warmyard.certify.acts.desk import Desk, Entered
from warmyard.certify.acts.evidence import EvidenceFile
from warmyard.certify.acts.interest import InterestFile, enter_interest
from warmyard.certify.acts.key import KeyFile
from warmyard.certify.acts.notice import AcknowledgementFile, NoticeFile, enter_acknowledgement
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.acts.waiver import WaiverFile

FILES: Mapping[str, type[msgspec.Struct]] = {
    "person": PersonFile,
    "key": KeyFile,
    "evidence": EvidenceFile,
    "interest": InterestFile,
    "waiver": WaiverFile,
    "appeal": AppealFile,
    "notice": NoticeFile,
    "acknowledgement": AcknowledgementFile,
    "void": VoidFile,
    "erase": EraseFile,
}
"""Kinds whose files have a schema of their own; an observation is a form's file, a scheme a scheme."""


ENTER: Mapping[str, Callable[[Desk, Any], Entered]] = {
    "person": enter_person,
    "interest": enter_interest,
    "appeal": enter_appeal,
    "acknowledgement": enter_acknowledgement,
    "void": enter_void,
    "erase": enter_erase,
}
"""Kinds that are entered from their file alone; the others need a key, a text or a station besides."""


def schema_words(shape: type[msgspec.Struct]) -> Sequence[str]:
    """Return the fields that a file has, the needed ones first."""
    fields = msgspec.structs.fields(shape)
    return [field.name for field in fields if field.required] + [
        f"[{field.name}]" for field in fields if not field.required
    ]
