"""`tallboy demo`: the demo shop's book, planned, with its papers, open in the browser."""

from __future__ import annotations

import argparse
from pathlib import Path

from tallboy.cli.start import open_tables, set_option
from tallboy.web import options


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--to", metavar="DIR", help="folder for the papers (default: papers, in the book's folder)")
    parser.add_argument("--port", type=int, help="port on this machine (or TALLBOY_PORT; another when it is taken)")
    parser.add_argument("--no-serve", action="store_true", help="make the book and its papers, then end")
    parser.add_argument("--no-browser", action="store_true", help="do not open a browser window")


def run(args: argparse.Namespace) -> int:
    from tallboy.cli.serving import free_port, serve

    if not args.book and not options.read("TALLBOY_BOOK"):
        from tallboy.book.folder import default_folder

        # Never the person's own book.
        args.book = str(default_folder().with_name("tallboy-demo"))
    if args.port is not None:
        set_option("TALLBOY_PORT", str(args.port))
    port = None if args.no_serve else free_port(options.read_port())
    if port is not None:
        # The tags' codes lead to where the pages are really served.
        set_option("TALLBOY_PORT", str(port))
    open_tables(args)
    _make(args)
    return serve(port, not args.no_browser) if port is not None else 0


def _make(args: argparse.Namespace) -> None:
    from django.conf import settings
    from django.utils import timezone

    from tallboy.book.doing import By
    from tallboy.book.queries import demo_shop, person_for
    from tallboy.demo.shop import demo_once
    from tallboy.drawers.pieces.queries import in_the_shop
    from tallboy.drawers.today.write_papers import write_papers

    now = timezone.now()
    if demo_shop() is None:
        print("Making the demo shop …", flush=True)
    else:
        print("The demo shop is in this book already; it is opened as it stands.", flush=True)
    person = person_for(demo_once(now).pk)
    assert person is not None
    by = By(person, now)
    folder = Path(args.to) if args.to else settings.BOOK.papers
    pieces = list(in_the_shop(by.shop))
    wanted = [("day-sheet", None), *((paper, piece) for piece in pieces for paper in ("tags", "take-down", "put-back"))]
    with timezone.override(by.shop.tz):
        files = list(write_papers(by, wanted, folder))
    print(f"{len(files)} papers are in {folder}", flush=True)
