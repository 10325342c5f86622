"""`tallboy check` finds what is wrong: each check holds in a sound book and fails once its fault is planted."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta

import pytest
from django.conf import settings
from django.db import connection
from tests.drawers.pieces.pieces_made import dresser, furnish, off
from tests.drawers.today.today_made import chair, coat, done, step, varnish, wait

from tallboy.book.doing import By
from tallboy.book.models import Photo
from tallboy.drawers.pieces.actions.hardware import add_spot, lay
from tallboy.drawers.pieces.actions.piece import add_note, record_lead_test
from tallboy.drawers.pieces.actions.work import start_step
from tallboy.drawers.pieces.models import Part, Piece, Spot, Step
from tallboy.drawers.shelf.actions import change_product
from tallboy.drawers.today import checks
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.checks import check_book
from tallboy.drawers.today.models import PlannedPromise, PlannedStep

HOUR = timedelta(hours=1)
WHEREABOUTS = "part_whereabouts_exactly_one"
NAMES = [
    "the database is whole",
    "every part is in exactly one place",
    "no vessel slot holds two parts",
    "every part has its history",
    "positions and what came off them agree",
    "every photograph is there, unchanged",
    "the plan obeys every rule",
]

# Photographs are spoilt here, and counted: in a folder of their own.
pytestmark = pytest.mark.usefixtures("own_folder")


@pytest.fixture
def book(by: By) -> Piece:
    """A dresser with four parts off, one in a slot, its photographs, and a plan with a begun step and a wet coat."""
    tray = furnish(by)
    slot = add_spot(by, "tall jar, slot 1", Spot.Kind.SLOT)
    piece = record_lead_test(by, dresser(by), Piece.Lead.NONE)
    parts = [off(by, position, tray) for position in piece.positions.all()[:4]]
    lay(by, parts[0], slot)
    can = varnish(by, recoat_until_minutes=2880)
    laid, second, sand = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can), step(piece, "Sand", 60, dusty=True)
    wait(laid, second, kind="drying", from_label="recoat")
    done(by, laid, by.at - HOUR, by.at - HOUR / 2)
    begun = step(piece, "Sharpen", 120)
    start_step(by, begun)
    assert sand.state == Step.State.TO_DO
    replan(by, seconds=0.5)
    return piece


def failing(by: By) -> dict[str, list[str]]:
    """The checks that do not hold, and what they say."""
    return {check.name: check.trouble for check in check_book(by.at) if not check.holds}


def sql(text: str, *values: str | int | datetime) -> None:
    with connection.cursor() as cursor:
        cursor.execute(text, values)


@contextmanager
def unguarded() -> Iterator[None]:
    """The database looks away: its own check of whereabouts is off, as it would be on a damaged disk."""
    if connection.vendor == "sqlite":
        sql("PRAGMA ignore_check_constraints = ON")
        yield
        sql("PRAGMA ignore_check_constraints = OFF")
    else:
        sql("SET CONSTRAINTS ALL IMMEDIATE")
        sql(f"ALTER TABLE pieces_part DROP CONSTRAINT {WHEREABOUTS}")
        yield


def test_a_sound_book_holds(by: By, book: Piece) -> None:
    """Nothing is wrong, and every check says how much it looked at."""
    found = check_book(by.at)
    assert [check.name for check in found] == NAMES
    assert failing(by) == {}
    assert [check.checked for check in found] == [1, 4, 1, 4, book.positions.count(), Photo.objects.count(), 1]


def test_an_empty_book_holds(by: By) -> None:
    """Nothing there, nothing wrong."""
    assert failing(by) == {}


def test_database_with_a_dangling_row(by: By, book: Piece) -> None:
    """A row that points at nothing is found (PostgreSQL never lets one in)."""
    if connection.vendor != "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("SELECT count(*) FROM pg_constraint WHERE contype = 'f' AND NOT convalidated")
            assert cursor.fetchone() == (0,)
        return
    sql("PRAGMA defer_foreign_keys = ON")
    note = add_note(by, book, "Look at the back.")
    sql("UPDATE pieces_note SET piece_id = 987654 WHERE id = %s", note.pk)
    (line,) = failing(by)["the database is whole"]
    assert line.startswith("pieces_note row")
    sql("UPDATE pieces_note SET piece_id = %s WHERE id = %s", book.pk, note.pk)


@pytest.mark.parametrize("places", [0, 2])
def test_part_in_no_place_or_in_two(by: By, book: Piece, places: int) -> None:
    """A part that is nowhere, or gone and in a tray at once."""
    part = Part.objects.get(number=2)
    with unguarded():
        if places:
            sql("UPDATE pieces_part SET gone_because = 'lost' WHERE id = %s", part.pk)
        else:
            sql("UPDATE pieces_part SET at_spot_id = NULL WHERE id = %s", part.pk)
    assert failing(by)["every part is in exactly one place"] == [f"P-0002 is in {places} places"]


def test_two_parts_in_one_slot(by: By, book: Piece) -> None:
    """A slot keeps the name of one part only."""
    slot = Spot.objects.get(kind=Spot.Kind.SLOT)
    sql("UPDATE pieces_part SET at_spot_id = %s WHERE number = 2", slot.pk)
    assert failing(by) == {"no vessel slot holds two parts": ["tall jar, slot 1 holds 2 parts"]}


def test_part_without_history(by: By, book: Piece) -> None:
    """Where a part came from must be known."""
    sql("DELETE FROM pieces_move WHERE part_id = %s", Part.objects.get(number=3).pk)
    assert failing(by) == {"every part has its history": ["P-0003 has no history"]}


def test_position_that_forgot_what_came_off(by: By, book: Piece) -> None:
    """A part came off a position that says it never did, and one was taken off that has no part."""
    first, fifth = book.positions.all()[0], book.positions.all()[4]
    sql("UPDATE pieces_position SET taken_off_at = NULL WHERE id = %s", first.pk)
    sql("UPDATE pieces_position SET taken_off_at = %s WHERE id = %s", by.at, fifth.pk)
    assert failing(by)["positions and what came off them agree"] == [
        f"{book.number}, {first.name}: a part came off, but no time is written",
        f"{book.number}, {fifth.name}: taken off, but it has not one part",
    ]


@pytest.mark.parametrize("fault", ["missing", "changed"])
def test_photograph_missing_or_changed(by: By, book: Piece, fault: str) -> None:
    """A photograph deleted from the folder, or touched in it."""
    photo = Photo.objects.first()
    assert photo is not None
    file = settings.BOOK.photo(photo.digest)
    whole = file.read_bytes()
    try:
        if fault == "missing":
            file.unlink()
            words = f"the photograph {photo.digest[:12]} is missing"
        else:
            file.write_bytes(whole[:-1])
            words = f"the photograph {photo.digest[:12]} has changed"
        assert failing(by) == {"every photograph is there, unchanged": [words]}
    finally:
        file.write_bytes(whole)


def _move(of: str, **columns: object) -> None:
    PlannedStep.objects.filter(step__title=of).update(**columns)


def _at(by: By, of: str, hours: float, minutes: int) -> None:
    """Move a planned step to another time."""
    start = by.at + hours * HOUR
    end = start + timedelta(minutes=minutes)
    _move(of, start=start, end=end, blocks=[[start.isoformat(), end.isoformat()]])


PLAN_FAULTS: dict[str, tuple[Callable[[By], object], str]] = {
    "dust on a wet coat": (lambda by: _at(by, "Sand", 0, 60), "raises dust while"),
    "before the coat is dry": (lambda by: _at(by, "Coat 2", 2.5, 30), "minutes after"),
    "after the window": (lambda by: _at(by, "Coat 2", 96, 30), "starts too long after"),
    "in the night": (lambda by: _at(by, "Sand", 12, 60), "outside the working hours"),
    "two at once": (lambda by: _at(by, "Sand", 1, 60), " at once"),
    "too short": (lambda by: _at(by, "Sand", 5, 20), "gets 20 of 60 minutes"),
    "in the past": (lambda by: _at(by, "Sand", -1, 60), "lies in the past"),
    "without a reason": (lambda _by: _move("Sand", reason=""), "does not say why"),
    "a step left out": (
        lambda _by: PlannedStep.objects.filter(step__title="Sand").delete(),
        "should be planned and is not",
    ),
    "a promise told wrongly": (
        lambda by: PlannedPromise.objects.update(finish=by.at),
        "is told wrongly",
    ),
}


@pytest.mark.parametrize("fault", PLAN_FAULTS)
def test_plan_that_breaks_a_rule(by: By, book: Piece, fault: str) -> None:
    """A planned step moved by hand into what the rules forbid is found by a checker that is not the planner."""
    plant, words = PLAN_FAULTS[fault]
    assert failing(by) == {}
    plant(by)
    assert any(words in line for line in failing(by)["the plan obeys every rule"])


def test_window_that_could_not_be_kept_is_no_fault(by: By) -> None:
    """What the plan makes good by sanding is not held against it, and the sanding is a step of the book."""
    can = varnish(by, recoat_until_minutes=300)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    done(by, first, by.at - 9 * HOUR, by.at - 8 * HOUR)
    assert replan(by, seconds=0.5).missed == []
    scuff = Step.objects.get(window_of__first=first)
    assert PlannedStep.objects.get(step=scuff).start < PlannedStep.objects.get(step=second).start
    assert failing(by) == {}


def test_overtaken_plan_is_not_judged(by: By, book: Piece) -> None:
    """A label corrected since makes the plan due, not wrong."""
    second = Step.objects.select_related("product").get(title="Coat 2")
    assert second.product is not None
    change_product(by, second.product, recoat_from_minutes=2000)
    assert failing(by) == {}
    assert check_book(by.at)[-1].checked == 0


def test_long_trouble_is_cut(by: By, book: Piece, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of many faults of one kind the first are told and the rest counted."""
    monkeypatch.setattr(checks, "MOST_TROUBLE", 2)
    sql("DELETE FROM pieces_move")
    assert failing(by)["every part has its history"] == [
        "P-0001 has no history",
        "P-0002 has no history",
        "… and 2 more",
    ]
