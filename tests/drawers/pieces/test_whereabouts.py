"""A part is in exactly one place: random sequences of actions against the real database, and raw SQL that tries to cheat.

The machine keeps its own list of where every part should be and which action should be refused; the book must agree.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.models import Model
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule, run_state_machine_as_test

from tallboy.book.doing import By
from tallboy.book.models import Journal, Shop
from tallboy.drawers.bins.actions import add_bin, retire
from tallboy.drawers.bins.models import Bin
from tallboy.drawers.pieces.actions.hardware import (
    add_spot,
    keep_part,
    lay,
    leave_empty,
    note_missing,
    part_gone,
    put_on,
    take_off,
)
from tallboy.drawers.pieces.actions.intake import take_in
from tallboy.drawers.pieces.actions.piece import hand_over
from tallboy.drawers.pieces.models import Move, Part, Piece, Position, Spot
from tallboy.drawers.soaks.actions import add_vessel
from tallboy.drawers.soaks.models import Slot, Vessel
from tallboy.errors import BadInput, Refused, TallboyError
from tallboy.front.ready import ready_fronts, usual_size
from tallboy.front.takein import TakeIn

ONE_OF = st.integers(0, 50)
REASONS = st.sampled_from(["given back", "lost between the boards", "", "   ", "x" * 200, "x" * 201])


def ready_piece(by: By, kind: str, name: str) -> Piece:
    """A piece with a ready front, taken in."""
    width, height, depth = usual_size(kind)
    return take_in(by, TakeIn(name, kind, width, height, depth, front=ready_fronts()[kind]))


WRITTEN: tuple[type[Model], ...] = (Shop, Position, Spot, Part, Move, Bin, Vessel, Slot, Journal)


def rows_of_the_book() -> list[list[tuple[Any, ...]]]:
    """Every row that these actions may write, the shop's count of parts and the journal among them."""
    found = []
    with connection.cursor() as cursor:
        for model in WRITTEN:
            cursor.execute(f"SELECT * FROM {model._meta.db_table} ORDER BY id")  # noqa: S608 — a name of our own
            found.append(cursor.fetchall())
    return found


def place_of(part: Part) -> tuple[str, Any]:
    """Where the three columns say that a part is; fails when they say two things or nothing."""
    told = [
        (kind, value)
        for kind, value in (("on", part.at_position_id), ("in", part.at_spot_id), ("gone", part.gone_because or None))
        if value is not None
    ]
    assert len(told) == 1, f"{part} is in {len(told)} places: {told}"
    return told[0]


class Whereabouts(RuleBasedStateMachine):
    """Somebody at the bench who takes off, lays, fits, keeps and loses parts in any order."""

    def __init__(self, by: By) -> None:
        super().__init__()
        self.by = by
        self.savepoint = transaction.atomic()
        self.savepoint.__enter__()
        self.positions = list(Position.objects.filter(shop=by.shop).select_related("piece").order_by("pk"))
        self.spots = list(Spot.objects.filter(shop=by.shop).order_by("pk"))
        self.bins = list(Bin.objects.filter(shop=by.shop).order_by("pk"))
        self.expected: dict[int, tuple[str, Any]] = {}
        self.taken_off: set[int] = set()
        self.missing: set[int] = set()

    def teardown(self) -> None:
        """Every sequence begins with the same two pieces."""
        transaction.set_rollback(True)
        self.savepoint.__exit__(None, None, None)

    def attempt(self, allowed: bool, act: Callable[[], Part | Position]) -> Part | None:
        """Do it: what is allowed leaves a journal row, what is refused changes nothing at all."""
        before = rows_of_the_book()
        try:
            done = act()
        except TallboyError:
            assert not allowed
            assert rows_of_the_book() == before
            return None
        assert allowed
        newest = Journal.objects.order_by("-pk")[0]
        assert Journal.objects.count() > len(before[-1])
        assert (newest.person, newest.at, newest.subject_id) == (self.by.person, self.by.at, done.pk)
        return done if isinstance(done, Part) else None

    def one_part(self, at: int) -> Part:
        """One of the parts; freshly read, as a page would."""
        known = sorted(self.expected)
        return Part.objects.get(pk=known[at % len(known)])

    def free(self, spot: Spot, part: Part | None = None) -> bool:
        """Whether a spot takes one more part: only a slot can be full."""
        held = [pk for pk, place in self.expected.items() if place == ("in", spot.pk)]
        return spot.kind != Spot.Kind.SLOT or not held or (part is not None and held == [part.pk])

    def holder(self, position: Position) -> int | None:
        """The part that should be on a position."""
        return next((pk for pk, place in self.expected.items() if place == ("on", position.pk)), None)

    @rule(at=ONE_OF, where=ONE_OF)
    def take_off(self, at: int, where: int) -> None:
        position, spot = self.positions[at % len(self.positions)], self.spots[where % len(self.spots)]
        allowed = position.pk not in self.taken_off and self.holder(position) is None and self.free(spot)
        part = self.attempt(allowed, lambda: take_off(self.by, position, kind="hinge", name="butt hinge", spot=spot))
        if part is not None:
            self.expected[part.pk] = ("in", spot.pk)
            self.taken_off.add(position.pk)

    @precondition(lambda self: self.expected)
    @rule(at=ONE_OF, where=ONE_OF)
    def lay(self, at: int, where: int) -> None:
        part, spot = self.one_part(at), self.spots[where % len(self.spots)]
        if self.attempt(self.free(spot, part), lambda: lay(self.by, part, spot)):
            self.expected[part.pk] = ("in", spot.pk)

    @precondition(lambda self: self.expected)
    @rule(at=ONE_OF, where=ONE_OF)
    def put_on(self, at: int, where: int) -> None:
        part, position = self.one_part(at), self.positions[where % len(self.positions)]
        bare = position.pk in self.taken_off | self.missing
        allowed = bare and self.holder(position) in (None, part.pk)
        if self.attempt(allowed, lambda: put_on(self.by, part, position)):
            self.expected[part.pk] = ("on", position.pk)

    @precondition(lambda self: self.expected)
    @rule(at=ONE_OF, where=st.one_of(st.none(), ONE_OF))
    def retire(self, at: int, where: int | None) -> None:
        part = self.one_part(at)
        chosen = None if where is None else self.bins[where % len(self.bins)]
        kept = self.attempt(True, lambda: retire(self.by, part, chosen))
        assert kept is not None
        assert kept.at_spot is not None
        assert kept.at_spot == chosen.spot if chosen else kept.at_spot.name == "Kept parts"
        self.expected[part.pk] = ("in", kept.at_spot_id)

    @precondition(lambda self: self.expected)
    @rule(at=ONE_OF, reason=REASONS)
    def part_gone(self, at: int, reason: str) -> None:
        part = self.one_part(at)
        if self.attempt(0 < len(reason.strip()) <= 200, lambda: part_gone(self.by, part, reason)):
            self.expected[part.pk] = ("gone", reason)

    @rule(
        where=ONE_OF, kind=st.sampled_from(["hinge", "pull", "unicorn"]), screws=st.sampled_from([None, 0, 4, 60, 61])
    )
    def keep_part(self, where: int, kind: str, screws: int | None) -> None:
        spot = self.spots[where % len(self.spots)]
        allowed = kind != "unicorn" and spot.kind != Spot.Kind.SLOT and screws != 61
        part = self.attempt(allowed, lambda: keep_part(self.by, kind=kind, name="", spot=spot, screws=screws))
        if part is not None:
            self.expected[part.pk] = ("in", spot.pk)

    @rule(at=ONE_OF)
    def note_missing(self, at: int) -> None:
        position = Position.objects.get(pk=self.positions[at % len(self.positions)].pk)
        allowed = position.pk not in self.taken_off
        self.attempt(allowed, lambda: note_missing(self.by, position))
        if allowed:
            self.missing.add(position.pk)

    @invariant()
    def every_part_is_where_it_should_be(self) -> None:
        """The book and the machine agree on every part, so none is lost, doubled or deleted."""
        self.parts = list(Part.objects.select_related("at_position__piece", "at_spot"))
        assert {part.pk: place_of(part) for part in self.parts} == self.expected

    @invariant()
    def no_position_and_no_slot_holds_two(self) -> None:
        narrow = {spot.pk for spot in self.spots if spot.kind == Spot.Kind.SLOT}
        held = [part.at_position_id for part in self.parts if part.at_position_id is not None]
        soaking = [part.at_spot_id for part in self.parts if part.at_spot_id in narrow]
        assert len(held) == len(set(held))
        assert len(soaking) == len(set(soaking))

    @invariant()
    def the_history_ends_where_the_part_is(self) -> None:
        """Each part has its chain of moves: the last ends where the part is, and each begins where the one before ended."""
        moves: dict[int, list[Move]] = {}
        for move in Move.objects.order_by("pk"):
            moves.setdefault(move.part_id, []).append(move)
        for part in self.parts:
            history = moves[part.pk]
            assert history[-1].went_to == in_words(part)
            assert [row.came_from for row in history[1:]] == [row.went_to for row in history[:-1]]


def in_words(part: Part) -> str:
    """What the history should say of where a part is."""
    if part.at_position is not None:
        return f"on the {part.at_position.piece.name}: {part.at_position.name}"
    return part.at_spot.name if part.at_spot is not None else f"gone: {part.gone_because}"


def bench(by: By) -> None:
    """Two small pieces, a tray, a bench, two bins and a jar with two slots."""
    ready_piece(by, "bedside", "pine bedside")
    ready_piece(by, "box", "blanket box")
    add_spot(by, "tray A", Spot.Kind.TRAY)
    add_spot(by, "the bench", Spot.Kind.BENCH)
    add_bin(by, "1", "1")
    add_bin(by, "1", "2")
    add_vessel(by, "tall jar", 2)


def test_any_sequence_keeps_every_part_in_exactly_one_place(by: By) -> None:
    """Sequences of actions in any order, drawn anew on each run; a failing one is shown in its shortest form."""
    bench(by)
    run_state_machine_as_test(
        lambda: Whereabouts(by),  # type: ignore[arg-type]
        settings=settings(
            max_examples=20,
            stateful_step_count=30,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )


@pytest.fixture
def fitted(by: By) -> Part:
    """A part that was taken off a piece and fitted again."""
    bench(by)
    position = Position.objects.filter(shop=by.shop).order_by("pk")[0]
    spot = Spot.objects.get(shop=by.shop, name="tray A")
    return put_on(by, take_off(by, position, kind="hinge", name="butt hinge", spot=spot), position)


def test_nothing_is_taken_down_into_a_slot_that_holds_another(by: By, fitted: Part) -> None:
    """A slot names one part only, also for a part that comes straight off its position."""
    slot = Spot.objects.get(shop=by.shop, name="tall jar, slot 1")
    lay(by, fitted, slot)
    position = Position.objects.filter(shop=by.shop, taken_off_at__isnull=True).order_by("pk")[0]
    before = rows_of_the_book()
    with pytest.raises(Refused, match="slot 1 already holds P-0001"):
        take_off(by, position, kind="hinge", name="butt hinge", spot=slot)
    assert rows_of_the_book() == before


def test_nothing_is_taken_down_from_under_a_stand_in(by: By, fitted: Part) -> None:
    """Where nothing was and a stand-in is fitted, there is no part of the piece's own to take off."""
    position = Position.objects.filter(shop=by.shop, taken_off_at__isnull=True).order_by("pk")[0]
    put_on(by, fitted, note_missing(by, position))
    before = rows_of_the_book()
    with pytest.raises(Refused, match="P-0001 is on"):
        take_off(by, position, kind="hinge", name="butt hinge", spot=Spot.objects.get(name="tray A"))
    assert rows_of_the_book() == before


def test_what_went_home_with_its_piece_stays_on_it(by: By, fitted: Part) -> None:
    """A part on a piece that was handed over cannot be laid, retired or gone: it is not in the shop."""
    assert fitted.piece is not None
    hand_over(by, fitted.piece)
    tray = Spot.objects.get(shop=by.shop, name="tray A")
    before = rows_of_the_book()
    acts: list[Callable[[], Part]] = [
        lambda: lay(by, fitted, tray),
        lambda: retire(by, fitted),
        lambda: part_gone(by, fitted, "sold"),
    ]
    for act in acts:
        with pytest.raises(Refused, match="pine bedside has been handed over"):
            act()
    assert rows_of_the_book() == before


def test_a_reason_too_long_for_the_book_is_refused(by: By, fitted: Part) -> None:
    """Not cut off in silence; one that just fits stays whole in the part's history."""
    with pytest.raises(BadInput, match="too long"):
        part_gone(by, fitted, "x" * 201)
    assert part_gone(by, fitted, "x" * 200).moves.order_by("pk").last().went_to == "gone: " + "x" * 200  # type: ignore[union-attr]


def test_a_reason_that_is_no_text_is_refused(by: By, fitted: Part) -> None:
    """A sign that one database would keep and the other not is kept by neither."""
    before = rows_of_the_book()
    with pytest.raises(BadInput, match="no text"):
        part_gone(by, fitted, "sold\0")
    assert rows_of_the_book() == before


def test_a_position_that_carries_its_part_cannot_be_left_empty(by: By) -> None:
    """Only what was taken off, or was missing, leaves a place empty; the reason must fit the book."""
    bench(by)
    position = Position.objects.filter(shop=by.shop).order_by("pk")[0]
    before = rows_of_the_book()
    with pytest.raises(Refused, match="is still on"):
        leave_empty(by, position, "looks better so")
    assert rows_of_the_book() == before
    note_missing(by, position)
    with pytest.raises(BadInput, match="too long"):
        leave_empty(by, position, "x" * 201)
    assert leave_empty(by, position, "x" * 200).left_empty_because == "x" * 200


CHEATS = {
    "on a position and in a spot": "at_spot_id = (SELECT min(id) FROM pieces_spot)",
    "on a position and gone": "gone_because = 'sold'",
    "in a spot and gone": "at_position_id = NULL, at_spot_id = (SELECT min(id) FROM pieces_spot), gone_because = 'sold'",
    "in all three": "at_spot_id = (SELECT min(id) FROM pieces_spot), gone_because = 'sold'",
    "nowhere": "at_position_id = NULL",
    "nowhere, the reason unknown": "at_position_id = NULL, gone_because = NULL",
    "on a position that is none": "at_position_id = 0",
}


def by_hand(sql: str, *values: int | None) -> None:
    """Run a statement past every action, and ask at once what is otherwise asked at the end of a transaction."""
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
        assert cursor.rowcount == 1
    connection.check_constraints()


@pytest.mark.parametrize("cheat", CHEATS)
def test_the_database_refuses_two_places_or_none(fitted: Part, cheat: str) -> None:
    """Not even SQL written by hand can set two whereabouts, or none."""
    before = rows_of_the_book()
    with pytest.raises(IntegrityError), transaction.atomic():
        by_hand(f"UPDATE pieces_part SET {CHEATS[cheat]} WHERE id = %s", fitted.pk)  # noqa: S608 — our own words
    assert rows_of_the_book() == before


def test_the_database_refuses_a_new_part_that_is_nowhere(fitted: Part) -> None:
    """A row written past the actions needs a place too."""
    left_out = ("id", "number", "at_position_id")
    names = ", ".join(str(field.column) for field in Part._meta.concrete_fields if field.column not in left_out)
    insert = f"INSERT INTO pieces_part (number, {names}) SELECT 9999, {names} FROM pieces_part WHERE id = %s"  # noqa: S608
    with pytest.raises(IntegrityError), transaction.atomic():
        by_hand(insert, fitted.pk)
    assert Part.objects.count() == 1


def test_the_database_refuses_two_parts_on_one_position(by: By, fitted: Part) -> None:
    """Not by SQL either."""
    tray = Spot.objects.get(shop=by.shop, name="tray A")
    other = keep_part(by, kind="hinge", name="another hinge", spot=tray)
    sql = "UPDATE pieces_part SET at_spot_id = NULL, at_position_id = %s WHERE id = %s"
    with pytest.raises(IntegrityError), transaction.atomic():
        by_hand(sql, fitted.at_position_id, other.pk)
    assert Part.objects.filter(at_position=fitted.at_position_id).count() == 1


def test_a_change_to_one_place_is_not_refused(fitted: Part) -> None:
    """The same statement with one place is accepted, so the refusals above are for the reason they say."""
    by_hand("UPDATE pieces_part SET at_position_id = NULL, gone_because = 'sold' WHERE id = %s", fitted.pk)
    fitted.refresh_from_db()
    assert place_of(fitted) == ("gone", "sold")
