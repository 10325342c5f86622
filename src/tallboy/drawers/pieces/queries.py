"""Questions about pieces, their positions, parts and steps."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TypeVar

from django.db.models import Count, Model, Prefetch, Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import Fault, Part, Piece, Position, Route, Spot, Step, Surface
from tallboy.drawers.pieces.whereabouts import Whereabouts
from tallboy.drawers.pieces.words import STATES
from tallboy.errors import NotFound

M = TypeVar("M", bound=Model)
PLACES_TOLD = 3


def line(shop: Shop, now: datetime) -> str:
    """One line for the chest."""
    count = Piece.objects.filter(shop=shop, handed_over_at__isnull=True).count()
    return _("%(count)s in the shop") % {"count": count}


def in_the_shop(shop: Shop) -> QuerySet[Piece]:
    """Pieces that have not been handed over, newest first."""
    return Piece.objects.filter(shop=shop, handed_over_at__isnull=True).order_by("-id")


def handed_over(shop: Shop) -> QuerySet[Piece]:
    """Pieces that have gone home, the latest first."""
    return Piece.objects.filter(shop=shop, handed_over_at__isnull=False).order_by("-handed_over_at")


def with_counts(pieces: QuerySet[Piece]) -> QuerySet[Piece]:
    """Pieces with how many steps are left, done and how many positions were taken off."""
    open_states = [Step.State.TO_DO, Step.State.RUNNING]
    return pieces.annotate(
        steps_open=Count("steps", filter=Q(steps__state__in=open_states), distinct=True),
        steps_done=Count("steps", filter=Q(steps__state=Step.State.DONE), distinct=True),
        positions_off=Count(
            "positions", filter=Q(positions__taken_off_at__isnull=False, positions__part__isnull=True), distinct=True
        ),
    )


def piece(shop: Shop, pk: int) -> Piece:
    """The piece, or NotFound."""
    return _one(Piece.objects.filter(shop=shop, pk=pk), _("There is no such piece in this book."))


def piece_numbered(shop: Shop, number: str) -> Piece:
    """The piece with this number, or NotFound."""
    return _one(
        Piece.objects.filter(shop=shop, number=number),
        _("There is no piece with the number %(number)s in this book.") % {"number": number},
        _("The number of a piece looks like 2026-002; it stands with its name."),
    )


def position(shop: Shop, pk: int) -> Position:
    """The position with its piece, or NotFound."""
    rows = Position.objects.filter(shop=shop, pk=pk).select_related("piece")
    return _one(rows, _("There is no such position in this book."))


def part(shop: Shop, pk: int) -> Part:
    """The part with where it is, or NotFound."""
    rows = Part.objects.filter(shop=shop, pk=pk).select_related("piece", "home", "at_position__piece", "at_spot")
    return _one(rows, _("There is no such part in this book."))


def part_numbered(shop: Shop, number: int) -> Part:
    """The part with this number on its tag, or NotFound."""
    return _one(Part.objects.filter(shop=shop, number=number), _("There is no part with that number in this book."))


def step(shop: Shop, pk: int) -> Step:
    """The step with its piece, or NotFound."""
    rows = Step.objects.filter(shop=shop, pk=pk).select_related("piece", "place", "product")
    return _one(rows, _("There is no such step in this book."))


def spot(shop: Shop, pk: int) -> Spot:
    """The named place, or NotFound."""
    return _one(Spot.objects.filter(shop=shop, pk=pk), _("There is no such place in this book."))


def route(shop: Shop, pk: int) -> Route:
    """The route, or NotFound."""
    return _one(Route.objects.filter(shop=shop, pk=pk), _("There is no such route in this book."))


def _one(rows: QuerySet[M], message: str, hint: str = "") -> M:
    found = rows.first()
    if found is None:
        raise NotFound(message, hint)
    return found


@dataclass(frozen=True)
class PositionLine:
    """One position on the take-down and put-back lists: what came off, what is on it now, and its state.

    `state` is one of on (as it came), off (taken off, nothing back yet), missing (nothing was there), back (its own part
    fitted again), standin (another part fitted), empty (stays empty, with the reason).
    """

    position: Position
    state: str
    came_off: Part | None
    fitted: Part | None
    where: str

    @property
    def accounted(self) -> bool:
        """Whether this position would not hold up the hand-over."""
        return self.state in ("on", "back", "standin", "empty")

    @property
    def state_words(self) -> str:
        return str(STATES[self.state])


def position_lines(of: Piece) -> list[PositionLine]:
    """Every position of a piece in order, with its part and where that is now. Four queries whatever the number."""
    came_off = Part.objects.select_related("at_position__piece", "at_spot").order_by("number")
    rows = (
        Position.objects.filter(piece=of)
        .select_related("piece", "part")
        .prefetch_related(Prefetch("came_off", queryset=came_off))
    )
    return [_line(row) for row in rows]


def _line(row: Position) -> PositionLine:
    own = next(iter(row.came_off.all()), None)
    fitted = getattr(row, "part", None)
    state = _state(row, own, fitted)
    return PositionLine(row, state, own, fitted, _where(row, own, fitted, state))


def _state(row: Position, own: Part | None, fitted: Part | None) -> str:
    if fitted is not None:
        return "back" if own is None or fitted.pk == own.pk else "standin"
    if row.left_empty_because:
        return "empty"
    if row.taken_off_at is not None:
        return "off"
    return "missing" if row.missing_at_take_in else "on"


def _where(row: Position, own: Part | None, fitted: Part | None, state: str) -> str:
    if state == "empty":
        return row.left_empty_because
    if own is not None and fitted is None:
        return Whereabouts.of(own).words()
    return ""


def parts_words(lines: Sequence[PositionLine]) -> str:
    """Where the parts of a piece are, in one line: "16 parts off: tray A (9), tray B (7); 1 missing"."""
    off = Counter(row.where for row in lines if row.state == "off")
    counts = Counter(row.state for row in lines)
    told = [_off_words(off)] if off else []
    if counts["missing"]:
        told.append(_("%(count)s missing") % {"count": counts["missing"]})
    if counts["empty"]:
        told.append(_("%(count)s left empty") % {"count": counts["empty"]})
    return "; ".join(told) if told or not lines else _("every part is on it")


def _off_words(off: Counter[str]) -> str:
    """How many parts are off, and where they lie while that can be said in a line."""
    total = off.total()
    words = ngettext("%(count)s part off", "%(count)s parts off", total) % {"count": total}
    if len(off) == 1:
        return f"{words}: {next(iter(off))}"
    if len(off) > PLACES_TOLD:
        return f"{words}, " + _("in %(count)s places") % {"count": len(off)}
    return f"{words}: " + ", ".join(f"{place} ({count})" for place, count in off.most_common())


def unaccounted(of: Piece) -> list[PositionLine]:
    """Positions that would hold up the hand-over: taken off or missing, nothing fitted, no reason given."""
    return [row for row in position_lines(of) if not row.accounted]


def loose_parts(of: Piece) -> QuerySet[Part]:
    """Parts of a piece that are neither on it, nor retired to a bin, nor gone."""
    return (
        Part.objects.filter(piece=of, at_spot__isnull=False)
        .exclude(at_spot__kind=Spot.Kind.BIN)
        .select_related("at_spot", "home")
    )


def steps_of(of: Piece) -> QuerySet[Step]:
    """The piece's steps in order."""
    return of.steps.select_related("place", "product").order_by("order")


def stand_ins(position: Position) -> QuerySet[Part]:
    """Parts of the kind that a position wants: kept for another piece, of no piece, or loose ones of this very piece.

    What lies in a tray for another piece is waited for there.
    """
    spare = Q(at_spot__kind=Spot.Kind.BIN) | Q(piece__isnull=True) | Q(piece=position.piece_id)
    return (
        Part.objects.filter(spare, shop=position.shop_id, kind=position.kind, at_spot__isnull=False)
        .exclude(at_spot__kind=Spot.Kind.SLOT)
        .exclude(home=position)
        .select_related("at_spot", "piece")
    )


def faults_of(of: Piece) -> Sequence[Fault]:
    return list(of.faults.select_related("position"))


def surfaces_of(of: Piece) -> Sequence[Surface]:
    return list(of.surfaces.all())


def routes_of(shop: Shop, kind: str = Route.Kind.ROUTE) -> Sequence[Route]:
    return list(Route.objects.filter(shop=shop, kind=kind))


def spots_for_parts(shop: Shop) -> Sequence[Spot]:
    """Where a part may be laid: the bench and trays first, then bins and slots."""
    order = {Spot.Kind.TRAY: 0, Spot.Kind.BENCH: 1, Spot.Kind.SLOT: 2, Spot.Kind.BIN: 3}
    return sorted(Spot.objects.filter(shop=shop), key=lambda spot: (order[Spot.Kind(spot.kind)], spot.name))
