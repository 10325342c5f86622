"""The `tallboy` command: reads what was typed, calls one command's `run`, turns foreseen errors into plain lines.

Kept light on purpose: nothing heavy is imported before a command runs, so that `tallboy --help` is there at once.
"""

from __future__ import annotations

import argparse
import importlib
import io
import os
import sys
from collections.abc import Sequence
from typing import Protocol, cast

from tallboy import __version__
from tallboy.errors import BookTrouble, TallboyError
from tallboy.web import options

COMMANDS: tuple[tuple[str, str, str], ...] = (
    ("open", "open_book", "open the book in the browser"),
    ("demo", "demo", "make the demo shop's book, plan it, write its papers and open it"),
    ("take-in", "take_in", "take in a piece from a piece file"),
    ("plan", "plan", "work the plan out anew"),
    ("what-if", "what_if", "plan the shop as it is and as it is asked, and say both"),
    ("today", "today", "say what is next, what waits and what is due"),
    ("print", "print_papers", "write tags, take-down record, put-back list or day sheet as PDF"),
    ("air", "air", "show the shop's air, add a reading, or take in a logger's file"),
    ("check", "check", "check that the book holds together"),
    ("sum", "sum", "work out one of the trade's sums"),
    ("checks", "checks", "compare the sums with what published sources say"),
)
PROGRAM_ERROR = 70


class Command(Protocol):
    """What each command's module offers."""

    def add_arguments(self, parser: argparse.ArgumentParser) -> None: ...

    def run(self, args: argparse.Namespace) -> int: ...


def command(module: str) -> Command:
    return cast(Command, importlib.import_module(f"tallboy.cli.{module}"))


def parser() -> argparse.ArgumentParser:
    """The whole command line."""
    settings = "\n".join(f"  {option.name:26} {option.help}" for option in options.OPTIONS)
    top = argparse.ArgumentParser(
        prog="tallboy",
        description="The workshop book for people who restore and refinish furniture.",
        epilog=f"settings, from the environment:\n{settings}\n\nexit codes: 0 done, 1 checks failed, 2 bad input, "
        "3 not found, 4 refused, 5 the book cannot be used, 6 a promise cannot be kept (plan --strict), 70 program error",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"tallboy {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name, module, text in COMMANDS:
        sub = commands.add_parser(name, help=text, description=text[0].upper() + text[1:] + ".")
        sub.add_argument("--book", metavar="DIR", help="the book's folder (or TALLBOY_BOOK)")
        command(module).add_arguments(sub)
        sub.set_defaults(module=module)
    return top


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code."""
    _speak_any_terminal()
    args = parser().parse_args(argv)
    try:
        code = command(args.module).run(args)
        sys.stdout.flush()
    except KeyboardInterrupt:
        return 130
    except Exception as error:
        return _failed(error)
    return code


def _failed(error: Exception) -> int:
    """Say in plain words what went wrong, and give the exit code for it."""
    if isinstance(error, TallboyError):
        return _tell(error)
    if isinstance(error, OSError):
        _say_no_more()
        if isinstance(error, BrokenPipeError):
            # The reader of our output went away (`| head`): nothing is wrong.
            return 0
        # Not a fault of the program: a full disk behind our output, a folder that went away.
        return _tell(BookTrouble(f"something could not be read or written: {error.strerror or error}."))
    if _database_trouble(error):
        return _tell(BookTrouble(f"The book's database cannot be used just now: {str(error).strip()}."))
    return _program_error(error)


def _program_error(error: Exception) -> int:
    if options.read("TALLBOY_DEBUG") == "1":
        raise error
    print(f"tallboy: a program error: {type(error).__name__}: {error}", file=sys.stderr)
    print("The book is as it was before. TALLBOY_DEBUG=1 shows the whole of it.", file=sys.stderr)
    return PROGRAM_ERROR


def _speak_any_terminal() -> None:
    """A terminal that has no sign for ° or “ shows ? instead, and without any (`>&-`) nothing is said; nothing fails for that."""
    sys.stdout, sys.stderr = sys.stdout or _nowhere(), sys.stderr or _nowhere()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _nowhere() -> io.TextIOWrapper:
    return os.fdopen(os.open(os.devnull, os.O_WRONLY), "w", encoding="utf-8")


def _database_trouble(error: Exception) -> bool:
    """Whether this is a database that is busy, full, or away. Asked only when something failed: Django is slow to load."""
    from django.db import InterfaceError, OperationalError

    return isinstance(error, OperationalError | InterfaceError)


def _say_no_more() -> None:
    """Whatever is still to be printed goes nowhere, so that the end of the program does not fail on it."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _tell(error: TallboyError) -> int:
    print(f"tallboy: {error.message}", file=sys.stderr)
    if error.hint:
        print(error.hint, file=sys.stderr)
    return error.exit_code


if __name__ == "__main__":
    sys.exit(main())
