"""Walk both editions and the office's pages in Firefox from file://. Run by hand where firefox-esr is there:

    warmyard build --out ../tryout && warmyard demo --records ../records
    warmyard paper --level 2 --person dane --records ../records
    warmyard paper --level 2 --person dane --station build-up-and-move --records ../records
    warmyard ledger status --records ../records
    .venv/bin/python tests/outside/try_firefox.py ../tryout ../records

It speaks Firefox's own Marionette protocol, so that nothing is installed or downloaded for it.
One line for each thing tried; exit code 1 when one is WRONG. Pictures of what was seen go into OUT with `--shots OUT`.
"""

from __future__ import annotations

import argparse
import re
import sys
import time
from pathlib import Path
from typing import Any

from firefox import Firefox


class Tryout:
    """What is tried, and how often it was wrong."""

    def __init__(self, site: Path, records: Path, shots: Path | None) -> None:
        self.site, self.records, self.shots, self.wrong = site, records, shots, 0

    def say(self, what: str, is_right: object) -> None:
        """Print one line about one thing."""
        self.wrong += not is_right
        print(f"{'right' if is_right else 'WRONG'}  {what}", flush=True)

    def quiet(self, fox: Firefox, where: str) -> None:
        """Say whether the console stayed silent, and keep a picture."""
        if self.shots:
            fox.shot(self.shots / f"{re.sub('[^a-z0-9]+', '-', where.lower())}.png")
        found = fox.complaints()
        self.say(f"{where}: console silent" + "".join(f"\n         {one}" for one in found), not found)


FIRST_OF_KIND = """
  return [...document.querySelectorAll(".wy-practice wy-item")].findIndex(box => {
    const list = WY.variants(box.getAttribute("item"));
    return list && list[0].question.kind === arguments[0] && !box.dataset.tried; });
"""
OPEN_BOX = """
  const box = document.querySelectorAll(".wy-practice wy-item")[arguments[0]];
  for (let up = box.closest("details"); up; up = up.parentElement.closest("details")) up.open = true;
  if (box.waiting) box.begin(true);
  box.dataset.tried = "1"; box.id = "tried"; box.scrollIntoView({block: "center"});
  return box.shown.variant;
"""
RESULT = 'return document.querySelector("#tried .wy-mark") !== null;'


def answer(fox: Firefox, box: str, variant: dict[str, Any]) -> None:
    """Answer one problem rightly: clicks for choices and points, keys for numbers, orders and cases."""
    question, key = variant["question"], variant["key"]
    match question["kind"]:
        case "choice":
            for name in key["right"]:
                fox.click(f"{box} input[value='{name}']")
        case "numeric" | "reading":
            fox.type(f"{box} input[type=text]", f"{key['value']:.10g}")
            if key.get("verdict"):
                fox.click(f"{box} input[value='{key['verdict']}']")
        case "ordering":
            for at, step in enumerate(key["reference"]):
                now = fox.run(f'return [...document.querySelectorAll("{box} .wy-step")].map(row => row.dataset.id)')
                if now.index(step) > at:
                    row = f"{box} .wy-step[data-id='{step}'] button:not([disabled])"
                    fox.run("document.querySelector(arguments[0]).focus()", row)
                    fox.press(*["ArrowUp"] * (now.index(step) - at))
        case "picture-point":
            fox.click(f"{box} .wy-marker[data-for='{key['right'][0]}']")
        case "fault-case":
            solve_case(fox, box, key)


def solve_case(fox: Firefox, box: str, key: dict[str, Any]) -> None:
    """Make the checks of the best way through a fault case, and conclude."""
    for step in key["best"]:
        take_step(fox, box, step)
    pick(fox, f"{box} .wy-conclude select", key["cause"])
    if key.get("behind"):
        pick(fox, f"{box} .wy-conclude .wy-field:nth-of-type(2) select", key["behind"])
    if key.get("fit"):
        fox.click(f"{box} .wy-conclude input[value='{key['fit']}']")


def take_step(fox: Firefox, box: str, step: str) -> None:
    """Do one check of a fault case, or move to another state of the machine."""
    if step.startswith("to:"):
        pick(fox, f"{box} .wy-next select", step)
        fox.click(f"{box} .wy-row button")
    else:
        fox.run("document.querySelector(arguments[0]).focus()", f"{box} .wy-next input[value='{step}']")
        fox.press("Space")
        fox.click(f"{box} .wy-next > button")


def pick(fox: Firefox, selector: str, value: str) -> None:
    """Choose from a select box."""
    fox.run(
        """const box = document.querySelector(arguments[0]); box.value = arguments[1];
        box.dispatchEvent(new Event("change", {bubbles: true}));""",
        selector, value,
    )  # fmt: skip


def try_staff(own: Tryout, fox: Firefox) -> None:
    """Try the staff's site: start page, lessons, practice, calls, van, mock paper."""
    staff = own.site / "staff"
    fox.open(staff / "index.html")
    count = len(list(staff.glob("[01][0-9]-*.html")))
    shown = fox.run("return document.querySelector('[data-wy-sum]').innerText")
    rows = fox.run("return document.querySelectorAll('[data-wy-lesson]').length")
    own.say("start page: the course", bool(shown) and rows == count)
    own.quiet(fox, "start page")
    seen: set[str] = set()
    for lesson in sorted(staff.glob("[01][0-9]-*.html")):
        fox.open(lesson)
        for kind in ("choice", "numeric", "reading", "ordering", "picture-point", "fault-case"):
            at = -1 if kind in seen else fox.run(FIRST_OF_KIND, kind)
            if at < 0:
                continue
            seen.add(kind)
            answer(fox, "#tried", fox.run(OPEN_BOX, at))
            fox.click("#tried button[type=submit]")
            fox.wait(RESULT)
            said = fox.run("return document.querySelector('#tried .wy-mark').className")
            own.say(f"{lesson.stem}: {kind} answered, marked right", "wy-mark--good" in said)
            own.quiet(fox, f"{lesson.stem} {kind}")
            fox.run("document.getElementById('tried').removeAttribute('id')")
    own.say(f"every kind of problem was met: {', '.join(sorted(seen))}", len(seen) == 6)
    try_record(own, fox, staff)
    fox.open(staff / "practice.html")
    fox.wait("return document.querySelector('wy-item .wy-ask') !== null")
    own.say(
        "mixed practice: a problem stands there", fox.run("return document.querySelector('.wy-mixed__about').innerText")
    )
    own.quiet(fox, "mixed practice")
    fox.open(staff / "calls.html")
    variant = fox.run("const box = document.querySelector('wy-item'); box.id = 'tried'; return box.shown.variant")
    answer(fox, "#tried", variant)
    fox.click("#tried button[type=submit]")
    fox.wait(RESULT)
    own.say(
        "calls: one is played to its end", fox.run("return document.querySelector('#tried .wy-mark--good') !== null")
    )
    own.quiet(fox, "calls")
    fox.open(staff / "van.html")
    fox.run("document.querySelector('.wy-content select').selectedIndex = 1")
    fox.run("document.querySelector('.wy-content select').dispatchEvent(new Event('change'))")
    own.say(
        "van: the next check is named", fox.run("return document.querySelectorAll('.wy-content button').length > 1")
    )
    own.quiet(fox, "van")
    fox.open(staff / "mock-paper.html")
    fox.click(".wy-mock__paper button")
    own.say("mock paper: begins", fox.wait("return document.querySelector('.wy-mock__time') !== null"))
    for _ in range(2):  # the first press points out what is open
        fox.run(
            """document.querySelector(".wy-mock__time").parentElement
            .querySelector(":scope > .wy-actions button").click();"""
        )
    own.say("mock paper: handed in, scored", fox.wait("return document.querySelector('.wy-score') !== null"))
    own.quiet(fox, "mock paper")
    fox.open(staff / "index.html")
    fox.run("document.querySelector('[data-wy-search]').click()")
    fox.wait("return document.querySelector('dialog.wy-search') !== null")
    fox.type("input.wy-search__input", "nozzle")
    own.say("search: finds a word", fox.wait("return document.querySelector('.wy-search__link') !== null"))
    own.quiet(fox, "search")


def try_record(own: Tryout, fox: Firefox, staff: Path) -> None:
    """Score a lesson, load it again, look from another page: is the record kept?"""
    fox.open(staff / "01-know-the-heater.html")
    fox.run(
        """const foot = document.querySelector(".wy-assessment-foot");
        for (let up = foot.closest("details"); up; up = up.parentElement.closest("details")) up.open = true;"""
    )
    fox.click(".wy-assessment-foot button")
    fox.click(".wy-assessment-foot button")
    own.say("assessment: scored", fox.wait("return document.querySelector('.wy-score') !== null"))
    fox.ask("WebDriver:Refresh")
    own.say("record: kept through a reload", fox.run("return WY.record.load().assessments.length") == 1)
    fox.open(staff / "02-what-can-kill.html")
    own.say("record: seen by another lesson", fox.run("return WY.record.load().assessments.length") == 1)
    fox.open(staff / "index.html")
    said = fox.run("return document.querySelector('[data-wy-sum]').innerText")
    own.say(f"record: seen by the start page ({said})", "left" in said)
    fox.run("WY.record.save()")
    found = [file for _ in range(50) if not time.sleep(0.1) for file in fox.downloads.glob("*.json")]
    own.say("record: saved to a file", bool(found))
    own.quiet(fox, "record")


def try_customer(own: Tryout, program: str) -> None:
    """Try the customer's site and the pocket file without scripts."""
    fox = Firefox(program, scripts=False)
    customer = own.site / "customer"
    doors = {}
    for name in ("index.html", "pocket.html"):
        fox.open(customer / name)
        doors[name] = fox.ask("WebDriver:FindElements", {"using": "css selector", "value": "h2 a"})
        if own.shots:
            fox.shot(own.shots / f"no-scripts-{name}.png")
    own.say("customer, scripts off: three doors", len(doors["index.html"]) >= 3)
    fox.open(customer / "index.html")
    fox.click(".wy-door h2 a")
    text = fox.ask("WebDriver:GetPageSource")["value"]
    own.say("customer, scripts off: the first door leads to getting out", "everybody out" in text.lower())
    fox.open(customer / "before-you-call.html")
    fox.click("summary")
    shown = fox.ask("WebDriver:IsElementDisplayed", fox.find("details[open] li"))["value"]
    own.say("customer, scripts off: a fold opens", shown)
    fox.open(customer / "pocket.html")
    fox.click("main a[href^='#']")
    where = fox.ask("WebDriver:GetCurrentURL")["value"]
    own.say("pocket file, scripts off: a door leads on", "#" in where)
    fox.close()


ONE_ANSWER = """
  const all = [...document.querySelectorAll(
    ".wy-question :is(input[type=radio], input[type=checkbox], input[type=text]), .wy-step button")];
  const one = all.find(box => !box.disabled); one.focus(); return one.type;
"""
ANSWERED = "return document.getElementById('wy-answered').textContent.startsWith('1 of')"


def try_papers(own: Tryout, fox: Firefox) -> None:
    """Sit every paper of the person to whom the newest one was issued."""
    newest_first = sorted((own.records / "papers").glob("*.html"), key=lambda file: -file.stat().st_mtime)
    for paper in newest_first[:3]:
        try_paper(own, fox, paper)


def try_paper(own: Tryout, fox: Firefox, paper: Path) -> None:
    """Sit a paper: phrase, an answer by keyboard, a crash, hand in."""
    phrase = re.search(r"Phrase +(\S+)", paper.with_suffix(".slip.txt").read_text("utf-8"))
    assert phrase
    for again in (False, True):
        fox.open(paper)
        fox.type("#wy-phrase", phrase.group(1).lower())
        fox.press("Enter")
        opened = fox.wait("return document.getElementById('wy-heading') !== null")
        own.say("paper: opened again after a crash" if again else "paper: opened with its phrase", opened)
        if again:
            break
        kind = fox.run(ONE_ANSWER)
        fox.press({"radio": "Space", "checkbox": "Space", "button": "ArrowDown"}.get(kind, "7"))
        if fox.run("return document.querySelector('.wy-next') !== null"):
            fox.click(".wy-next > button")
        fox.wait(ANSWERED)
        time.sleep(0.5)
    own.say("paper: the answer was kept", fox.wait(ANSWERED))
    own.quiet(fox, f"{paper.stem}")
    for _ in range(2):
        fox.run("[...document.querySelectorAll('.wy-actions button')].at(-1).click()")
    own.say("paper: handed in, a code shown", fox.wait("return document.getElementById('wy-code') !== null"))
    saved = fox.downloads / f"{paper.stem}.sitting.json"
    own.say("paper: its file was saved", any(saved.exists() or time.sleep(0.1) for _ in range(50)))
    own.quiet(fox, f"{paper.stem} handed in")


def try_office(own: Tryout, fox: Firefox) -> None:
    """Fill the observer's form, and look at the verify page."""
    for form in list((own.records / "forms").glob("*.html"))[:1]:
        fox.open(form)
        fox.run("document.querySelectorAll('.wy-point input[value=pass]').forEach(one => one.click())")
        for name, text in {"name": "Eve Example", "person": "eve", "minutes": "18"}.items():
            fox.type(f"input[name={name}]", text)
        fox.ask("WebDriver:Refresh")
        kept = fox.run("return document.querySelector('input[name=name]').value")
        own.say("observer's form: kept through a reload", kept == "Eve Example")
        fox.run("[...document.querySelectorAll('.wy-actions button')].at(-1).click()")
        own.say("observer's form: signed, a code shown", fox.wait("return document.querySelector('.wy-code') !== null"))
        own.quiet(fox, "observer's form")
    fox.open(own.records / "status" / "verify.html")
    own.say("verify page: asks for a card", fox.run("return document.querySelector('#wy-token') !== null"))
    fox.type("#wy-token", "hello")
    fox.click("form button")
    own.say("verify page: refuses nonsense", fox.wait("return document.querySelector('.wy-verdict-bad') !== null"))
    own.quiet(fox, "verify page")


def main() -> int:
    """Try everything; return 1 when something was wrong."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("site", type=Path)
    asked.add_argument("records", type=Path)
    asked.add_argument("--shots", type=Path)
    asked.add_argument("--firefox", default="firefox-esr")
    given = asked.parse_args()
    own = Tryout(given.site, given.records, given.shots)
    if given.shots:
        given.shots.mkdir(parents=True, exist_ok=True)
    fox = Firefox(given.firefox)
    fox.complaints()
    for tried in (try_staff, try_papers, try_office):
        tried(own, fox)
    fox.close()
    try_customer(own, given.firefox)
    return 1 if own.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
