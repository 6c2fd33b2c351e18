"""300 random draws of every formula in a real Chromium, from a file: the same values as Python within 1e-12.

python builder/start.py bench browser_formulas [DRAWS]
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
import time
from pathlib import Path

from formula_page import differing_draws, write_formula_page
from playwright.sync_api import sync_playwright

from warmyard.formula.register import NO_COUNTRY, load_register

ROOT = Path(__file__).resolve().parents[2]
DRAWS = 300


def main(draws_each: int = DRAWS) -> int:
    """Print how many draws were compared in which time; return 1 when one differs, 2 without a browser."""
    browser = os.environ.get("WARMYARD_BROWSER") or shutil.which("chromium") or shutil.which("google-chrome")
    if browser is None:
        print("browser-formulas: no browser was found; set WARMYARD_BROWSER to one", file=sys.stderr)
        return 2
    register, _ = load_register(ROOT / "course" / "formulas", ROOT, NO_COUNTRY)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as tool:
        file = Path(folder) / "page.html"
        write_formula_page(register, file)
        page = tool.chromium.launch(executable_path=browser, args=["--no-sandbox"]).new_page()
        page.goto(file.as_uri())
        began = time.perf_counter()
        differing = differing_draws(register, page, draws_each, seed=7)
    count = draws_each * len(register.formulas)
    print(f"browser-formulas  {time.perf_counter() - began:.1f}  s for {count} draws, {len(differing)} differ")
    for line in differing[:10]:
        print(line, file=sys.stderr)
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:2])))
