"""`tallboy plan`: work the plan out anew and say it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tallboy.cli.start import open_book, say_json, set_option

PROMISE_MISSED = 6


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--seconds",
        type=float,
        help="improve it for so long; Ctrl+C keeps the best so far (without: TALLBOY_PLAN_SECONDS)",
    )
    parser.add_argument("--json", action="store_true", help="every step with start, end, hands-on minutes and reason")
    parser.add_argument("--strict", action="store_true", help="end with code 6 when a promise cannot be kept")
    parser.add_argument("--chance", action="store_true", help="say how sure each date is and what it hangs on")
    parser.add_argument("--ics", metavar="FILE", help="write it as a calendar file (iCalendar) too")


def run(args: argparse.Namespace) -> int:
    if args.seconds is not None:
        set_option("TALLBOY_PLAN_LONG_SECONDS", str(args.seconds))
    by = open_book(args)
    from tallboy.drawers.today import actions, telling

    plan = _improve(by) if args.seconds is not None else actions.replan(by, afresh=True)
    late = actions.late_words(plan)
    if args.json:
        say_json({**telling.plan_data(plan), **({"chance": telling.chance_data(plan)} if args.chance else {})})
    else:
        print("\n".join(telling.chance_lines(plan) if args.chance else telling.plan_lines(plan)))
    if args.ics:
        _write_calendar(by, Path(args.ics))
    _warn([*plan.warnings, *late, *filter(None, [plan.chance.get("trouble")])])
    return PROMISE_MISSED if args.strict and late else 0


def _improve(by: Any) -> Any:
    """The plan in force after a run that says how far it is, where somebody looks on."""
    from django.conf import settings

    from tallboy.drawers.today import queries
    from tallboy.drawers.today.run import running

    say = _saying() if sys.stderr.isatty() else None
    run, kept = running.improve_now(by, settings.PLAN_LONG_SECONDS, say)
    if sys.stderr.isatty():
        print(run.message, file=sys.stderr)
    return kept or queries.current_plan(by.shop)


def _saying() -> Callable[[dict[str, Any]], None]:
    """Prints how far the run is, one line whenever that has changed."""
    from tallboy.drawers.today.run import words as run_words

    before = [""]

    def say(told: dict[str, Any]) -> None:
        line = " ".join(run_words.lines(told))
        if line != before[0]:
            before[0] = line
            print(f"{told['seconds']:5.1f} s  {line}", file=sys.stderr, flush=True)

    return say


def _write_calendar(by: Any, target: Path) -> None:
    from tallboy.drawers.today.feed import calendar_of
    from tallboy.drawers.today.write_papers import write_whole

    write_whole(target, calendar_of(by.shop), "Name another file with --ics.")


def _warn(lines: list[str]) -> None:
    for line in lines:
        print(line, file=sys.stderr)
