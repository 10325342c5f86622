"""A bench on a quay for the tests of the Pieces drawer: an invented shop with a pine dresser, and what is needed around it."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.apps import apps
from PIL import Image

from tallboy.book.doing import By
from tallboy.book.models import Journal, Photo
from tallboy.drawers.pieces.actions.hardware import add_spot, take_off
from tallboy.drawers.pieces.actions.intake import take_in
from tallboy.drawers.pieces.actions.layout import stock_routes
from tallboy.drawers.pieces.models import Part, Piece, Position, Spot
from tallboy.front.piecefile import read_piece_file

EXAMPLES = Path(__file__).parents[3] / "docs" / "examples"


def jpeg(colour: tuple[int, int, int] = (140, 100, 60), size: tuple[int, int] = (160, 120)) -> bytes:
    """A photograph of nothing much."""
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "JPEG")
    return out.getvalue()


def furnish(by: By) -> Spot:
    """Give a shop its routes and a tray; the tray comes back."""
    stock_routes(by)
    return add_spot(by, "tray A", Spot.Kind.TRAY)


def example(name: str) -> tuple[str, dict[str, bytes]]:
    """The text of an example piece file, and photographs under the names it gives."""
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    takein = read_piece_file(text, name=f"{name}.toml")
    names = [photo.file for photo in takein.photos] + ([takein.free.photo] if takein.free else [])
    return text, {one: jpeg(size=(160, 120 + at)) for at, one in enumerate(names)}


def take_in_example(by: By, name: str) -> Piece:
    """Take in one of the example pieces."""
    text, files = example(name)
    return take_in(by, read_piece_file(text, name=f"{name}.toml"), files)


def dresser(by: By) -> Piece:
    """The pine dresser: sixteen positions, its right door's bottom hinge missing."""
    return take_in_example(by, "pine-dresser")


def off(by: By, position: Position, spot: Spot) -> Part:
    """Take down what sits on a position."""
    return take_off(by, position, kind=position.kind, name=f"{position.detail} {position.kind}".strip(), spot=spot)


def as_sent(values: dict[str, Any]) -> dict[str, Any]:
    """What a browser sends of a form's values: ticked boxes as "on", nothing for empty fields."""
    filled = {key: value for key, value in values.items() if value is not None and value is not False and value != ""}
    return {key: "on" if value is True else value for key, value in filled.items()}


def state_of_the_book() -> dict[str, list[Any]]:
    """Every row of the book, to see that nothing was changed."""
    models: list[Any] = [*apps.get_app_config("pieces").get_models(), Journal, Photo]
    return {model.__name__: list(_rows(model)) for model in models}


def _rows(model: Any) -> Iterator[Any]:
    yield from model.objects.order_by("pk").values()
