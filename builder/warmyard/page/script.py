"""The telephone script and "before you call": safety questions, then looks in their best order, then words to read."""

from __future__ import annotations

import math
from dataclasses import dataclass
from html import escape
from typing import Literal

from warmyard.machine.evidence import Reasoner, Situation
from warmyard.machine.model import Check, Machine, Question, Symptom
from warmyard.machine.nearness import must_be_one_of

LEAST_CHANCE = 0.02
"""A look that finds something less often is not asked of a customer."""
MOST_LOOKS = 5
"""A caller is asked no more than this; the rest is for the visit."""
CUSTOMER = 0

End = Literal["emergency", "fixed", "visit", "stop-using", "go-on"]


@dataclass(frozen=True, slots=True)
class Reply:
    """One answer to a look: its id as `--saw` takes it, what is seen, what to do, and how that ends."""

    outcome: str
    sees: str
    say: str
    end: End


@dataclass(frozen=True, slots=True)
class Look:
    """One customer-safe check: what to look at, and what each answer means."""

    check: str
    do: str
    replies: tuple[Reply, ...]
    chance: float
    """How often it finds something, 0 to 1; set for the demo like the weights behind it."""


@dataclass(frozen=True, slots=True)
class Script:
    """What is asked on the telephone for one symptom, in its order; an emergency has no looks."""

    symptom: Symptom
    questions: tuple[Question, ...]
    looks: tuple[Look, ...]
    one_reset: bool
    """True when the heater stands in lockout, so that the rule of the one reset is said."""


def telephone_script(machine: Machine, symptom_id: str) -> Script:
    """Return the script of a symptom; raise InputError when there is no such symptom."""
    must_be_one_of(symptom_id, machine.symptoms, "symptom")
    symptom = machine.symptoms[symptom_id]
    reasoner = Reasoner(machine, symptom_id)
    bars = reasoner.bars(Situation(symptom_id))
    looks = () if symptom.emergency or any(bar.first for bar in bars) else _looks(machine, reasoner)
    return Script(symptom, machine.questions, looks, any(bar.after_start for bar in bars))


def _looks(machine: Machine, reasoner: Reasoner) -> tuple[Look, ...]:
    situation = Situation(reasoner.symptom, level=CUSTOMER)
    barred = bool(reasoner.bars(situation))
    weights = {h: w for h, w in reasoner.weights(situation).items() if _declares(machine, h.cause, reasoner.symptom)}
    found: list[tuple[bool, float, Look]] = []
    for check in machine.checks.values():
        if check.level > CUSTOMER or (barred and reasoner.is_live(check)):
            continue
        states = reasoner.states_of(check)
        telling = (w for h, w in weights.items() if reasoner.expected(h, check) not in {check.normal, *states})
        chance = math.fsum(telling)
        if check.opens or chance >= LEAST_CHANCE:
            found.append((not check.opens, -chance / check.minutes, _look(check, chance)))
    return tuple(look for _, _, look in sorted(found, key=lambda entry: entry[:2])[:MOST_LOOKS])


def _declares(machine: Machine, mode: str, symptom: str) -> bool:
    return symptom in machine.modes[mode].strong or symptom in machine.modes[mode].weak


def _look(check: Check, chance: float) -> Look:
    replies = tuple(
        Reply(outcome, check.outcomes[outcome], answer.say, answer.end) for outcome, answer in check.answers.items()
    )
    return Look(check.id, check.customer or check.ask, replies, chance)


def script_html(machine: Machine, symptom_id: str) -> str:
    """Return the script as HTML that needs no script to be read and prints on one page."""
    script = telephone_script(machine, symptom_id)
    symptom = script.symptom
    parts = [f'<section class="wy-call" data-wy-symptom="{symptom.id}">']
    if symptom.caution:
        parts.append(f'<p class="wy-call-caution"><strong>{escape(symptom.caution)}</strong></p>')
    if symptom.emergency:
        return "".join([*parts, "</section>"])
    parts.append(_heading(machine, "script-safety", "script-safety-why"))
    parts.append('<ol class="wy-call-questions">')
    for question in script.questions:
        end = _word(machine, f"end-{question.end}")
        parts.append(f"<li>{escape(question.ask)}<br><strong>{escape(end)}:</strong> {escape(question.if_yes)}</li>")
    parts.append("</ol>")
    parts.append(_looks_html(machine, script))
    parts.append(_read_out(machine, script))
    return "".join([*parts, "</section>"])


def _looks_html(machine: Machine, script: Script) -> str:
    if not script.looks:
        return f"<p>{escape(_word(machine, 'script-nothing'))}</p>"
    parts = [_heading(machine, "script-look", "script-look-why"), '<ol class="wy-call-looks">']
    for look in script.looks:
        parts.append(f"<li>{escape(look.do)}<ul>")
        for reply in look.replies:
            end = _word(machine, f"end-{reply.end}")
            parts.append(
                f'<li class="wy-call-{reply.end}"><em>{escape(reply.sees)}</em> <strong>{escape(end)}:</strong> '
                f"{escape(reply.say)} <code>{reply.outcome}</code></li>"
            )
        parts.append("</ul></li>")
    parts.append("</ol>")
    reset = "script-one-reset" if script.one_reset else "script-not"
    return "".join(parts) + f"<p>{escape(_word(machine, reset))}</p><p>{escape(_word(machine, 'end-left'))}</p>"


def _read_out(machine: Machine, script: Script) -> str:
    """Return the words to read to the technician, as `warmyard suspects` takes them."""
    rows = [(_word(machine, "script-symptom"), f"<code>{script.symptom.id}</code>")]
    for look in script.looks:
        blank = f"<code>{look.check}=</code><span class='wy-call-blank'></span>"
        rows.append((_word(machine, "script-saw"), blank))
    rows.extend(
        (_word(machine, word), "<span class='wy-call-blank'></span>") for word in ("script-plate", "script-resets")
    )
    lines = "".join(f"<tr><th scope='row'>{escape(name)}</th><td>{cell}</td></tr>" for name, cell in rows)
    typed = " ".join(["warmyard suspects", script.symptom.id, *(f"--saw {look.check}=…" for look in script.looks)])
    return (
        _heading(machine, "script-read-out", "script-read-out-why")
        + f'<table class="wy-call-words">{lines}</table>'
        + f'<p class="wy-call-typed">{escape(_word(machine, "script-technician"))}: <code>{escape(typed)}</code></p>'
    )


def _heading(machine: Machine, word: str, why: str) -> str:
    return f"<h3>{escape(_word(machine, word))}</h3><p>{escape(_word(machine, why))}</p>"


def _word(machine: Machine, word: str) -> str:
    return machine.words.get(word, word)
