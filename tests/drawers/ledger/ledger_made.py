"""Pieces, steps and clock entries for the tests of the ledger."""

from __future__ import annotations

from datetime import datetime

from tallboy.book.doing import By
from tallboy.book.models import Person
from tallboy.drawers.pieces.actions.work import add_step
from tallboy.drawers.pieces.models import ClockEntry, Piece, Step


def piece(by: By, number: str = "2026-001", name: str = "Pine dresser") -> Piece:
    """A piece in the shop."""
    return Piece.objects.create(
        **by.kept(), number=number, name=name, kind="dresser", width_mm=1200, height_mm=1900, depth_mm=480,
        taken_in_at=by.at,
    )  # fmt: skip


def step(by: By, of: Piece, title: str = "Scrape the top", minutes: int = 60) -> Step:
    """A step on it."""
    return add_step(by, of, title, minutes)


def clock(by: By, on: Step, began: datetime, ended: datetime | None, person: Person | None = None) -> ClockEntry:
    """A stretch of work on a step."""
    return ClockEntry.objects.create(**by.kept(), step=on, person=person or by.person, began_at=began, ended_at=ended)


def second_person(by: By, name: str = "Abel") -> Person:
    """Another person of the shop."""
    return Person.objects.create(shop=by.shop, name=name)
