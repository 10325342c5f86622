"""Correcting a clock: what it changes, what it refuses, and what stays in the journal."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.drawers.ledger.ledger_made import clock, piece, step

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.ledger.actions import correct_clock
from tallboy.drawers.pieces.models import ClockEntry
from tallboy.errors import BadInput, NotFound

HOUR = timedelta(hours=1)


@pytest.fixture
def running(by: By) -> ClockEntry:
    """A clock that nobody stopped yesterday."""
    return clock(by, step(by, piece(by)), by.at - 24 * HOUR, None)


def test_a_forgotten_clock_gets_its_end(by: By, running: ClockEntry) -> None:
    """The new times stand, and the journal keeps the old ones with the reason."""
    correct_clock(by, running, by.at - 24 * HOUR, by.at - 21 * HOUR, " went home ")
    running.refresh_from_db()
    assert (running.began_at, running.ended_at) == (by.at - 24 * HOUR, by.at - 21 * HOUR)
    row = Journal.objects.filter(subject_kind="pieces.clockentry", subject_id=running.pk).get()
    assert row.action == "correct clock"
    assert row.text == "Corrected the clock on “Scrape the top” to 2026-03-11 09:00 – 2026-03-11 12:00: went home"
    assert row.data["before"]["ended"] is None


def test_a_clock_started_by_mistake_comes_to_nothing(by: By, running: ClockEntry) -> None:
    """Begun and ended at the same moment is accepted: no work was done."""
    correct_clock(by, running, running.began_at, running.began_at, "wrong step")
    running.refresh_from_db()
    assert running.ended_at == running.began_at


def test_work_up_to_now_is_accepted(by: By, running: ClockEntry) -> None:
    """The end may be this very moment, and a stretch may have 24 hours."""
    correct_clock(by, running, by.at - 24 * HOUR, by.at, "worked through")
    running.refresh_from_db()
    assert running.ended_at == by.at


@pytest.mark.parametrize(
    ("began", "ended", "reason", "says"),
    [
        (-2 * HOUR, timedelta(seconds=1), "x", "Give a time up to now, 2026-03-12 09:00."),
        (-2 * HOUR, -3 * HOUR, "x", "The end must be at or after the beginning."),
        (-25 * HOUR, timedelta(), "x", "one stretch has 24 hours at most"),
        (-2 * HOUR, -HOUR, "  ", "Say in a few words why the clock was wrong."),
    ],
)
def test_what_cannot_be_true_is_refused(
    by: By, running: ClockEntry, began: timedelta, ended: timedelta, reason: str, says: str
) -> None:
    """Nothing changes, nothing is journalled, and the message says what would be accepted."""
    before = Journal.objects.count()
    with pytest.raises(BadInput, match=says):
        correct_clock(by, running, by.at + began, by.at + ended, reason)
    running.refresh_from_db()
    assert running.ended_at is None
    assert Journal.objects.count() == before


def test_times_without_a_zone_are_refused(by: By, running: ClockEntry) -> None:
    """A bare wall-clock time could mean two moments."""
    with pytest.raises(BadInput, match="no time zone"):
        correct_clock(by, running, by.at.replace(tzinfo=None), by.at, "x")


def test_another_shops_clock_is_not_there(by: By, stranger: By, running: ClockEntry) -> None:
    """Nobody corrects the hours of another book."""
    with pytest.raises(NotFound):
        correct_clock(stranger, running, by.at - 2 * HOUR, by.at - HOUR, "x")
    running.refresh_from_db()
    assert running.ended_at is None
