"""Chains of signals such as "motor and not trips", and traces such as "ever flame and never smoke"."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True, slots=True)
class SignalTerm:
    """One link of a chain: a signal that must hold, or must not."""

    signal: str
    holds: bool


@dataclass(frozen=True, slots=True)
class TraceLink:
    """One link of a trace: how (ever, never, reached, not-reached, ended), what, and in which state."""

    how: str
    what: str
    state: str = ""


TRACE_WORDS = ("ever", "never", "reached", "not-reached", "ended")


@lru_cache(maxsize=4096)
def read_chain(text: str) -> tuple[SignalTerm, ...]:
    """Return a chain as terms; raise ValueError with what is wrong."""
    return tuple(_read_term(link.split(), text) for link in text.split(" and "))


def _read_term(words: list[str], text: str) -> SignalTerm:
    if len(words) == 1 and words[0] != "not":
        return SignalTerm(words[0], True)
    if len(words) == 2 and words[0] == "not":
        return SignalTerm(words[1], False)
    raise ValueError(f"{text!r} is not a chain like 'motor and not trips'")


@lru_cache(maxsize=4096)
def read_trace(text: str) -> tuple[TraceLink, ...]:
    """Return a trace as its links; raise ValueError with what is wrong."""
    found = []
    for link in text.split(" and "):
        words = link.split()
        in_state = len(words) == 4 and words[0] in ("ever", "never") and words[2] == "in"
        if not (words and words[0] in TRACE_WORDS and (len(words) == 2 or in_state)):
            raise ValueError(f"{text!r} is not a chain like 'ever flame and not-reached run'")
        found.append(TraceLink(words[0], words[1], words[3] if in_state else ""))
    return tuple(found)


def any_holds(chains: Iterable[Iterable[SignalTerm]], value: Mapping[str, bool]) -> bool:
    """Return whether every term of one of the chains holds; asked half a million times in a proof."""
    for chain in chains:
        for term in chain:
            if value[term.signal] != term.holds:
                break
        else:
            return True
    return False
