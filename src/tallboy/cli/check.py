"""`tallboy check`: does the book hold together?"""

from __future__ import annotations

import argparse

from tallboy.cli.start import open_tables, say_json


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="what was checked and whether it holds")


def run(args: argparse.Namespace) -> int:
    open_tables(args)
    from django.utils import timezone

    from tallboy.drawers.today.checks import check_book

    results = check_book(timezone.now())
    if args.json:
        say_json([{"name": r.name, "checked": r.checked, "holds": r.holds, "trouble": r.trouble} for r in results])
    else:
        for result in results:
            print(f"{'holds' if result.holds else 'FAILS'}  {result.name} ({result.checked} checked)")
            for line in result.trouble:
                print(f"       {line}")
    return 0 if all(result.holds for result in results) else 1
