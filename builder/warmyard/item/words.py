"""The sentences of marking. Python and the page say the same, so they stand here once and are handed to the browser.

They follow the dotted ids of course/words.yaml, and an entry there of the same id takes the place of one here.
"""

from __future__ import annotations

from collections.abc import Mapping

WORDS: dict[str, str] = {
    "marking.right_why": "Right. {why}",
    "marking.choose": "Nothing is chosen yet. Choose an answer, then check it.",
    "marking.unknown_answer": "That answer is not one of those offered. Choose one of them.",
    "marking.missed": "Not all of it. One is missing: “{text}”. {why}",
    "marking.blank": "The box is empty. Write a number and its unit.",
    "marking.thousands": "Write nothing between thousands, such as {joined}. For a decimal comma, write a point.",
    "marking.number_right": "Right: {shown}.",
    "marking.number_wrong": "Not right. The answer is {shown}. Compare your way with the steps.",
    "marking.number_slip": "{say} The answer is {shown}.",
    "marking.number_carried": "{say} The rest was done right, so only this step is charged. The answer is {shown}.",
    "marking.verdict_missing": "The number is there; now choose what it means.",
    "marking.verdict_wrong": "The number is right ({shown}), but not what it means: “{text}”. {why}",
    "marking.order_short": "Move the steps into an order first.",
    "marking.order_right": "Right. This order breaks no rule.",
    "marking.order_wrong": "“{first}” must come before “{then}”. {why}",
    "marking.order_more": "{count} more rules are broken as well.",
    "marking.order_fails": "This fails at once: “{then}” was done before “{first}”. {why}",
    "marking.point_right": "Right. This is: {text}.",
    "marking.point_wrong": "This is: {text}. {why}",
    "reading.pointer": (
        "The pointer stands {divisions} small divisions past the figure {figure} of the {unit} scale; "
        "from one figure to the next there are {between} small divisions."
    ),
    "reading.levels": (
        "{side} each stands {divisions} small divisions past the figure {figure}, counted from zero; "
        "from one figure to the next there are {between} small divisions."
    ),
    "reading.wet": (
        "It is wet up to {divisions} small divisions past the figure {figure} of the {unit} scale; "
        "from one figure to the next there are {between} small divisions."
    ),
    "reading.switch": "The range switch stands at {switch}.",
    "reading.display": (
        "The digits from left to right are {digits}; {behind} of them stand behind the point. "
        "The range switch stands at {switch}."
    ),
    "reading.smoke": (
        "Each patch sends back {shade} percent of the light less than the one before, and clean paper sends back all. "
        "The spot sends back {percent} percent."
    ),
    "reading.blades": (
        "The thinnest blade is {first}, and each further one is {step} thicker. "
        "Of the blades, {count} pass between the tips; the next is stopped at them."
    ),
    "reading.strip": (
        "From top to bottom the lines are named: {labels}. The numbers beside them, in the same order: {numbers}. "
        "Their units, in the same order: {units}."
    ),
    "reading.told": "{how} Here: {shown}.",
    "reading.left_low": "The left level stands below zero and the right one above it;",
    "reading.left_high": "The left level stands above zero and the right one below it;",
    "reading.steps": "A figure stands at every {figures}; the smallest division is {division}. It stands at {shown}.",
    "question.answer": "Your answer in {unit}:",
    "question.answer_plain": "Your answer:",
    "question.one": "1 problem",
    "question.several": "{count} problems",
    "question.open_set": "Open: {count}, about {minutes} minutes",
    "question.begin_set": "Begin: {count}, about {minutes} minutes, scored together",
    "question.needs_scripts": "To answer here, switch scripts on in your browser. On paper, write beside the question.",
    "case.opens": "Every call opens with this question.",
    "case.moves": "Get to “{name}” first: {minutes} minutes.",
    "case.narrows": "It tells most for its minutes. Now most likely: {name}, {percent} %.",
    "marking.case_no_cause": "Name the cause first. Take more checks if you are not sure.",
    "marking.case_path": "That is not a way through this case. Start it again.",
    "marking.case_early": "“{check}” was done before it was safe: it needs “{needs}”. That ends the case.",
    "marking.case_forbidden": "“{check}” must not be done in this case. {why} That ends the case.",
    "marking.case_barred": "“{check}” starts the machine, and no start is allowed yet. {why} That ends the case.",
    "marking.case_level": "“{check}” is work for level {level}. Stop and hand over. That ends the case.",
    "marking.case_right": "Found: {cause}. {minutes} minutes; the best way takes {best}.",
    "marking.case_wrong": "The cause is: {cause}. You named another.",
    "marking.case_behind": "Behind it lies: {behind}. Find that too, or the fault comes back.",
    "marking.case_fit": "It is fit to return when: {fit}.",
    "marking.case_guess": "You named it without one check that shows it. That is a guess, not a finding.",
    "marking.case_parts": "Parts were used up without need: {parts}.",
}


def say(words: Mapping[str, str], word: str, **parts: str) -> str:
    """Return a sentence with its parts put in, without the space that an empty part leaves."""
    return " ".join((words.get(word) or WORDS[word]).format_map(parts).split())


def bare(text: str) -> str:
    """Return a text without its full stop, to stand inside quotation marks."""
    return text.strip().removesuffix(".")


def sentence(text: str) -> str:
    """Return a reason as a sentence: first letter large, a full stop at the end; nothing stays nothing."""
    clean = text.strip()
    if not clean:
        return ""
    return clean[:1].upper() + clean[1:] + ("" if clean[-1] in ".!?" else ".")
