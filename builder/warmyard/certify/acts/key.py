"""What became of a key: added, retired, replaced, or reported stolen."""

from __future__ import annotations

from typing import Literal

import msgspec

from warmyard.certify.acts.desk import Desk, Entered, append
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Key
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.ids import PersonId
from warmyard.certify.ledger.people import known_person
from warmyard.certify.ledger.state import State
from warmyard.errors import InputError
from warmyard.formats.entries import Count, KeyId, Public
from warmyard.words.sentence import sentence


class KeyFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A key added, retired, replaced or stolen. Without `public` a new key is made and kept in keys/."""

    action: Literal["add", "retire", "replace", "stolen"]
    person: PersonId = ""
    use: Literal["person", "office", "recovery"] = "person"
    key: KeyId = ""
    """Which key; needed only when the person has several."""
    public: Public = ""
    since_entry: Count = 0


def enter_key(desk: Desk, file: KeyFile, made: SigningKey | None) -> Entered:
    """Enter what became of a key; `made` is the new key where this machine made it."""
    state = desk.state
    person = known_person(state, file.person) if file.use == "person" else ""
    if file.action == "stolen" and not 1 <= file.since_entry <= state.count:
        raise InputError("write since_entry: the first entry that the thief may have signed, 1 when you do not know")
    if file.use != "person" and file.person:
        raise InputError(f"the {file.use} key belongs to nobody; leave person out")
    old = "" if file.action == "add" else _old_key(state, file, person)
    fresh = file.action in ("add", "replace")
    if fresh and not (file.public or made):
        raise InputError("a new key has a public half")
    public = file.public or (envelope.encode_base64url(made.public) if made else "")
    body = Key(
        action=file.action, use=file.use,
        key=envelope.key_id(envelope.decode_base64url(public)) if fresh else old,
        public=public if fresh else "", replaces=old if file.action == "replace" else "", since_entry=file.since_entry,
    )  # fmt: skip
    entry = append(desk, "key", person, body)
    word = "entered.key" if person else "entered.key_of_office"
    said = sentence(word, key=body.key, owner=person or file.use, action=file.action)
    if file.action == "stolen" or file.since_entry:
        entries = ", ".join(map(str, entries_to_confirm(state))) or sentence("entered.no_entries")
        said = sentence("entered.key_confirm", said=said, entries=entries)
    return Entered(entry, said)


def _old_key(state: State, file: KeyFile, person: str) -> str:
    held = [key.id for key in state.keys.values() if (key.use, key.owner, key.until_entry) == (file.use, person, 0)]
    if file.key:
        if file.key not in held:
            raise InputError(f"{file.key} is not a key that holds; those are {', '.join(held) or 'none'}")
        return file.key
    if len(held) != 1:
        raise InputError(f"name the key; those that hold are {', '.join(held) or 'none'}")
    return held[0]


def entries_to_confirm(state: State) -> list[int]:
    """Return every entry that was signed with a stolen key after the theft, or with a key added by such a one."""
    return [number for number, fact in sorted(state.by_number.items()) if state.may_be_forged(fact.entry)]
