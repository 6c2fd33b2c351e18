"""A scheme adopted: from here on decisions, papers and clearance follow it."""

from __future__ import annotations

from warmyard.certify.acts.desk import Desk, Entered, append
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import SchemeAdopted
from warmyard.certify.ledger.schemes import scheme_bytes, scheme_path
from warmyard.course.scheme_model import Scheme
from warmyard.errors import InputError
from warmyard.words.sentence import sentence


def enter_scheme(desk: Desk, scheme: Scheme) -> Entered:
    """Adopt a scheme from now on; its text is kept beside the ledger."""
    data = scheme_bytes(scheme)
    digest = envelope.digest(data)
    held = desk.state.scheme_now()
    if held is not None and scheme_bytes(held) == data:
        raise InputError("this very scheme is adopted already")
    body = SchemeAdopted(scheme=scheme.id, version=scheme.version, digest=digest)
    path = scheme_path(desk.records, digest)
    entry = append(desk, "scheme", "", body, files={} if path.exists() else {path: data})
    return Entered(entry, sentence("entered.scheme", scheme=scheme.id, version=scheme.version))
