"""`tallboy open`: the book in the browser."""

from __future__ import annotations

import argparse

from tallboy.cli.start import open_tables, set_option


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--port", type=int, help="port on this machine (or TALLBOY_PORT)")
    parser.add_argument("--no-browser", action="store_true", help="do not open a browser window")


def run(args: argparse.Namespace) -> int:
    if args.port is not None:
        set_option("TALLBOY_PORT", str(args.port))
    open_tables(args)
    from django.conf import settings

    from tallboy.cli.serving import serve

    return serve(settings.PORT, not args.no_browser)
