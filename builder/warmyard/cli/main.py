"""The `warmyard` command: finds the verb, speaks UTF-8, and turns every WarmyardError into one sentence."""

from __future__ import annotations

import argparse
import errno
import importlib
import sys
from typing import NoReturn, TextIO

from warmyard import __version__
from warmyard.errors import InputError, SourceErrors, WarmyardError

VERBS = {
    "check": "look through all sources and list every fault",
    "build": "write the site, both editions",
    "view": "build, serve on this machine, rebuild on save",
    "schema": "write JSON Schemas of all sources, for editors",
    "work": "work out a formula of the register",
    "suspects": "what may be wrong, and what to check next",
    "paper": "make one paper for one candidate",
    "mark": "mark a sitting that was handed in",
    "enter": "enter a fact into the ledger",
    "decide": "grant, suspend, restore or withdraw",
    "certificate": "write a certificate to file and paper",
    "verify": "whether a certificate, card or status list holds",
    "clearance": "who may go out alone, on a date",
    "ledger": "verify, export, or print the witness digest",
    "figures": "item and examination figures with their n",
    "upgrade": "what a newer tool would change in a record; nothing is written",
    "demo": "fill a records folder with invented people",
}


LONGEST_SENTENCE = 2_000
SHOWN_OF_LONG = 400


class Parser(argparse.ArgumentParser):
    """An argument parser whose complaint is one sentence and exit code 2."""

    def error(self, message: str) -> NoReturn:
        """Raise InputError with argparse's complaint and where to read more."""
        raise InputError(f"{message}; see {self.prog} --help")


def main(arguments: list[str] | None = None) -> int:
    """Run one command and return its exit code: 0 done, 1 sources at fault, 2 call or input wrong, 3 record broken."""
    for stream in (sys.stdout, sys.stderr):
        _speak_utf8(stream)
    words = sys.argv[1:] if arguments is None else arguments
    try:
        return _run(words)
    except SourceErrors as problem:
        print(problem, file=sys.stderr)
        return problem.exit_code
    except WarmyardError as problem:
        print(_one_line(str(problem)), file=sys.stderr)
        return problem.exit_code
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except OSError as problem:
        # Where nothing below had better words: a full disk, a name that is too long, a right that is missing.
        print(_one_line(_in_words(problem)), file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return 2


def _in_words(problem: OSError) -> str:
    """Return what a system's refusal means; of a file half written only its folder is named."""
    named = str(problem.filename or "")
    folder, _, name = named.rpartition("/")
    named = folder if name.startswith(".") and name.endswith(".new") else named
    if problem.errno == errno.ENOSPC:
        return "the disk is full; make room, then try again" + (f" ({named})" if named else "")
    what_to_do = "; somebody who may write there has to do it" if problem.errno in (errno.EACCES, errno.EROFS) else ""
    return f"{named}{': ' if named else ''}{problem.strerror or problem}{what_to_do}"


def _one_line(sentence: str) -> str:
    """Return a sentence on one line, its middle left out where somebody typed too much into it."""
    text = " ".join(sentence.split())
    return text if len(text) <= LONGEST_SENTENCE else f"{text[:SHOWN_OF_LONG]} ... {text[-SHOWN_OF_LONG:]}"


def _run(words: list[str]) -> int:
    if not words or words[0] in ("-h", "--help"):
        print("warmyard VERB ...   (warmyard VERB --help tells more)\n")
        for verb, says in VERBS.items():
            print(f"  {verb:12}{says}")
        print("\nwarmyard --version   the version of this tool, and the formats that it reads and writes")
        return 0 if words else 2
    if words[0] == "--version":
        if len(words) > 1:
            raise InputError("--version stands alone; write `warmyard --version`")
        print(f"warmyard {__version__}\nformats: {_formats()}")
        return 0
    verb, rest = words[0], words[1:]
    for word in rest:
        if not word.strip() or (word.startswith("--") and word.endswith("=")):
            raise InputError(f"a name or a number is missing; see warmyard {verb} --help")
        if "\0" in word:
            raise InputError("a word of this call holds a zero byte, which no name does")
    if verb not in VERBS:
        raise InputError(f"there is no command {verb!r}; the commands are {', '.join(VERBS)}")
    module = importlib.import_module(f"warmyard.cli.{verb}")
    parser = Parser(prog=f"warmyard {verb}", description=VERBS[verb], allow_abbrev=False)
    module.add_arguments(parser)
    code: int = module.run(parser.parse_intermixed_args(rest))
    return code


def _formats() -> str:
    """Return every format with its newest version, in the order of names."""
    from warmyard.formats.every import EVERY

    return ", ".join(sorted(f"{format_.name} {format_.version}" for format_ in EVERY))


def _speak_utf8(stream: TextIO) -> None:
    """Make a console speak UTF-8 whatever its own setting, so that a degree sign never ends a command."""
    if hasattr(stream, "reconfigure"):
        stream.reconfigure(encoding="utf-8", errors="replace")
