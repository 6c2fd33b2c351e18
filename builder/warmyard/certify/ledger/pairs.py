"""The public half of a key, as entries bring it: whether it may come in, and how it is taken in."""

from __future__ import annotations

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import KeyPair
from warmyard.certify.ledger.refusal import refuse
from warmyard.certify.ledger.state import HeldKey, State


def verify_pair(state: State, pair: KeyPair) -> None:
    """Raise VerificationError unless a public half is sound, fits its id, and is new."""
    public = envelope.decode_base64url(pair.public)
    if envelope.is_weak(public):
        refuse("a public key is no key of anybody")
    if envelope.key_id(public) != pair.id:
        refuse("a key's id does not fit its public half")
    if pair.id in state.keys:
        refuse("a key is entered twice")


def pin(state: State, number: int, pair: KeyPair, use: str, owner: str = "", signed_with: str = "") -> None:
    """Take a key in that holds from an entry on."""
    public = envelope.decode_base64url(pair.public)
    state.keys[pair.id] = HeldKey(pair.id, public, use, owner, number, added_with=signed_with)
