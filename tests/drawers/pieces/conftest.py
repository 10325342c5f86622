"""The dresser on the bench, for every test of the Pieces drawer that wants it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

# This file may be read before Django is set up, so what needs the models is imported only when a test asks for it.
if TYPE_CHECKING:
    from tallboy.book.doing import By
    from tallboy.drawers.pieces.models import Piece, Spot


@pytest.fixture
def tray(by: By) -> Spot:
    """A tray in a shop that has its routes."""
    from tests.drawers.pieces.pieces_made import furnish

    return furnish(by)


@pytest.fixture
def piece(by: By, tray: Spot) -> Piece:
    """The pine dresser, as it came in."""
    from tests.drawers.pieces.pieces_made import dresser

    return dresser(by)
