"""The page "how sure": for each piece its finish in all futures as a line, a table and words, and what it hangs on."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import Piece, Step
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.today import queries
from tallboy.drawers.today.models import Plan
from tallboy.drawers.today.sure import chances
from tallboy.drawers.today.sure import draw as sure_draw
from tallboy.sums.units import format_minutes

TOLD = (0.1, 0.25, 0.5, 0.75, 0.8, 0.9, 0.95)
LEAST_SHARE = 0.05
"""What goes with less of the spread than this [1] is not told."""
CAN = re.compile(r"can (\d+)")


@dataclass(frozen=True)
class Hangs:
    """One thing that a finish hangs on: in words, how much of the spread goes with it, how unsure it is and by whose word."""

    what: str
    share: str
    unsure: str
    source: str
    url: str


@dataclass(frozen=True)
class Window:
    """A window that is often missed: before which step, how often, and whether sanding makes it good."""

    step: Step
    share: str
    sanded: bool


@dataclass(frozen=True)
class SurePiece:
    """One piece: its promise in words if there is one, by when it is finished how likely, and what that hangs on."""

    piece: Piece
    line: chances.Line | None
    mean: datetime | None
    spread: str
    table: list[tuple[str, datetime | None]]
    drawing: str
    hangs: list[Hangs]


class SurePage:
    """Reads what is kept under a plan."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.futures = chances.futures_of(plan)
        self._told: Mapping[str, Any] = plan.chance.get("pieces", {})
        self._promises = {row.piece_id: row for row in queries.promises_of(plan)}
        open_pieces = Step.objects.filter(shop=plan.shop_id, state__in=["to do", "running"]).values("piece")
        rows = Piece.objects.filter(pk__in=open_pieces).select_related("shop")
        self.pieces = sorted((row for row in rows if str(row.pk) in self._told), key=self._in_order)

    def _in_order(self, piece: Piece) -> tuple[bool, float, int]:
        """What is promised first, the least sure promise at the top."""
        row = self._promises.get(piece.pk)
        return row is None, 1.0 if row is None or row.chance is None else row.chance, piece.pk

    @property
    def beyond(self) -> str:
        """How often something is not finished within all hours that are known; "" when that never happens."""
        share = float(self.plan.chance.get("beyond", 0.0))
        return chances.percent(share, self.futures) if share else ""

    def of(self, pieces: Iterable[Piece]) -> list[SurePiece]:
        """Some of the pieces, as the page shows them."""
        pieces = list(pieces)
        drivers = [row for piece in pieces for row in self._told[str(piece.pk)]["drivers"]]
        names = _Names(self.plan.shop, drivers)
        return [self._piece(piece, names) for piece in pieces]

    def _piece(self, piece: Piece, names: _Names) -> SurePiece:
        told, promise = self._told[str(piece.pk)], self._promises.get(piece.pk)
        by = {round(share, 3): _time(text) for share, text in told["by"]}
        return SurePiece(
            piece,
            chances.line_of(promise, self.futures) if promise is not None else None,
            _time(told["mean"]),
            format_minutes(told["spread"]),
            [(f"{100 * share:.0f} %", by.get(share)) for share in TOLD],
            _drawing(piece, by),
            [names.hangs(row) for row in told["drivers"] if row["share"] >= LEAST_SHARE],
        )

    def windows(self) -> list[Window]:
        """The windows that are missed in more than a few futures."""
        rows = self.plan.chance.get("windows", [])
        steps = Step.objects.filter(shop=self.plan.shop_id, pk__in=[int(row[1]) for row in rows if row[1].isdecimal()])
        by_key = {str(step.pk): step for step in steps.select_related("piece")}
        return [
            Window(by_key[then], chances.percent(missed, self.futures), sanded)
            for _first, then, missed, sanded in sorted(rows, key=lambda row: -row[2])
            if then in by_key
        ]


def _time(text: str | None) -> datetime | None:
    return None if text is None else timezone.localtime(datetime.fromisoformat(text))


def _drawing(piece: Piece, by: Mapping[float, datetime | None]) -> str:
    points = [(moment, share) for share, moment in sorted(by.items()) if moment is not None]
    if not points:
        return ""
    promise = None
    if piece.promise is not None:
        evening = datetime.combine(piece.promise, datetime.max.time(), tzinfo=piece.shop.tz)
        promise = timezone.localtime(evening)
    shown = [moment for moment, _share in points] + ([promise] if promise else [])
    days = [(day, _day(day)) for day in sure_draw.midnights(min(shown), max(shown))]
    safe = by.get(0.8)
    rising = sure_draw.Rising(
        points,
        days,
        promise,
        safe,
        _("promised %(day)s") % {"day": _day(promise)} if promise else "",
        _("80 %% safe: %(day)s") % {"day": _day(safe)} if safe else "",
    )
    label = _("%(piece)s: the share of futures that have it finished, by day; the same stands below as a table")
    return sure_draw.draw(rising, label % {"piece": piece.name})


def _day(moment: datetime) -> str:
    return str(date_format(moment, "D j M"))


class _Names:
    """What drivers are called on a page, and where what they go by can be opened."""

    def __init__(self, shop: Shop, drivers: list[Mapping[str, Any]]) -> None:
        keys = {key for row in drivers for key in row["steps"] if key.isdecimal()}
        self._steps = {str(step.pk): step for step in _steps(shop, keys)}
        cans = [int(found[1]) for row in drivers if (found := CAN.fullmatch(row["name"]))]
        self._cans = {f"can {can.pk}": can for can in Product.objects.filter(shop=shop, pk__in=cans)}

    def hangs(self, row: Mapping[str, Any]) -> Hangs:
        """One driver in words."""
        share = f"{100 * row['share']:.0f} %"
        return self._work(row, share) if row["kind"] == "work" else self._wait(row, share)

    def _work(self, row: Mapping[str, Any], share: str) -> Hangs:
        step = self._steps.get(row["steps"][0])
        if step is None:
            return Hangs(row["name"], share, "", "", "")
        minutes = {"minutes": format_minutes(step.minutes), "spread": format_minutes(step.spread_minutes)}
        return Hangs(
            _("the work on “%(step)s”") % {"step": f"{step.piece.name}: {step.title}"},
            share,
            _("%(minutes)s ± %(spread)s") % minutes,
            _("hands-on time and spread of the step"),
            reverse("today:step", args=[step.pk]),
        )

    def _wait(self, row: Mapping[str, Any], share: str) -> Hangs:
        spread, can = row["spread"], self._cans.get(row["name"])
        unsure = _("%(low).2f to %(high).2f times the planned wait") % {
            "low": math.exp(-spread),
            "high": math.exp(spread),
        }
        source = _("the label, the shop's air, and what fingers found of its coats")
        if can is not None:
            what = _("how quickly “%(can)s” dries") % {"can": can.name}
            return Hangs(what, share, unsure, source, reverse("shelf:product", args=[can.pk]))
        first = self._steps.get(next(iter(row["steps"]), ""))
        if first is None:
            return Hangs(_("how long it dries"), share, unsure, source, "")
        what = _("how long “%(step)s” dries") % {"step": f"{first.piece.name}: {first.title}"}
        return Hangs(what, share, unsure, source, reverse("today:step", args=[first.pk]))


def _steps(shop: Shop, keys: Iterable[str]) -> Iterable[Step]:
    return Step.objects.filter(shop=shop, pk__in=[int(key) for key in keys]).select_related("piece")
