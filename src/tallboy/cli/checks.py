"""`tallboy checks`: what the published sources say the sums must give, and whether they do."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tallboy.checks.kinds import Outcome


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("family", nargs="?", metavar="FAMILY", help="only one family: air, wood, film …")
    parser.add_argument("--short", action="store_true", help="only the counts, and what does not hold")
    parser.add_argument("--json", action="store_true", help="as JSON")


def run(args: argparse.Namespace) -> int:
    from tallboy.checks import load, run, telling
    from tallboy.cli.start import say_json
    from tallboy.desk.reference import data_files, named_folder
    from tallboy.web import options

    wanted = telling.family(load.all_checks(), args.family)
    found = run.outcomes(wanted, data_files(named_folder(options.read("TALLBOY_REFERENCE"))))
    if args.json:
        say_json([telling.data(one) for one in found])
    else:
        _print(found, args.short)
    return 1 if any(one.holds is False for one in found) else 0


def _print(found: Sequence[Outcome], short: bool) -> None:
    from tallboy.checks import telling

    for one in found:
        if not short or one.holds is False:
            print("\n".join(telling.lines(one)))
    print("\n".join(telling.counts(found)))
