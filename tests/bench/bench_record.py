"""How long one answer takes to write, and the record to be read, in Chromium at a quarter of this machine's speed.

python builder/start.py bench record [ANSWERS]
"""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

from warmyard.page.javascript import runtime_text
from warmyard.page.payload import RECORD_SCRIPTS

SCRIPTS = ("wy.js", *RECORD_SCRIPTS)
ANSWERS = 5000
SLOWER = 4
SKILLS = 110
FILL = """(count) => {
  const record = WY.recordFormat.blank();
  for (let at = 0; at < count; at += 1) {
    record.answers.push(WY.recordFormat.answer({
      day: new Date(Date.UTC(2026, 0, 1 + at / 50)).toISOString().slice(0, 10), at: 1767225600000 + at * 60000,
      item: "an-item-of-the-usual-length-" + (at % 600), skill: "a-skill-of-usual-length-" + (at % SKILLS),
      step: "know-the-heater#two-paths", right: at % 4 > 0, share: 1, seconds: 41, tries: 1, hints: 0}));
  }
  WY.record.keep(record);
  return localStorage.getItem("wy:bench:1:record").length;
}"""
TIMED = """(act) => {
  const times = [];
  for (let n = 0; n < 9; n += 1) { const began = performance.now(); act(n); times.push(performance.now() - began); }
  times.sort((one, other) => one - other);
  return [times[4], times[8]];
}"""
EVERY = """const record = Object.assign({}, WY.record.load());
  for (let skill = 0; skill < SKILLS; skill += 1) {
    WY.recall.ofSkill(record, "a-skill-of-usual-length-" + skill, "2026-05-01");
  }""".replace("SKILLS", str(SKILLS))
COLD = "WY.store.set('record', WY.store.get('record') + ' '); WY.record.load()"
ANSWER = "WY.record.answered({item: 'x' + n, skill: 'a-skill-of-usual-length-1', right: true, seconds: 3})"


def main(answers: int = ANSWERS) -> int:
    """Print the characters kept and, of each thing a page does with the record, the middle and slowest ms of nine."""
    with sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path=os.environ.get("WARMYARD_CHROMIUM") or shutil.which("chromium"), args=["--no-sandbox"]
        )
        page = browser.new_page()
        page.goto((Path(__file__).parent / "bench_record.py").as_uri())
        scripts = "".join(map(runtime_text, SCRIPTS))
        page.evaluate(f"() => {{ WY = {{site: {{id: 'bench', version: '1'}}}}; {scripts} }}")
        kept = page.evaluate(FILL.replace("SKILLS", str(SKILLS)), answers)
        slow = page.context.new_cdp_session(page)
        slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        for name, act in {
            "write one answer": ANSWER,
            "note a step": "WY.record.sawStep('L' + n, 'a')",
            "find it again in a page": "WY.record.load()",
            "read it from the storage": COLD,
            "work out the recall of every skill": EVERY,
        }.items():
            middle, most = page.evaluate(f"({TIMED})((n) => {{ {act} }})")
            print(
                f"record-{answers}  {middle:.1f}  ms to {name} at {SLOWER}x slow-down, the slowest of nine {most:.1f}"
            )
        print(f"record-{answers}  {kept / 1000:.0f}  thousand characters kept")
        browser.close()
    return 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:2])))
