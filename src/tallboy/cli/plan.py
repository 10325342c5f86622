"""`tallboy plan`: work the plan out anew and say it."""

from __future__ import annotations

import argparse
import sys

from tallboy.cli.start import open_book, say_json, set_option

PROMISE_MISSED = 6


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--seconds", type=float, help="how long it may be improved (or TALLBOY_PLAN_SECONDS)")
    parser.add_argument("--json", action="store_true", help="every step with start, end, hands-on minutes and reason")
    parser.add_argument("--strict", action="store_true", help="end with code 6 when a promise cannot be kept")


def run(args: argparse.Namespace) -> int:
    if args.seconds is not None:
        set_option("TALLBOY_PLAN_SECONDS", str(args.seconds))
    by = open_book(args)
    from tallboy.drawers.today import actions, telling

    plan = actions.replan(by)
    late = actions.late_words(plan)
    if args.json:
        say_json(telling.plan_data(plan))
    else:
        print("\n".join(telling.plan_lines(plan)))
    _warn([*plan.warnings, *late])
    return PROMISE_MISSED if args.strict and late else 0


def _warn(lines: list[str]) -> None:
    for line in lines:
        print(line, file=sys.stderr)
