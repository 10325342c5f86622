"""`tallboy print`: papers as PDF files."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from tallboy.cli.start import open_book

PAPERS = ("tags", "take-down", "put-back", "day-sheet", "all")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("paper", choices=PAPERS, metavar="PAPER", help=f"one of: {', '.join(PAPERS)}")
    parser.add_argument(
        "--piece", metavar="NUMBER", help="the piece's number, like 2026-014 (not for day-sheet or all)"
    )
    parser.add_argument("--to", metavar="DIR", default=".", help="folder to write into (default: this one)")
    parser.add_argument("--sheet", default="a4-24", help="label sheet or roll for tags")
    parser.add_argument("--first", type=int, default=1, help="first free label of a used sheet")


def run(args: argparse.Namespace) -> int:
    by = open_book(args)
    from tallboy.drawers.today.write_papers import write_papers

    for file in write_papers(by, _wanted(args, by), Path(args.to), sheet=args.sheet, first=args.first):
        print(file)
    return 0


def _wanted(args: argparse.Namespace, by: Any) -> list[tuple[str, Any]]:
    """(paper, piece) pairs to write."""
    from tallboy.drawers.pieces import queries
    from tallboy.errors import BadInput

    if args.paper == "day-sheet":
        return [("day-sheet", None)]
    if args.paper == "all":
        pieces = list(queries.in_the_shop(by.shop))
        return [("day-sheet", None), *((paper, piece) for piece in pieces for paper in PAPERS[:3])]
    if not args.piece:
        raise BadInput(f"Of which piece shall {args.paper} be printed?", "Name it with --piece NUMBER.")
    return [(args.paper, queries.piece_numbered(by.shop, args.piece))]
