"""Invented shops that ask everything of the planner at once; reached through bench.shared.shops.

People with hours and skills of their own, rooms and the air in them, clamps, rack, seats and vessels, noise, solvent and flame,
cold nights, deliveries, windows that can be rubbed down, blocked steps, facts and a plan that people saw. Each of these shops
has a plan that keeps all rules: on Tuesdays and Thursdays everybody is there and the air suits every coat.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from tallboy.planner.network import (
    ByHour,
    Delivery,
    Fixed,
    Link,
    Person,
    Place,
    Resource,
    Span,
    Step,
    Use,
    Wait,
)

NAMES = ("anna", "ben", "carla", "dov")
SKILLS = ("veneer", "turning", "finish")
DAYS_OF_ALL = (1, 3)  # Tuesday and Thursday
CLAMPS, RACK, SEAT, VESSEL = "clamps", "rack", "seat at the far bench", "vessel"


def at_hours(
    start: datetime, days: int, random: np.random.Generator, *stretches: tuple[float, float]
) -> tuple[Span, ...]:
    """These hours on weekdays, with a day off now and then, but not on the days on which everybody is there."""
    spans: list[Span] = []
    for day in (start + timedelta(days=k) for k in range(days)):
        if day.weekday() in DAYS_OF_ALL or (day.weekday() < 5 and random.random() < 0.8):
            spans += [(day + timedelta(hours=a), day + timedelta(hours=b)) for a, b in stretches]
    return tuple(spans)


def people(start: datetime, days: int, random: np.random.Generator) -> tuple[Person, ...]:
    """Two to four people; the first is there whenever the shop is open, every skill is known to somebody."""
    ways = (((8, 12),), ((7, 11), (12, 15)), ((9, 12), (12.5, 16)), ((8, 12), (13, 17)))
    count = int(random.integers(2, 5))
    known = [int(random.integers(count)) for _ in SKILLS]
    return tuple(
        Person(
            NAMES[k],
            NAMES[k].title(),
            None if k == 0 else at_hours(start, days, random, *ways[int(random.integers(4))]),
            frozenset(skill for skill, who in zip(SKILLS, known, strict=True) if who == k or random.random() < 0.2),
        )
        for k in range(count)
    )


def places(start: datetime, days: int, random: np.random.Generator) -> tuple[Place, ...]:
    """Two benches in one room, a yard that closes early; the bench by the window may have fresh air."""
    yard = tuple((start + timedelta(days=k, hours=9), start + timedelta(days=k, hours=16)) for k in range(days))
    return (
        Place("bench", "Bench", room="shop", fresh_air=bool(random.random() < 0.2)),
        Place("far bench", "Far bench", room="shop"),
        Place("yard", "Yard", yard, "outdoors", fresh_air=True),
    )


def resources(random: np.random.Generator) -> tuple[Resource, ...]:
    """Clamps, a rack, one seat and one vessel."""
    return (
        Resource(CLAMPS, "Clamps", int(random.integers(3, 7))),
        Resource(RACK, "Room on the rack", int(random.integers(120, 300))),
        Resource(SEAT, "Seat at the far bench", 1),
        Resource(VESSEL, "Soaking vessel", 1),
    )


def quiet(start: datetime, days: int) -> tuple[Span, ...]:
    """No noise before half past eight and from noon to two."""
    each = [start + timedelta(days=k) for k in range(days)]
    half = timedelta(hours=8, minutes=30)
    return tuple(
        span for day in each for span in ((day, day + half), (day + timedelta(hours=12), day + timedelta(hours=14)))
    )


def fit_air(start: datetime, days: int, random: np.random.Generator) -> tuple[Span, ...]:
    """Warm enough from the morning to the evening, not at all on some days."""
    spans = []
    for day in (start + timedelta(days=k) for k in range(days)):
        if day.weekday() in DAYS_OF_ALL or random.random() < 0.7:
            spans.append((day + timedelta(hours=int(random.integers(8, 11))), day + timedelta(hours=18)))
    return tuple(spans)


def dressed(
    step: Step, clamped: Wait | None, crew: tuple[Person, ...], fit: tuple[Span, ...], random: np.random.Generator
) -> Step:
    """A plain step with everything that a step can ask for, now and then. `clamped` is how long it stays in clamps."""
    step = replace(step, place=str(random.choice(("bench", "bench", "far bench", "yard", "soak station"))))
    uses = [Use(SEAT)] if step.place == "far bench" else []
    if clamped is not None:
        uses.append(Use(CLAMPS, int(random.integers(1, 4)), clamped))
    if step.wet is not None:
        step, more = _as_coat(step, fit, random)
    else:
        step, more = _as_work(step, random)
    step = replace(step, uses=(*uses, *more), spread=float(random.integers(0, 20)))
    return _with_crew(step, crew, random)


def _as_coat(step: Step, fit: tuple[Span, ...], random: np.random.Generator) -> tuple[Step, list[Use]]:
    """A coat lies on the rack while it is wet, may leave vapour, and may ask for warm air."""
    uses = [Use(RACK, int(random.integers(20, 120)), step.wet or Fixed(0))] if random.random() < 0.6 else []
    if random.random() < 0.5:
        minutes = int(random.integers(0, 4)) * 60
        step = replace(step, fit=fit, fit_minutes=minutes, fit_text="Above 10 °C")
    fumes = Fixed(int(random.integers(1, 5)) * 30) if random.random() < 0.4 else None
    return replace(step, fumes=fumes), uses


def _as_work(step: Step, random: np.random.Generator) -> tuple[Step, list[Use]]:
    """Other work may be noisy, done with solvent or with flame, or end in a vessel."""
    roll = random.random(4)
    solvent = bool(roll[0] < 0.2)
    step = replace(
        step,
        noisy=bool(roll[1] < 0.2 and step.place != "yard"),
        solvent=solvent,
        fumes=Fixed(45) if solvent and roll[2] < 0.5 else None,
        ignition=bool(not solvent and roll[0] > 0.85),
    )
    return step, [Use(VESSEL, 1, Fixed(int(random.integers(1, 8)) * 60))] if roll[3] < 0.1 else []


def _with_crew(step: Step, crew: tuple[Person, ...], random: np.random.Generator) -> Step:
    """Skill, two people for short work, or only some who may do it; always so that there is somebody."""
    roll = random.random(3)
    able = list(crew)
    if crew and roll[0] < 0.2:
        step = replace(step, skill=str(random.choice(SKILLS)))
    if roll[1] < 0.15 and not step.split and step.minutes <= 60 and len(crew) != 1:
        step = replace(step, hands=2)
    if crew and roll[2] < 0.2:
        knows = [person for person in able if not step.skill or step.skill in person.skills]
        some = {str(random.choice([person.key for person in knows]))}
        some |= {str(key) for key in random.choice([person.key for person in able], 1 + step.hands)}
        some |= {person.key for person in able if len(some) < step.hands}
        step = replace(step, people=tuple(sorted(some)))
    return step


def with_window(link: Link, then: Step, random: np.random.Generator) -> Link:
    """A window after a drying wait: short with a scuff that makes it good, or long."""
    if link.kind != "drying" or random.random() < 0.4:
        return link
    extra = int(random.integers(1, 30)) * 60
    scuff = Step(f"{then.key}-scuff", then.piece, f"Scuff before {then.title}", 20, place=then.place, dusty=True)
    if isinstance(link.least, ByHour):
        most: int | ByHour = ByHour(link.least.start, tuple(minutes + extra for minutes in link.least.minutes))
    else:
        most = link.least.minutes + extra
    if random.random() < 0.7:
        return replace(link, most=most, scuff=scuff)
    week = 8 * 24 * 60
    if isinstance(most, ByHour):
        return replace(link, most=replace(most, minutes=tuple(week + minutes for minutes in most.minutes)))
    return replace(link, most=week + most)


def with_facts(steps: list[Step], now: datetime, who: str, random: np.random.Generator) -> list[Step]:
    """The first steps of a piece as done before now, and perhaps the next one as begun by `who`."""
    done = int(random.integers(0, len(steps)))
    past = []
    for k, step in enumerate(steps[:done]):
        start = now - timedelta(hours=30 * (done - k) + int(random.integers(0, 3)), minutes=7)
        past.append(replace(step, started=start, done=(start, start + timedelta(minutes=step.minutes))))
    if done and who and random.random() < 0.5:
        begun = replace(steps[done], started=now - timedelta(minutes=23), hands=1, people=(who,))
        return [*past, begun, *steps[done + 1 :]]
    return past + steps[done:]


def awaited(step: Step, start: datetime, random: np.random.Generator) -> Step:
    """Now and then something must come first."""
    if random.random() > 0.08:
        return step
    days = int(random.integers(1, 9))
    return replace(step, awaits=(Delivery("Shellac flakes", start + timedelta(days=days, hours=11)),))
