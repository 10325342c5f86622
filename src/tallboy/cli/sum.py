"""`tallboy sum`: one of the trade's sums, worked out from what is typed."""

from __future__ import annotations

import argparse
import os
from collections.abc import Mapping
from typing import TYPE_CHECKING

from tallboy.errors import BadInput, NotFound

if TYPE_CHECKING:
    from tallboy.tables.rows import Rows


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", nargs="?", metavar="NAME", help="the sum; without it, all of them are listed")
    parser.add_argument("inputs", nargs="*", metavar="KEY=VALUE", help='like celsius=18 or width="3 3/4 in"')
    parser.add_argument("--ask", action="store_true", help="say what the sum asks for, with an example")
    parser.add_argument(
        "--imperial", action="store_true", help="bare lengths are inches, bare temperatures °F; answers too"
    )
    parser.add_argument("--json", action="store_true", help="as JSON, in inside units")


def run(args: argparse.Namespace) -> int:
    if args.name is None:
        return _list_all(args.json)
    from tallboy.workings.known import working

    wanted = working(args.name)
    if args.ask:
        return _say_inputs(args.name, args.json)
    from tallboy.cli.start import say_json
    from tallboy.sums.units import IMPERIAL, METRIC
    from tallboy.workings import telling
    from tallboy.workings.asking import read, together

    system = IMPERIAL if args.imperial else METRIC
    given, wrong = read(wanted, _typed(args.inputs), _rows(args), system)
    if wrong:
        raise together(wrong)
    answer = wanted.work(given)
    if args.json:
        say_json(telling.data(wanted, given, answer))
    else:
        print("\n".join(telling.lines(wanted, answer, system)))
    return 0


def _typed(words: list[str]) -> Mapping[str, str]:
    typed: dict[str, str] = {}
    for word in words:
        name, equals, value = word.partition("=")
        if not equals:
            raise BadInput(
                f"“{word[:60]}” has no “=”.", "Write each input as KEY=VALUE; `tallboy sum NAME --ask` lists them."
            )
        if name in typed:
            raise BadInput(f"{name} was given twice.", "Give each input once.")
        typed[name] = value
    return typed


def _rows(args: argparse.Namespace) -> Rows | None:
    """The shop's own rows as well, when a book is named; none is opened for a sum without that."""
    if args.book is None:
        return None
    from tallboy.cli.start import open_book

    if args.book.strip() and not os.path.isdir(os.path.expanduser(args.book)):
        # Only looked up in: no book is begun for that.
        raise NotFound(f"There is no book in {args.book}.", "Leave --book out, or name the folder of one.")
    by = open_book(args)
    # Only now: it needs Django, which the book's folder has started.
    from tallboy.desk.rows import rows_of

    return rows_of(by.shop)


def _list_all(as_json: bool) -> int:
    from tallboy.workings.known import FAMILIES, all_workings

    found = all_workings().values()
    if as_json:
        from tallboy.cli.start import say_json

        say_json([{"name": one.name, "family": one.family, "title": one.title, "asks": one.asks} for one in found])
        return 0
    width = max(len(one.name) for one in found)
    for family, title in FAMILIES.items():
        members = [one for one in found if one.family == family]
        if members:
            print(f"{title}\n" + "\n".join(f"  {one.name:{width}}  {one.asks}" for one in members) + "\n")
    print("`tallboy sum NAME --ask` says what one asks for.")
    return 0


def _say_inputs(name: str, as_json: bool) -> int:
    from tallboy.workings import asking
    from tallboy.workings.known import working

    wanted = working(name)
    if as_json:
        from tallboy.cli.start import say_json

        say_json(
            {
                "name": name,
                "inputs": [asking.described(asked) for asked in wanted.inputs],
                "example": dict(wanted.example),
            }
        )
        return 0
    print(f"{wanted.title}: {wanted.asks}\n")
    width = max(len(asked.name) for asked in wanted.inputs)
    for asked in wanted.inputs:
        print(f"  {asked.name:{width}}  {asked.label}. {asking.takes(asked)}{asking.otherwise(asked)}")
        if asked.help:
            print(f"  {'':{width}}  {asked.help}")
    typed = " ".join(
        f'{key}="{value}"' if set(value) & set(" ;\"°′″'&|<>()") else f"{key}={value}"
        for key, value in wanted.example.items()
    )
    print(f"\nFor example:\n  tallboy sum {name} {typed}")
    return 0
