"""`tallboy air`: the shop's air now, a reading by hand, or a logger's file."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from tallboy.cli.given import read_given
from tallboy.cli.start import open_book, say_json


def add_arguments(parser: argparse.ArgumentParser) -> None:
    what = parser.add_subparsers(dest="what", metavar="now|add|import")
    now = what.add_parser("now", help="what the air is now (also without a word)")
    add = what.add_parser("add", help="write down a reading")
    add.add_argument("temperature", help='like "17.5 °C" or "64 °F"')
    add.add_argument("humidity", help='like "62 %%"')
    take = what.add_parser("import", help="take in a logger's file (CSV)")
    take.add_argument("file", metavar="FILE")
    take.add_argument("--unit", choices=["C", "F"], help="unit of the temperatures, when the file does not say")
    take.add_argument("--dates", choices=["day-first", "month-first"], help="order of dates, when it is not clear")
    take.add_argument(
        "--clock", choices=["moved", "kept"], help="whether the logger's clock was moved at a clock change"
    )
    for what_is in ("time", "temperature", "humidity"):
        take.add_argument(f"--{what_is}-column", metavar="NAME", help=f"heading or number of the {what_is} column")
    take.add_argument("--leave-out-bad", action="store_true", help="take the good lines in, leave the bad ones out")
    parser.add_argument("--json", action="store_true", help="as JSON")
    # Options of the command are taken after its second word too, where people write them.
    for sub in (now, add, take):
        sub.add_argument("--json", action="store_true", default=argparse.SUPPRESS, help="as JSON")
        sub.add_argument("--book", metavar="DIR", default=argparse.SUPPRESS, help="the book's folder (or TALLBOY_BOOK)")


def run(args: argparse.Namespace) -> int:
    by = open_book(args)
    act = {"add": _add, "import": _import}.get(args.what or "now", _now)
    return act(args, by)


def _now(args: argparse.Namespace, by: Any) -> int:
    from tallboy.drawers.air import queries

    rows = queries.now_rows(by.shop, by.at)
    if args.json:
        say_json(queries.now_data(by.shop, by.at))
    elif not rows:
        print("No reading yet. Write one down with `tallboy air add`, or take in a logger's file.")
    else:
        print("\n".join(f"{row['label']}: {row['value']}" for row in rows))
    return 0


def _add(args: argparse.Namespace, by: Any) -> int:
    from tallboy.drawers.air.actions import add_reading
    from tallboy.sums.units import parse_percent, parse_temperature

    unit = "°F" if by.shop.imperial else "°C"
    celsius = parse_temperature(args.temperature, default=unit)
    reading = add_reading(by, by.at, celsius, parse_percent(args.humidity))
    if args.json:
        say_json({"at": reading.at, "celsius": reading.celsius, "relative_humidity": reading.relative_humidity})
    else:
        print(reading)
    return 0


def _import(args: argparse.Namespace, by: Any) -> int:
    from tallboy.drawers.air.actions import import_readings
    from tallboy.drawers.air.logger_columns import LARGEST_BYTES
    from tallboy.drawers.air.logger_file import Answers

    path = Path(args.file)
    answers = Answers(
        unit=args.unit,
        dates=args.dates,
        clock=args.clock,
        time_column=args.time_column,
        temperature_column=args.temperature_column,
        humidity_column=args.humidity_column,
        leave_out_bad=args.leave_out_bad,
    )
    done = import_readings(by, read_given(path, LARGEST_BYTES, "A logger's file"), path.name, answers)
    if args.json:
        say_json({"taken_in": done.count, "known_already": done.skipped, "first": done.first, "last": done.last})
    else:
        print(f"{done.count} readings are taken in; {done.skipped} were known already.")
    return 0
