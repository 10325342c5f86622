"""What if: a change to the shop, the plan with it beside the plan without. Nothing is stored; it is only a question."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import Piece, Route
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.today import queries
from tallboy.drawers.today.gathering.gather import Gathered, gather
from tallboy.drawers.today.what_if.dropped_in import NEW, DroppedIn, dropped_in
from tallboy.errors import TallboyError
from tallboy.planner import network
from tallboy.planner.as_seen import as_seen
from tallboy.planner.solve import solve
from tallboy.planner.what_if.days import closed_weekdays, next_closed
from tallboy.planner.what_if.rescue import added_minutes
from tallboy.planner.what_if.variants import Change, Helper, OpenDays, Overtime, PutFirst, WithoutPiece
from tallboy.sums.air_heated import heated
from tallboy.sums.air_series import AirSeries
from tallboy.sums.units import format_temperature

SATURDAY = 5
A_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Question:
    """What is asked. Each part may be left out; `until` is how long overtime and helpers last, else to the end of the plan."""

    like: Piece | None = None
    route: Route | None = None
    ready: date | None = None
    hands: int = 0
    overtime: float = 0.0
    until: date | None = None
    saturdays: bool = False
    closed_days: int = 0
    day: date | None = None
    celsius: float | None = None
    can: Product | None = None
    instead: Product | None = None
    without: Piece | None = None
    first: Piece | None = None

    @property
    def asks(self) -> bool:
        """Whether anything is asked at all."""
        return replace(self, until=None, route=None, ready=None) != Question() and not (self.can and not self.instead)


@dataclass(frozen=True)
class Side:
    """One of the two plans, with the problem it is for; without a plan, `why_not` says why there is none."""

    problem: network.Problem
    troubles: tuple[str, ...]
    plan: network.Plan | None
    why_not: str = ""


@dataclass(frozen=True)
class PieceRow:
    """One piece in both plans: when it is finished (None: not planned), and by how many days its promise is missed."""

    key: str
    number: str
    name: str
    promised: datetime | None
    now: datetime | None
    then: datetime | None
    late_now: int
    late_then: int

    @property
    def gained(self) -> int | None:
        """Days by which it is finished earlier; below 0: later. None where one of the plans does not have it."""
        return None if self.now is None or self.then is None else (self.now.date() - self.then.date()).days

    @property
    def lost(self) -> int:
        """Days by which it is finished later, 0 where it is not."""
        return max(0, -(self.gained or 0))

    @property
    def gain(self) -> str:
        """What is gained or lost, in days; nothing where one of the plans does not have the piece."""
        if self.gained is None:
            return ""
        if self.lost:
            return ngettext("%(n)s day later", "%(n)s days later", self.lost) % {"n": self.lost}
        if self.gained:
            return ngettext("%(n)s day earlier", "%(n)s days earlier", self.gained) % {"n": self.gained}
        return _("the same day")


@dataclass(frozen=True)
class Move:
    """A step that begins at another time."""

    title: str
    now: datetime
    then: datetime


@dataclass(frozen=True)
class Answer:
    """Both plans and what is different. Minutes are hands-on time of single pairs of hands [min]."""

    changes: tuple[str, ...]
    now: Side
    then: Side
    pieces: tuple[PieceRow, ...] = ()
    moves: tuple[Move, ...] = ()
    minutes_now: int = 0
    minutes_then: int = 0
    added: int = 0
    new: DroppedIn | None = field(default=None)

    @property
    def late_now(self) -> int:
        """How many promises are missed as it is."""
        return sum(row.late_now > 0 for row in self.pieces)

    @property
    def late_then(self) -> int:
        """How many promises are missed as it is asked."""
        return sum(row.late_then > 0 for row in self.pieces)

    @property
    def proven(self) -> bool:
        """Whether both plans are proven to be the best."""
        return all(side.plan is not None and side.plan.status == "optimal" for side in (self.now, self.then))

    @property
    def moved(self) -> int:
        """How many steps begin at another time."""
        return len(self.moves)

    @property
    def gone_troubles(self) -> list[str]:
        """What had to be bent in the plan as it is, and need not be then."""
        return [line for line in self.now.troubles if line not in self.then.troubles]

    @property
    def new_troubles(self) -> list[str]:
        return [line for line in self.then.troubles if line not in self.now.troubles]


def answer(shop: Shop, at: datetime, question: Question, seconds: float) -> Answer:
    """The plan in force and the one as it is asked side by side, each within `seconds` [s] of the solver.

    Where the plan in force is not right any more, or there is none, the shop as it is is planned anew.
    """
    now = _as_it_is(shop, gather(shop, at), seconds)
    new = _new_piece(question)
    asked = gathered_for(shop, at, question, new)
    changes = changes_of(question, asked.problem)
    problem = asked.problem
    for change in changes:
        problem = change.on(problem)
    if now.plan is not None:
        problem = replace(problem, previous={key: row.start for key, row in now.plan.steps.items()})
    then = _side(replace(asked, problem=problem), seconds)
    words = (*air_words(shop, question), *new_words(question, new), *(change.name for change in changes))
    bare = Answer(words, now, then, new=new)
    return bare if now.plan is None or then.plan is None else _compared(bare, now.plan, then.plan, _pieces(shop, new))


def gathered_for(shop: Shop, at: datetime, question: Question, new: DroppedIn | None = None) -> Gathered:
    """The shop with other air, other cans and one piece more, as asked; what people do is not changed here."""
    cans = {question.can.pk: question.instead} if question.can and question.instead else None
    extra = (new.steps, new.waits) if new else ((), ())
    return gather(shop, at, air_change=_warmer(question.celsius, at), cans=cans, extra=extra)


def _warmer(celsius: float | None, at: datetime) -> Callable[[AirSeries], AirSeries] | None:
    return None if celsius is None else lambda series: heated(series, celsius, at)


def _new_piece(question: Question) -> DroppedIn | None:
    if question.like is None:
        return None
    return dropped_in(question.like, _("The new piece"), question.ready, question.route)


def changes_of(question: Question, problem: network.Problem) -> tuple[Change, ...]:
    """What people would do otherwise, as changes to the problem: first the days and hours, then the hands, then the pieces."""
    zone = problem.now.tzinfo
    until = None if question.until is None else datetime.combine(question.until, time(23, 59), tzinfo=zone)
    end = max((closes for _opens, closes in problem.working), default=problem.now)
    days = _days(question, problem, until or end)
    changes: list[Change | None] = [
        OpenDays(days, _("work on Saturdays") if question.saturdays and len(days) > 2 else "") if days else None,
        Overtime(question.overtime, until) if question.overtime else None,
        Helper(question.hands, until=until) if question.hands else None,
        WithoutPiece(str(question.without.pk), question.without.name) if question.without else None,
        PutFirst(str(question.first.pk), question.first.name) if question.first else None,
    ]
    return tuple(change for change in changes if change is not None)


def _days(question: Question, problem: network.Problem, until: datetime) -> tuple[date, ...]:
    """The closed days on which there is work all the same."""
    saturdays = closed_weekdays(problem, SATURDAY) if question.saturdays else ()
    more = next_closed(problem, question.closed_days, until) if question.closed_days else ()
    one = (question.day,) if question.day is not None and question.day >= problem.now.date() else ()
    return tuple(sorted({day for day in saturdays if day <= until.date()} | {*more, *one}))


def air_words(shop: Shop, question: Question) -> tuple[str, ...]:
    """The air and the cans that are asked about, in words."""
    words = []
    if question.celsius is not None:
        celsius = format_temperature(question.celsius, shop.units)
        words.append(_("the shop heated to %(celsius)s from now on, day and night") % {"celsius": celsius})
    if question.can is not None and question.instead is not None:
        words.append(_("%(new)s instead of %(old)s") % {"new": question.instead.name, "old": question.can.name})
    return tuple(words)


def new_words(question: Question, new: DroppedIn | None) -> tuple[str, ...]:
    """The piece that would be taken in, in words."""
    if new is None or question.like is None:
        return ()
    if question.route is None:
        return (_("one more piece like %(piece)s") % {"piece": question.like.name},)
    told = {"piece": question.like.name, "route": question.route.name}
    return (_("one more piece of the size of %(piece)s, by “%(route)s”") % told,)


def _as_it_is(shop: Shop, gathered: Gathered, seconds: float) -> Side:
    """The plan that people see, its steps where they stand in it, as long as no more than work has gone another way."""
    seen = queries.current_plan(shop)
    if seen is None or (queries.is_stale(seen) and not queries.only_slipped(shop)):
        return _side(gathered, seconds)
    side = _side(gathered, seconds, as_seen)
    if side.plan is None or seen.status != "optimal" or not _stands(side.plan, gathered.problem):
        return side
    return replace(side, plan=replace(side.plan, status="optimal"))


def _stands(plan: network.Plan, problem: network.Problem) -> bool:
    """Whether every step that is still to begin is where people saw it."""
    to_do = (row for row in plan.steps.values() if not (row.done or row.running))
    return all(problem.previous.get(row.key, row.start) == row.start for row in to_do)


def _side(gathered: Gathered, seconds: float, planned: Callable[..., network.Plan] = solve) -> Side:
    try:
        plan = planned(gathered.problem, seconds=seconds)
    except TallboyError as error:
        return Side(gathered.problem, gathered.troubles, None, str(error))
    return Side(gathered.problem, gathered.troubles, plan)


def _pieces(shop: Shop, new: DroppedIn | None) -> dict[str, Piece]:
    """The pieces by their keys, the new one among them."""
    pieces = {str(row.pk): row for row in Piece.objects.filter(shop=shop, handed_over_at__isnull=True)}
    return pieces | ({str(NEW): new.piece} if new else {})


def _compared(answer: Answer, now: network.Plan, then: network.Plan, pieces: dict[str, Piece]) -> Answer:
    return replace(
        answer,
        pieces=tuple(_piece_rows(answer.now.problem, now, answer.then.problem, then, pieces)),
        moves=tuple(_moves(answer.now.problem, now, answer.then.problem, then)),
        minutes_now=_minutes(answer.now.problem, now),
        minutes_then=_minutes(answer.then.problem, then),
        added=added_minutes(answer.now.problem, answer.then.problem, then),
    )


def planned_steps(problem: network.Problem, plan: network.Plan) -> list[network.Step]:
    """The steps that a plan has, scuff sandings that it puts in among them; not what is done."""
    scuffs = {link.scuff.key: link.scuff for link in problem.links if link.scuff is not None}
    steps = {step.key: step for step in problem.steps}
    return [step for step in {**scuffs, **steps}.values() if step.done is None and step.key in plan.steps]


def finishes(problem: network.Problem, plan: network.Plan) -> dict[str, datetime]:
    """When each piece with steps still to do is finished, in the zone of the problem."""
    ends: dict[str, datetime] = {}
    for step in planned_steps(problem, plan):
        end = plan.steps[step.key].end.astimezone(problem.now.tzinfo)
        ends[step.piece] = max(end, ends.get(step.piece, end))
    return ends


def _piece_rows(
    one: network.Problem, now: network.Plan, other: network.Problem, then: network.Plan, pieces: dict[str, Piece]
) -> Iterable[PieceRow]:
    before, after = finishes(one, now), finishes(other, then)
    due = {promise.piece: promise.by for promise in (*one.promises, *other.promises)}
    late = [{kept.piece: kept for kept in plan.promises} for plan in (now, then)]
    order = sorted({*before, *after}, key=lambda key: (due.get(key, datetime.max.replace(tzinfo=one.now.tzinfo)), key))
    for key in order:
        late_now, late_then = (late_days(of.get(key)) for of in late)
        yield PieceRow(
            key,
            pieces[key].number,
            pieces[key].name,
            due.get(key),
            before.get(key),
            after.get(key),
            late_now,
            late_then,
        )


def late_days(kept: network.Kept | None) -> int:
    """By how many days a promise is missed, a begun day counted; 0 when it is kept."""
    if kept is None or not kept.late_minutes:
        return 0
    return max(1, (kept.finish.astimezone(kept.by.tzinfo).date() - kept.by.date()).days)


def _moves(one: network.Problem, now: network.Plan, other: network.Problem, then: network.Plan) -> Iterable[Move]:
    """Steps still to begin that both plans have, at different times; the earliest first."""
    starts = [
        {step.key: plan.steps[step.key].start for step in planned_steps(problem, plan) if step.started is None}
        for problem, plan in ((one, now), (other, then))
    ]
    titles = {step.key: step.title for step in planned_steps(other, then)}
    both = [key for key in titles if key in starts[0] and key in starts[1]]
    moves = (Move(titles[key], starts[0][key], starts[1][key]) for key in both if starts[0][key] != starts[1][key])
    return sorted(moves, key=lambda move: move.then.timestamp())


def _minutes(problem: network.Problem, plan: network.Plan) -> int:
    return sum(step.minutes * step.hands for step in planned_steps(problem, plan) if step.started is None)
