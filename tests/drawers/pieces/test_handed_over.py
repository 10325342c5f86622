"""What went home with a piece is not the shop's to move any more."""

from __future__ import annotations

import pytest
from tests.drawers.pieces.pieces_made import dresser, furnish, off

from tallboy.book.doing import By
from tallboy.drawers.pieces.actions.hardware import lay, part_gone, put_on
from tallboy.drawers.pieces.actions.piece import hand_over
from tallboy.drawers.pieces.models import Part, Position
from tallboy.errors import Refused


def test_a_part_on_a_piece_that_went_home_stays_there(by: By) -> None:
    """A part fitted on a piece that was handed over is neither laid in a tray nor written off."""
    tray = furnish(by)
    piece = dresser(by)
    position = piece.positions.filter(missing_at_take_in=False).first()
    assert position is not None
    part = off(by, position, tray)
    put_on(by, part, position)
    missing = Position.objects.get(piece=piece, missing_at_take_in=True)
    hand_over(by, piece, reasons={missing.code: "the owner has it"})
    part.refresh_from_db()
    with pytest.raises(Refused, match="handed over"):
        lay(by, part, tray)
    with pytest.raises(Refused, match="handed over"):
        part_gone(by, part, "sold")
    assert Part.objects.get(pk=part.pk).at_position == position
