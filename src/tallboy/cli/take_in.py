"""`tallboy take-in FILE`: take in a piece from a piece file."""

from __future__ import annotations

import argparse
from pathlib import Path

from tallboy.cli.given import read_given, there_is
from tallboy.cli.start import open_book, say_json

# Far above what the settings allow; only so that nobody waits for a film to be read.
LARGEST_PHOTO = 1_000_000_000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", help="the piece file (TOML); photographs it names lie beside it")
    parser.add_argument("--route", metavar="KEY", help="lay out the steps by this route (the file's own is used else)")
    parser.add_argument("--json", action="store_true", help="as JSON")


def run(args: argparse.Namespace) -> int:
    from tallboy.front.piecefile import read_piece_file

    path = Path(args.file)
    takein = read_piece_file(_read_text(path), name=path.name)
    by = open_book(args)
    from tallboy.drawers.pieces.actions.desk import take_in_and_lay_out

    piece, steps = take_in_and_lay_out(by, takein, _photos(path, takein), args.route)
    if args.json:
        say_json({"piece": piece.number, "name": piece.name, "positions": piece.positions.count(), "steps": len(steps)})
    else:
        print(f"{piece} is taken in: {piece.positions.count()} positions, {len(steps)} steps.")
        if not steps:
            print("Lay out its steps with --route, or on its page.")
    return 0


def _read_text(path: Path) -> str:
    from tallboy.errors import BadFile
    from tallboy.front.piecefile import LARGEST_FILE

    try:
        return read_given(path, LARGEST_FILE, "A piece file").decode("utf-8")
    except UnicodeDecodeError:
        raise BadFile(f"{path.name} is not a text in UTF-8.", "Save it as UTF-8.") from None


def _photos(path: Path, takein: object) -> dict[str, bytes]:
    """The photographs that the file names and that lie below its folder."""
    from tallboy.front.takein import TakeIn

    assert isinstance(takein, TakeIn)
    folder = path.parent.resolve()
    named = [photo.file for photo in takein.photos] + ([takein.free.photo] if takein.free else [])
    inside = [name for name in named if (folder / name).resolve().is_relative_to(folder)]
    return {
        name: read_given(folder / name, LARGEST_PHOTO, "A photograph") for name in inside if there_is(folder / name)
    }
