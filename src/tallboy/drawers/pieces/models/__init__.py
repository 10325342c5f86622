"""Pieces and all that hangs on them."""

from tallboy.drawers.pieces.models.hardware import Move, Part, Position, Spot
from tallboy.drawers.pieces.models.piece import Fault, Note, Piece, PiecePhoto, SpotTest, Surface
from tallboy.drawers.pieces.models.work import ClockEntry, Coat, Delivery, Route, Step, Wait

__all__ = [
    "ClockEntry",
    "Coat",
    "Delivery",
    "Fault",
    "Move",
    "Note",
    "Part",
    "Piece",
    "PiecePhoto",
    "Position",
    "Route",
    "Spot",
    "SpotTest",
    "Step",
    "Surface",
    "Wait",
]
