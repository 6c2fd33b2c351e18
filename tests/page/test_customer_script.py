"""Every way through the customer's script, to its end: no way starts a heater that a stop rule keeps off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import msgspec
import pytest

from warmyard.course.phrases import sentences_of
from warmyard.course.stop_hearing import Listener
from warmyard.course.values import plain_text
from warmyard.course.workspace import Workspace
from warmyard.page.call_script import Look, Reply, Script, telephone_script

STARTS = ("restart", "reset", "reset-again", "push-back", "run-on")
"""Acts that set a heater going or let it run."""
STOPS = ("visit", "stop-using")


@dataclass(frozen=True)
class Way:
    """One way through a script: what was asked and answered, in its order, and how it ends."""

    steps: tuple[tuple[Look, Reply], ...]
    end: str


def ways(script: Script) -> Iterator[Way]:
    """Yield every way: an answer that does not go on ends it; who goes on to the last look is told to leave it off."""

    def walk(at: int, steps: tuple[tuple[Look, Reply], ...]) -> Iterator[Way]:
        if at == len(script.looks):
            yield Way(steps, "left")
            return
        for reply in script.looks[at].replies:
            here = (*steps, (script.looks[at], reply))
            if reply.end == "go-on":
                yield from walk(at + 1, here)
            else:
                yield Way(here, reply.end)

    yield from walk(0, ())


class Walker:
    """Walks the scripts of a workspace and says what is wrong with a way."""

    def __init__(self, workspace: Workspace) -> None:
        self.workspace = workspace
        self.listener = Listener(workspace.stops)
        self.kept_off = {
            name
            for rule in workspace.stops.rules
            if rule.restart_level
            for name in (*rule.governs.outcomes, *rule.governs.symptoms)
        }

    def starts(self, text: str) -> bool:
        """Say whether a text tells a customer to start it, to press something or to let it run."""
        said = plain_text(self.workspace.shelf, text, "customer")
        acts = (act for sentence in sentences_of(said) for act in self.listener.acts_in(sentence, "customer"))
        return any(does and found.name in STARTS and said.strip() != "Go on." for found, does in acts)

    def stops_here(self, look: Look, reply: Reply) -> bool:
        """Say whether an answer shows what a rule keeps off, by its id or by its words."""
        if f"{look.check}.{reply.outcome}" in self.kept_off:
            return True
        heard = (name for sentence in sentences_of(reply.sees) for name in self.listener.situations(sentence))
        return any(self.listener.rules[name].restart_level for name in heard)

    def wrong(self, symptom: str) -> Iterator[str]:
        """Yield what is wrong with any way through the script of a symptom."""
        script = telephone_script(self.workspace.machine, symptom)
        for way in ways(script):
            kept_off = symptom in self.kept_off
            turned_up = False
            for number, (look, reply) in enumerate(way.steps):
                if kept_off and self.starts(look.do):
                    yield f"{symptom}: {look.check} asks to start what is kept off"
                turned_up = turned_up or self.starts(look.do)
                if self.stops_here(look, reply):
                    kept_off = True
                    if number + 1 < len(way.steps) or way.end not in STOPS:
                        yield f"{symptom}: {look.check}.{reply.outcome} goes on or ends in {way.end}"
                    if self.starts(reply.say):
                        yield f"{symptom}: {look.check}.{reply.outcome} tells to start it"
                if reply.end in STOPS and turned_up and not self.turns_down(reply.say):
                    yield f"{symptom}: the dial stays up after {look.check}.{reply.outcome}"
            if way.end == "fixed" and kept_off:
                yield f"{symptom}: fixed, and a rule keeps it off"
            if way.end == "fixed" and "watch" not in way.steps[-1][1].say.lower():
                yield f"{symptom}: fixed, and nobody watches it"

    def turns_down(self, text: str) -> bool:
        """Say whether a text turns the heater down or off."""
        said = plain_text(self.workspace.shelf, text, "customer").lower()
        return any(word in said for word in ("dial right down", "dial down", "off", "turn it low"))


def every_fault(workspace: Workspace) -> list[str]:
    """Return what is wrong with all ways of all symptoms."""
    walker = Walker(workspace)
    return sorted({fault for symptom in workspace.machine.symptoms for fault in walker.wrong(symptom)})


def test_no_way_starts_what_a_rule_keeps_off(whole_workspace: Workspace) -> None:
    """Moved, hot, unwatched, just cleared, without power, tripped: every way of every script is walked to its end."""
    assert every_fault(whole_workspace) == []


def test_every_answer_is_on_some_way(whole_workspace: Workspace) -> None:
    """The walk reaches each answer of each look, and there are hundreds of ways."""
    count = 0
    for symptom in whole_workspace.machine.symptoms:
        script = telephone_script(whole_workspace.machine, symptom)
        walked = list(ways(script))
        count += len(walked)
        seen = {(look.check, reply.outcome) for way in walked for look, reply in way.steps}
        assert seen == {(look.check, reply.outcome) for look in script.looks for reply in look.replies}
    assert count > 300


def test_the_safety_questions_come_first_and_let_nobody_go_on(whole_workspace: Workspace) -> None:
    """A heater that was moved, banged, leaked, tripped, was pressed or lost its power never reaches the looks."""
    walker = Walker(whole_workspace)
    asked = {question.id for question in whole_workspace.machine.questions}
    governed = {name for rule in whole_workspace.stops.rules for name in rule.governs.questions}
    assert asked == governed
    assert {"was-moved", "power-was-off", "switch-gone", "bang-or-thump", "fuel-seen-or-smelt"} <= asked
    for question in whole_workspace.machine.questions:
        assert question.end in ("emergency", "stop-using")
        assert not walker.starts(question.if_yes)


@pytest.mark.parametrize("end", ["fixed", "go-on"])
def test_the_walk_finds_a_way_that_restarts(whole_workspace: Workspace, end: str) -> None:
    """Any governed answer that ends in fixed or goes on is found where a script asks for it."""
    machine = whole_workspace.machine
    asked = {
        f"{look.check}.{reply.outcome}"
        for symptom in machine.symptoms
        for look in telephone_script(machine, symptom).looks
        for reply in look.replies
    }
    governed = sorted(Walker(whole_workspace).kept_off & asked)
    assert len(governed) >= 9
    checks = dict(machine.checks)
    for name in governed:
        check, _, outcome = name.partition(".")
        answers = {**checks[check].answers}
        answers[outcome] = msgspec.structs.replace(answers[outcome], end=end)
        checks[check] = msgspec.structs.replace(checks[check], answers=answers)
    faults = every_fault(replace(whole_workspace, machine=msgspec.structs.replace(machine, checks=checks)))
    for name in governed:
        assert any(name in fault for fault in faults), name
