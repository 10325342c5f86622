"""`tallboy today`: what is next and why, what waits, what is due."""

from __future__ import annotations

import argparse

from tallboy.cli.start import open_book, say_json


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="as JSON")


def run(args: argparse.Namespace) -> int:
    by = open_book(args)
    from tallboy.drawers.today import telling
    from tallboy.drawers.today.day import day_of

    day = day_of(by.shop, by.at)
    if args.json:
        say_json(telling.day_data(day))
    else:
        print("\n".join(telling.day_lines(day)))
    return 0
