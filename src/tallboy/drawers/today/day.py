"""What the Today page, the day sheet and `tallboy today` show: one source for all three."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import ClockEntry, Step
from tallboy.drawers.today import queries
from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep
from tallboy.drawers.today.people import at_work, people_names, told_names
from tallboy.drawers.today.waiting import Waiting, waiting

DAYS_AHEAD = 7
# As far as the week's drawing can reach, with a weekend and a holiday in it.
LOOK_AHEAD = timedelta(days=10)
MOST_TURNS = 14
# What the pages of reasons ask for; Today reads hundreds of rows, and not this of them.
NOT_SHOWN = ("because", "until", "window_closes", "free_until", "spare_until")
# A step that should have begun longer ago than this means that the day has gone another way than the plan.
SLIP = timedelta(minutes=20)


@dataclass(frozen=True)
class Turn:
    """What is done of one step on one day. `goes_on` when the step has begun on a day before, or before lunch. `who` names those who do
    it, where several people work."""

    row: PlannedStep
    start: datetime
    end: datetime
    goes_on: bool = False
    who: str = ""


@dataclass(frozen=True)
class Day:
    """One day's work: the single next step, the rest in order, what waits, and what is promised.

    `clocks` names the people whose clock runs, by step. `today` holds what is begun or still to do today, and what should
    have been done before; `later` the days after it.
    """

    shop: Shop
    now: datetime
    plan: Plan | None
    stale: bool
    next: PlannedStep | None
    running: list[Step]
    today: list[Turn]
    later: list[tuple[date, list[Turn]]]
    waiting: list[Waiting]
    rows: list[PlannedStep] = field(default_factory=list)
    promises: list[PlannedPromise] = field(default_factory=list)
    clocks: dict[int, list[str]] = field(default_factory=dict)

    @property
    def free_from(self) -> datetime | None:
        """When the hands are free for good today."""
        return max((turn.end for turn in self.today if turn.end > self.now), default=None)

    @property
    def behind(self) -> bool:
        """Whether the next step should have begun already."""
        return self.next is not None and self.next.start < self.now - SLIP

    def at_hand(self, name: str, key: str = "") -> Step | None:
        """The one thing first for a person: what their clock runs on, else what lies begun, else their next step by the plan, in
        which they have that key."""
        mine = [step for step in self.running if name in self.clocks.get(step.pk, [])]
        idle = [step for step in self.running if step.pk not in self.clocks]
        following = self.next_of(key) or self.next
        return next(iter(mine + idle), following.step if following else None)

    def next_of(self, key: str) -> PlannedStep | None:
        """The first step still to do that the plan gives to a person, or to nobody by name."""
        to_do = (row for row in self.rows if row.step.state == Step.State.TO_DO)
        return next((row for row in to_do if key in row.people or not row.people), None)


def day_of(shop: Shop, now: datetime) -> Day:
    """The day as the plan in force sees it."""
    plan = queries.current_plan(shop)
    rows = _planned(plan, now + LOOK_AHEAD)
    today = now.astimezone(shop.tz).date()
    names = people_names(shop)
    several = len(at_work(rows, names)) > 1
    days = _by_day(_turns(rows, shop, today, names if several else None))
    return Day(
        shop=shop,
        now=now,
        plan=plan,
        stale=plan is not None and queries.is_stale(plan),
        next=next((row for row in rows if row.step.state == Step.State.TO_DO), None),
        running=_running(shop),
        today=days.pop(today, []),
        later=_near(sorted(days.items()), today + timedelta(days=DAYS_AHEAD)),
        waiting=waiting(shop, now),
        rows=rows,
        promises=list(queries.promises_of(plan)) if plan else [],
        clocks=_clocks(shop),
    )


def _planned(plan: Plan | None, until: datetime) -> list[PlannedStep]:
    """What is planned to begin before `until`; when that is nothing, the first that comes after it."""
    if plan is None:
        return []
    still = PlannedStep.objects.filter(plan=plan, step__state__in=[Step.State.TO_DO, Step.State.RUNNING])
    ordered = still.select_related("step").defer(*NOT_SHOWN).order_by("start", "id")
    rows = list(ordered.filter(start__lt=until)) or list(ordered[:1])
    queries.share_pieces([row.step for row in rows])
    return rows


def _near(days: list[tuple[date, list[Turn]]], until: date) -> list[tuple[date, list[Turn]]]:
    """The days before `until`, as many as can be read: whole days, the first one always."""
    shown: list[tuple[date, list[Turn]]] = []
    for day, turns in days:
        if day >= until or (shown and sum(len(of) for _day, of in shown) + len(turns) > MOST_TURNS):
            break
        shown.append((day, turns))
    return shown


def _running(shop: Shop) -> list[Step]:
    """What has begun, planned or not; the latest first, for that is what somebody is likely to be at."""
    rows = Step.objects.filter(shop=shop, state=Step.State.RUNNING, piece__handed_over_at__isnull=True)
    return list(rows.select_related("piece", "place").order_by("-began_at", "-id"))


def _clocks(shop: Shop) -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    entries = ClockEntry.objects.filter(shop=shop, ended_at__isnull=True)
    for step, name in entries.values_list("step_id", "person__name"):
        found.setdefault(step, []).append(name)
    return found


def _turns(
    rows: Iterable[PlannedStep], shop: Shop, today: date, names: Mapping[str, str] | None
) -> Iterator[tuple[date, Turn]]:
    """Each planned step once for every day that it is worked on; what should have been done before counts to today."""
    for row in rows:
        by_day: dict[date, list[tuple[datetime, datetime]]] = {}
        who = told_names(row.people, names) if names is not None else ""
        for start, end in row.spans():
            local = start.astimezone(shop.tz), end.astimezone(shop.tz)
            by_day.setdefault(max(local[0].date(), today), []).append(local)
        for day, spans in by_day.items():
            yield day, Turn(row, spans[0][0], spans[-1][1], spans[0][0] > row.start, who)


def _by_day(turns: Iterable[tuple[date, Turn]]) -> dict[date, list[Turn]]:
    days: dict[date, list[Turn]] = {}
    for day, turn in turns:
        days.setdefault(day, []).append(turn)
    for of_day in days.values():
        of_day.sort(key=lambda turn: turn.start)
    return days
