"""`tallboy what-if`: plan the shop as it is and as it is asked, and say both; nothing is changed."""

from __future__ import annotations

import argparse
from typing import Any

from tallboy.cli.start import open_book, say_json, set_option

PLAIN = ("hands", "overtime", "closed_days", "day", "until", "celsius", "ready")
PIECES = ("like", "without", "first")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--hands", choices=["1", "2"], help="so many more pairs of hands")
    parser.add_argument("--overtime", choices=["1", "2", "3"], metavar="HOURS", help="1, 2 or 3 hours every evening")
    parser.add_argument("--saturdays", action="store_true", help="work on Saturdays")
    parser.add_argument("--another-day", dest="closed_days", choices=["1", "2"], help="work on the next closed days")
    parser.add_argument("--day", metavar="YYYY-MM-DD", help="work on this day")
    parser.add_argument("--until", metavar="YYYY-MM-DD", help="how long hands, overtime and Saturdays last")
    parser.add_argument("--warm", dest="celsius", metavar="TEMPERATURE", help='heat the shop, like "20 °C" or "68 °F"')
    parser.add_argument("--like", metavar="NUMBER", help="one more piece like the one with this number")
    parser.add_argument("--ready", metavar="YYYY-MM-DD", help="when that piece is to be ready")
    parser.add_argument("--without", metavar="NUMBER", help="leave out the piece with this number")
    parser.add_argument("--first", metavar="NUMBER", help="the piece with this number before everything else")
    parser.add_argument("--seconds", type=float, help="how long each plan may be improved (or TALLBOY_PLAN_SECONDS)")
    parser.add_argument("--json", action="store_true", help="as JSON")


def run(args: argparse.Namespace) -> int:
    if args.seconds is not None:
        set_option("TALLBOY_PLAN_SECONDS", str(args.seconds))
    by = open_book(args)
    from django.conf import settings

    from tallboy.drawers.today.what_if import telling
    from tallboy.drawers.today.what_if.answer import answer

    question = telling.question_of(by, _typed(args, by))
    found = answer(by.shop, by.at, question, settings.PLAN_SECONDS)
    if args.json:
        say_json(telling.answer_data(found))
    else:
        print("\n".join(telling.answer_lines(found)))
    return 0


def _typed(args: argparse.Namespace, by: Any) -> dict[str, str]:
    """What was typed, as the page's form takes it: pieces by their row, all else as it is."""
    from tallboy.drawers.pieces.queries import piece_numbered

    typed = {name: str(getattr(args, name)) for name in PLAIN if getattr(args, name) is not None}
    typed |= {
        name: str(piece_numbered(by.shop, getattr(args, name)).pk) for name in PIECES if getattr(args, name) is not None
    }
    return typed | ({"saturdays": "on"} if args.saturdays else {})
