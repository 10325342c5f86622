"""Invented shops to plan for: random, from a seed, like the ones on the quay. Used by the bench and by the planner's tests."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from bench.shared import full_shop
from tallboy.planner.network import ByHour, Fixed, Link, Person, Plan, Problem, Promise, Span, Step, Wait

ZONE = ZoneInfo("Europe/Lisbon")
MONDAY = datetime(2031, 3, 24, tzinfo=ZONE)  # the clocks change on the Sunday after
AT_ONCE = Fixed(0)
PIECES = ("dresser", "trolley", "slope", "stand", "settle", "press", "stool", "desk")


def working_hours(start: datetime, days: int, *, lunch: bool = True, weekend: bool = False) -> tuple[Span, ...]:
    """Eight to five with an hour for lunch, Monday to Friday."""
    spans: list[Span] = []
    for day in (start + timedelta(days=k) for k in range(days)):
        if day.weekday() >= 5 and not weekend:
            continue
        stretches = ((8, 12), (13, 17)) if lunch else ((8, 17),)
        spans += [(day.replace(hour=a), day.replace(hour=b)) for a, b in stretches]
    return tuple(spans)


def cold_nights(start: datetime, shortest: int, longest: int, days: int) -> ByHour:
    """A wait [min] that is shortest for a coat laid at eight in the morning and longest for one laid in the evening."""
    day = np.arange(24)
    swing = (1 - np.cos((day - 8) / 24 * 2 * np.pi)) / 2
    minutes = (shortest + (longest - shortest) * swing).astype(int)
    return ByHour(start, tuple(int(m) for m in np.tile(minutes, days)))


@dataclass
class Route:
    """Collects the steps and links of one piece."""

    piece: str
    steps: list[Step] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)

    def add(self, step: Step, kind: str = "order", least: Wait = AT_ONCE, most: int | None = None) -> None:
        """Add a step after the last one."""
        if self.steps:
            self.links.append(Link(self.steps[-1].key, step.key, kind, least, most))
        self.steps.append(step)


def a_piece(name: str, steps: int, random: np.random.Generator, start: datetime) -> Route:
    """A route of about `steps` steps: strip, mend, sand, then coats with a light sanding between them."""
    route = Route(name)
    nights = cold_nights(start, int(random.integers(90, 240)), int(random.integers(400, 900)), 10)
    while len(route.steps) < steps:
        k = len(route.steps)
        key = f"{name}-{k}"
        if k < steps // 3:
            _prepare(route, key, random)
        else:
            _coat(route, key, random, nights, steps)
    route.steps = route.steps[:steps]
    kept = {step.key for step in route.steps}
    route.links = [link for link in route.links if {link.first, link.then} <= kept]
    return route


def _prepare(route: Route, key: str, random: np.random.Generator) -> None:
    minutes = int(random.integers(2, 30)) * 5 + int(random.integers(0, 3))
    roll = random.random()
    dusty, split = bool(roll < 0.4), bool(roll > 0.8)
    clamped = bool(0.4 <= roll < 0.6)
    step = Step(key, route.piece, f"Prepare {key}", minutes + 240 * split, dusty=dusty, split=split)
    route.add(step)
    if clamped:
        route.add(
            Step(f"{key}c", route.piece, f"Out of the clamps {key}", 10),
            "clamps",
            Fixed(int(random.integers(4, 30)) * 60),
        )


def _coat(route: Route, key: str, random: np.random.Generator, nights: ByHour, steps: int) -> None:
    wait: Wait = nights if random.random() < 0.6 else Fixed(int(random.integers(2, 24)) * 60)
    wet: Wait = Fixed(int(random.integers(1, 6)) * 30)
    coat = Step(key, route.piece, f"Coat {key}", int(random.integers(3, 16)) * 5, wet=wet)
    last_wait = route.steps[-1].wet is not None if route.steps else False
    route.add(coat, "drying" if last_wait else "order", nights if last_wait else Fixed(0))
    most = 7 * 24 * 60 if random.random() < 0.5 else None
    route.add(
        Step(f"{key}s", route.piece, f"Rub down {key}", int(random.integers(1, 8)) * 5, dusty=True),
        "drying",
        wait,
        most,
    )


def a_shop(
    seed: int, *, pieces: int = 4, steps: int = 25, hands: int = 1, days: int = 42, now: datetime | None = None
) -> Problem:
    """A shop with several pieces under way and a promise for most of them."""
    random = np.random.default_rng(seed)
    now = now or MONDAY + timedelta(hours=8, minutes=int(random.integers(0, 300)))
    routes = [a_piece(f"{PIECES[k % 8]}{k // 8 or ''}", steps, random, MONDAY) for k in range(pieces)]
    all_steps = [_varied(step, hands, random) for route in routes for step in route.steps]
    promises = tuple(
        Promise(route.piece, MONDAY + timedelta(days=int(random.integers(days // 4, days))), int(random.integers(1, 4)))
        for route in routes
        if random.random() < 0.8
    )
    links = tuple(link for route in routes for link in route.links)
    return Problem(now, tuple(all_steps), links, promises, working_hours(MONDAY, days), hands)


def _varied(step: Step, hands: int, random: np.random.Generator) -> Step:
    """Now and then two people, the yard instead of the bench, or a date before which it cannot be done."""
    two, yard, date = random.random(3)
    return replace(
        step,
        hands=2 if hands > 1 and two < 0.1 else step.hands,
        place="yard" if yard < 0.15 else step.place,
        not_before=MONDAY + timedelta(days=int(random.integers(1, 8)), hours=10) if date < 0.04 else None,
    )


def a_full_shop(seed: int, *, pieces: int = 3, steps: int = 8, days: int = 56) -> Problem:
    """A shop that uses everything the planner knows, and that has a plan."""
    random = np.random.default_rng((seed, 1))
    now = MONDAY + timedelta(hours=8, minutes=int(random.integers(0, 60)) * 5 + int(random.integers(0, 2)) * 3)
    crew = full_shop.people(MONDAY, days, random) if random.random() < 0.85 else ()
    fit = full_shop.fit_air(MONDAY, days, random)
    routes = [a_piece(f"{PIECES[k % 8]}{k // 8 or ''}", steps, random, MONDAY) for k in range(pieces)]
    for k, route in enumerate(routes):
        _dress(route, crew, fit, random)
        if random.random() < 0.5:
            who = crew[k].key if k < len(crew) else ""
            route.steps = full_shop.with_facts(route.steps, now, who, random)
        if random.random() < 0.15:
            _block(route, random)
    all_steps = tuple(full_shop.awaited(step, MONDAY, random) for route in routes for step in route.steps)
    return Problem(
        now,
        all_steps,
        tuple(link for route in routes for link in route.links),
        _promises(routes, days, random),
        working_hours(MONDAY, days),
        len(crew) or 2,
        previous=_seen(all_steps, random) if random.random() < 0.4 else {},
        people=crew,
        places=full_shop.places(MONDAY, days, random),
        resources=full_shop.resources(random),
        quiet=full_shop.quiet(MONDAY, days),
        leave_early=bool(random.random() < 0.4),
    )


def _dress(route: Route, crew: tuple[Person, ...], fit: tuple[Span, ...], random: np.random.Generator) -> None:
    """Give the steps and links of a plain route all that they may ask for."""
    clamped = {link.first: link.least for link in route.links if link.kind == "clamps"}
    route.steps = [full_shop.dressed(step, clamped.get(step.key), crew, fit, random) for step in route.steps]
    steps = {step.key: step for step in route.steps}
    route.links = [full_shop.with_window(link, steps[link.then], random) for link in route.links]


def _block(route: Route, random: np.random.Generator) -> None:
    """One step of the route must not be planned yet."""
    k = int(random.integers(len(route.steps)))
    route.steps[k] = replace(route.steps[k], blocked="No dry sanding before the lead test is written down.")


def _promises(routes: Sequence[Route], days: int, random: np.random.Generator) -> tuple[Promise, ...]:
    """A date for most pieces, some of them too early."""
    return tuple(
        Promise(route.piece, MONDAY + timedelta(days=int(random.integers(2, days // 3))), int(random.integers(1, 4)))
        for route in routes
        if random.random() < 0.8
    )


def _seen(steps: Sequence[Step], random: np.random.Generator) -> dict[str, datetime]:
    """Starts that people saw in an older plan, good or bad."""
    return {
        step.key: MONDAY + timedelta(days=int(random.integers(0, 12)), hours=8, minutes=int(random.integers(0, 90)) * 5)
        for step in steps
        if random.random() < 0.7
    }


def later(problem: Problem, plan: Plan, now: datetime, slipped: Sequence[str] = (), slip: int = 0) -> Problem:
    """The same shop at a later `now`: what the plan had before is done, the steps in `slipped` took `slip` minutes longer."""
    rubbed = {told.scuff for told in plan.scuffed if plan.steps[told.scuff].start < now}
    scuffs = [link.scuff for link in problem.links if link.scuff is not None and link.scuff.key in rubbed]
    steps = [_after(step, problem, plan, now, slip * (step.key in slipped)) for step in (*problem.steps, *scuffs)]
    links = [part for link in problem.links for part in _rubbed_down(link, rubbed)]
    starts = {key: planned.start for key, planned in plan.steps.items()}
    return replace(problem, now=now, steps=tuple(steps), links=tuple(links), previous=starts)


def _after(step: Step, problem: Problem, plan: Plan, now: datetime, slip: int) -> Step:
    """A step at a later `now`, done or begun as planned but for `slip` minutes more."""
    planned = plan.steps.get(step.key)
    if planned is None or planned.start >= now:
        return step
    end = planned.end + timedelta(minutes=slip)
    if end <= now:
        return replace(step, started=planned.start, done=(planned.start, end))
    who = planned.people if problem.people else step.people
    return replace(step, started=planned.start, minutes=step.minutes + slip, people=who)


def _rubbed_down(link: Link, rubbed: set[str]) -> Sequence[Link]:
    """A link whose scuff has been begun no longer closes; the scuff lies between its two steps."""
    if link.scuff is None or link.scuff.key not in rubbed:
        return (link,)
    own = replace(link, most=None, scuff=None)
    return own, replace(own, then=link.scuff.key), Link(link.scuff.key, link.then)


def untouched(problem: Problem, slipped: str) -> list[str]:
    """Steps still to be planned that do not follow the slipped one by links."""
    touched = {slipped}
    while more := {link.then for link in problem.links if link.first in touched} - touched:
        touched |= more
    return [
        step.key for step in problem.steps if step.done is None and step.started is None and step.key not in touched
    ]
