"""`tallboy check`: what must always hold of a book, looked at row by row without trusting the code that wrote it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from django.conf import settings
from django.db import connection
from django.db.models import Count
from django.utils.translation import gettext as _

from tallboy.book.models import Photo, Shop
from tallboy.drawers.pieces.models import Part, Position, Spot, Step
from tallboy.drawers.today import queries
from tallboy.drawers.today.gathering.gather import gather
from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep
from tallboy.planner import network
from tallboy.planner.rules.broken import broken_rules

MOST_TROUBLE = 20


@dataclass(frozen=True)
class Checked:
    """One check: its name, how many things were looked at, whether it holds, and what is wrong."""

    name: str
    checked: int
    trouble: list[str]

    @property
    def holds(self) -> bool:
        return not self.trouble


def check_book(now: datetime) -> list[Checked]:
    """Every check over every shop in the book."""
    checks: list[Callable[[datetime], Checked]] = [_database, _whereabouts, _slots, _moves, _positions, _photos, _plans]
    return [check(now) for check in checks]


def _checked(name: str, count: int, trouble: list[str]) -> Checked:
    more = [_("… and %(count)s more") % {"count": len(trouble) - MOST_TROUBLE}] if len(trouble) > MOST_TROUBLE else []
    return Checked(name, count, trouble[:MOST_TROUBLE] + more)


def _database(now: datetime) -> Checked:
    """SQLite looks through its own pages and foreign keys; PostgreSQL enforces both as it goes."""
    trouble: list[str] = []
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA integrity_check")
            trouble += [row[0] for row in cursor.fetchall() if row[0] != "ok"]
            cursor.execute("PRAGMA foreign_key_check")
            trouble += [f"{row[0]} row {row[1]} points at a missing {row[2]}" for row in cursor.fetchall()]
    return _checked(_("the database is whole"), 1, trouble)


def _whereabouts(now: datetime) -> Checked:
    """Each part is in exactly one of: on a position, in a spot, gone."""
    trouble = []
    rows = list(Part.objects.values_list("number", "at_position_id", "at_spot_id", "gone_because"))
    for number, position, spot, gone in rows:
        told = (position is not None) + (spot is not None) + bool(gone)
        if told != 1:
            trouble.append(_("P-%(number)04d is in %(count)s places") % {"number": number, "count": told})
    return _checked(_("every part is in exactly one place"), len(rows), trouble)


def _slots(now: datetime) -> Checked:
    """A vessel's slot names one part at most."""
    slots = Spot.objects.filter(kind=Spot.Kind.SLOT).annotate(held=Count("parts")).order_by("name")
    trouble = [
        _("%(slot)s holds %(count)s parts") % {"slot": slot.name, "count": slot.held} for slot in slots if slot.held > 1
    ]
    return _checked(_("no vessel slot holds two parts"), len(slots), trouble)


def _moves(now: datetime) -> Checked:
    """Each part has a history."""
    without = Part.objects.filter(moves__isnull=True).order_by("number")
    trouble = [_("%(part)s has no history") % {"part": part.label} for part in without]
    return _checked(_("every part has its history"), Part.objects.count(), trouble)


def _positions(now: datetime) -> Checked:
    """A part came off only where something was taken off, and positions and parts agree on their piece."""
    trouble = []
    rows = Position.objects.annotate(parts=Count("came_off")).select_related("piece").order_by("piece", "number")
    for row in rows:
        if row.parts and row.taken_off_at is None:
            trouble.append(f"{row.piece.number}, {row.name}: " + _("a part came off, but no time is written"))
        if row.taken_off_at is not None and row.parts != 1:
            trouble.append(f"{row.piece.number}, {row.name}: " + _("taken off, but it has not one part"))
    return _checked(_("positions and what came off them agree"), len(rows), trouble)


def _photos(now: datetime) -> Checked:
    """Each photograph's file is there and has the content that its name says."""
    trouble = []
    digests = list(Photo.objects.values_list("digest", flat=True).distinct())
    for digest in digests:
        file = settings.BOOK.photo(digest)
        if not file.is_file():
            trouble.append(_("the photograph %(digest)s is missing") % {"digest": digest[:12]})
        elif hashlib.sha256(file.read_bytes()).hexdigest() != digest:
            trouble.append(_("the photograph %(digest)s has changed") % {"digest": digest[:12]})
    return _checked(_("every photograph is there, unchanged"), len(digests), trouble)


def _plans(now: datetime) -> Checked:
    """Each shop's plan in force obeys every rule, by a checker that shares no code with the planner.

    A plan that something has happened to since is not judged: it is due to be worked out anew.
    """
    trouble: list[str] = []
    plans = [plan for plan in map(queries.current_plan, Shop.objects.all()) if plan is not None]
    fresh = [plan for plan in plans if not queries.is_stale(plan)]
    for plan in fresh:
        problem = gather(plan.shop, plan.made_at).problem
        trouble += [broken.text for broken in broken_rules(problem, as_planned(plan, problem))]
    return _checked(_("the plan obeys every rule"), len(fresh), trouble)


def as_planned(plan: Plan, problem: network.Problem) -> network.Plan:
    """A stored plan as the planner's own type; steps already done take the times they really had."""
    rows = list(PlannedStep.objects.filter(plan=plan).select_related("step__window_of"))
    steps = {str(row.step_id): _planned(row) for row in rows}
    for step in problem.steps:
        if step.done is not None:
            begun, ended = step.done
            reason = network.Reason("done", _("done"))
            steps[step.key] = network.Planned(
                step.key, begun, ended, ((begun, ended),), reason, done=True, people=step.people
            )
    told = {str(row.piece_id): row for row in PlannedPromise.objects.filter(plan=plan)}
    promises = tuple(
        network.Kept(wanted.piece, wanted.by, told[wanted.piece].finish, told[wanted.piece].late_minutes)
        for wanted in problem.promises
        if wanted.piece in told
    )
    return network.Plan(
        status="good",
        steps=steps,
        promises=promises,
        bound=plan.bound or 0.0,
        gap=plan.gap or 0.0,
        seconds=plan.seconds,
        made_at=plan.made_at,
        missed_windows=tuple(network.MissedWindow(then, "", first) for first, then in plan.missed),
        cost=plan.cost or 0.0,
        scuffed=tuple(_scuffed(row) for row in rows if row.step.window_of is not None),
        blocked=tuple(network.Blocked(key, text) for key, text in plan.blocked),
        place_changes=plan.place_changes,
    )


def _scuffed(row: PlannedStep) -> network.Scuffed:
    wait = row.step.window_of
    assert wait is not None
    return network.Scuffed(str(wait.first_id), str(wait.then_id), str(row.step_id), row.step.title)


def _planned(row: PlannedStep) -> network.Planned:
    blocks = tuple(row.spans())
    reason = network.Reason(row.rule, row.reason, row.until)
    running = row.step.state == Step.State.RUNNING
    return network.Planned(
        str(row.step_id), row.start, row.end, blocks, reason, running=running, people=tuple(row.people)
    )
