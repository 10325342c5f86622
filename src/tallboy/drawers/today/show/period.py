"""A stretch of days as the plan's pages see it: what was done with its real times, what is planned, what dries, what must not be missed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _

from tallboy.book.models import DayOff, Shop
from tallboy.book.stretches import kept_holidays, moment, timetable
from tallboy.drawers.pieces.models import ClockEntry, Delivery, Piece, Step
from tallboy.drawers.today import queries
from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep
from tallboy.drawers.today.people import people_names
from tallboy.drawers.today.show.week import rest_kind, work_kind

A_DAY = timedelta(days=1)
# What these pages show of hundreds of rows. The rest is read when it is asked for.
STEP_SHOWN = ("title", "does", "state", "ended_at", "minutes", "cautions", "piece", "place")
ROW_SHOWN = ("start", "end", "blocks", "people", "reason", *(f"step__{name}" for name in STEP_SHOWN))
Span = tuple[datetime, datetime]


@dataclass(frozen=True)
class Work:
    """One hands-on stretch. `done`: it really happened then; else it is planned. `who` names the people as the plan does.

    `ticking`: its clock runs.
    """

    step: Step
    start: datetime
    end: datetime
    who: tuple[str, ...] = ()
    done: bool = False
    row: PlannedStep | None = None
    ticking: bool = False

    @property
    def kind(self) -> str:
        return work_kind(self.step)


@dataclass(frozen=True)
class Rest:
    """What rests by itself, `until` the longest wait after it is over."""

    step: Step
    start: datetime
    until: datetime
    word: str

    @property
    def kind(self) -> str:
        return rest_kind(self.word)


@dataclass(frozen=True)
class Closing:
    """A window: `then` must begin before `at`. `planned`: when the plan has it begin; None when it is not planned."""

    first: Step
    then: Step
    at: datetime
    planned: datetime | None = None


@dataclass(frozen=True)
class Due:
    """A promised piece, when the plan has it finished, and whether that is late."""

    piece: Piece
    day: date
    finish: datetime | None = None
    late: bool = False


class Period:
    """From one day to another, both included, by the shop's clock. Everything is read from the plan in force and from the clocks."""

    def __init__(self, shop: Shop, now: datetime, first: date, last: date) -> None:
        self.shop, self.now, self.first, self.last = shop, now, first, last
        self.start = moment(first, time(), shop.tz)
        self.end = moment(last + A_DAY, time(), shop.tz)
        self.plan: Plan | None = queries.current_plan(shop)

    @property
    def days(self) -> list[date]:
        return [self.first + timedelta(days=count) for count in range((self.last - self.first).days + 1)]

    def day_of(self, at: datetime) -> date:
        return at.astimezone(self.shop.tz).date()

    @cached_property
    def rows(self) -> list[PlannedStep]:
        """What is planned for these days and still to do."""
        if self.plan is None:
            return []
        found = PlannedStep.objects.filter(plan=self.plan, start__lt=self.end, end__gt=self.start)
        still = found.filter(step__state__in=[Step.State.TO_DO, Step.State.RUNNING])
        rows = list(still.select_related("step").only(*ROW_SHOWN).order_by("start", "id"))
        queries.share_pieces([row.step for row in rows])
        return rows

    @cached_property
    def work(self) -> list[Work]:
        """Hands in the order of time: what the clocks say, and what is planned from now on."""
        return sorted([*self._clocked(), *self._planned()], key=lambda one: (one.start, one.step.pk))

    def _clocked(self) -> Iterator[Work]:
        entries = ClockEntry.objects.filter(shop=self.shop, began_at__lt=self.end)
        entries = entries.exclude(ended_at__lt=self.start).select_related("step__piece", "step__place")
        for entry in entries:
            end = entry.ended_at or max(self.now, entry.began_at)
            if end > self.start:
                ticks = entry.ended_at is None
                yield Work(entry.step, entry.began_at, end, (str(entry.person_id),), done=True, ticking=ticks)

    def _planned(self) -> Iterator[Work]:
        for row in self.rows:
            for start, end in row.spans():
                # What is under way has its clock up to now.
                since = max(start, self.now) if row.step.state == Step.State.RUNNING else start
                if since < end and since < self.end and end > self.start:
                    yield Work(row.step, since, end, tuple(row.people), row=row)

    @cached_property
    def _waits(self) -> list[dict[str, Any]]:
        """The plan's waits that reach into these days or whose window closes in them, with their times read."""
        found = []
        for wait in self.plan.waits if self.plan else []:
            opens = datetime.fromisoformat(wait["opens"])
            closes = datetime.fromisoformat(wait["closes"]) if wait["closes"] else None
            if (wait["longest"] and opens > self.start) or (closes is not None and self.start <= closes < self.end):
                found.append({**wait, "opens": opens, "closes": closes})
        return found

    @cached_property
    def _resting(self) -> dict[str, Step]:
        """The steps that these waits speak of, by their keys."""
        keys = {key for wait in self._waits for key in (wait["first"], wait["then"])}
        pks = [int(key) for key in keys if key.isdecimal()]
        known = list(Step.objects.filter(shop=self.shop, pk__in=pks).only(*STEP_SHOWN))
        queries.share_pieces(known)
        return {str(step.pk): step for step in known}

    @cached_property
    def _ends(self) -> dict[str, datetime]:
        """When the steps that something rests after end: by the plan, or really."""
        keys = [int(wait["first"]) for wait in self._waits if wait["longest"] and wait["first"].isdecimal()]
        rows = PlannedStep.objects.filter(plan=self.plan, step_id__in=keys).values_list("step_id", "end")
        planned = {str(pk): end for pk, end in rows}
        return {**planned, **{key: step.ended_at for key, step in self._resting.items() if step.ended_at is not None}}

    @cached_property
    def _starts(self) -> dict[int, datetime]:
        """When the steps that have a window begin by the plan."""
        keys = [int(wait["then"]) for wait in self._waits if wait["closes"] is not None and wait["then"].isdecimal()]
        rows = PlannedStep.objects.filter(plan=self.plan, step_id__in=keys)
        return dict(rows.values_list("step_id", "start"))

    @cached_property
    def rests(self) -> list[Rest]:
        """What dries, sets or soaks: the longest wait after each step."""
        return [
            Rest(self._resting[wait["first"]], self._ends[wait["first"]], wait["opens"], wait["kind"])
            for wait in self._waits
            if wait["longest"] and self._ends.get(wait["first"], self.end) < self.end and wait["opens"] > self.start
        ]

    @cached_property
    def closings(self) -> list[Closing]:
        """The windows that close in these days, the first to close first; of a step with several only the first."""
        found: dict[str, Closing] = {}
        for wait in self._waits:
            then, first, at = self._resting.get(wait["then"]), self._resting.get(wait["first"]), wait["closes"]
            if at is None or then is None or first is None or then.state != Step.State.TO_DO:
                continue
            if wait["then"] not in found or at < found[wait["then"]].at:
                found[wait["then"]] = Closing(first, then, at, self._starts.get(then.pk))
        return sorted((one for one in found.values() if self.start <= one.at < self.end), key=lambda one: one.at)

    @cached_property
    def dues(self) -> list[Due]:
        """The pieces promised for these days."""
        pieces = Piece.objects.filter(
            shop=self.shop, handed_over_at__isnull=True, promise__gte=self.first, promise__lte=self.last
        )
        told = {row.piece_id: row for row in PlannedPromise.objects.filter(plan=self.plan)} if self.plan else {}
        return [_due(piece, told.get(piece.pk)) for piece in pieces.order_by("promise", "id")]

    @cached_property
    def deliveries(self) -> list[Delivery]:
        """What is expected in these days and has not come."""
        rows = Delivery.objects.filter(
            shop=self.shop, expected__gte=self.first, expected__lte=self.last, arrived_at__isnull=True
        )
        return list(rows.select_related("step__piece", "product"))

    @cached_property
    def stretches(self) -> list[Span]:
        """The shop's hours in these days."""
        spans = timetable(self.shop, self.start, len(self.days) - 1).of_shop()
        return [span for span in spans if span[0] < self.end]

    @cached_property
    def closed(self) -> dict[date, str]:
        """The days on which nobody works, and why: a day off, a holiday; "" where it is a day like every week's."""
        open_days = {self.day_of(start) for start, _end in self.stretches}
        off = DayOff.objects.filter(shop=self.shop, person__isnull=True, day__gte=self.first, day__lte=self.last)
        given = {row.day: row.reason or _("day off") for row in off}
        why = {**kept_holidays(self.shop, self.first, self.last), **given}
        return {day: why.get(day, "") for day in self.days if day not in open_days}

    @cached_property
    def away(self) -> dict[date, list[str]]:
        """Who has a day off of their own, by day."""
        found: dict[date, list[str]] = {}
        rows = DayOff.objects.filter(shop=self.shop, person__isnull=False, day__gte=self.first, day__lte=self.last)
        for row in rows.select_related("person"):
            if row.person is not None:
                found.setdefault(row.day, []).append(row.person.name)
        return found

    @cached_property
    def names(self) -> dict[str, str]:
        return people_names(self.shop)


def _due(piece: Piece, told: PlannedPromise | None) -> Due:
    assert piece.promise is not None
    return Due(piece, piece.promise, told.finish if told else None, bool(told and told.late_minutes))
