"""Scuff sanding: when the window for the next coat is missed, the coat is sanded dull first, or the next one will not hold.

The planner puts it in where a window cannot be kept. What it puts in becomes a real step of the book, and is taken away again
when a later plan can do without it, as long as nobody has touched it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import timedelta
from typing import Final

from django.utils.translation import gettext as _

from tallboy.book.doing import By
from tallboy.book.models import Place
from tallboy.book.queries import place_of_kind
from tallboy.drawers.pieces.models import Step, Wait
from tallboy.planner import network
from tallboy.planner.slots.grid import wait_minutes

LEAST_MINUTES, MINUTES_PER_M2, SPREAD = 5, 10, 0.4
"""Sanding a hard coat dull all over by hand [min, min/m²], and its spread as a share: common practice, no source."""
USUAL_MINUTES: Final = 15
"""Where no surface says how large the coat is."""
NEW = "scuff-"
"""The planner's key of a scuff that is no step of the book yet is this and the number of its wait."""
OF_WAIT = "scuff/"
"""The same in the book, where no step of a route has a slash in its key."""


def minutes_for(area_m2: float) -> int:
    """Hands-on minutes for so many square metres, rounded up to five."""
    if area_m2 <= 0:
        return USUAL_MINUTES
    return 5 * math.ceil((LEAST_MINUTES + MINUTES_PER_M2 * area_m2) / 5 - 1e-9)


def title_of(coat: Step) -> str:
    """What it is called: the coat is the one whose window was missed."""
    return _("Sand dull: %(coat)s") % {"coat": coat.title}


def draft(coat: Step, area_m2: float, bench: Place | None) -> Step:
    """The step that makes good the missed window after a coat of so many square metres, not kept in the book yet."""
    minutes = minutes_for(area_m2)
    return Step(
        shop=coat.shop,
        piece=coat.piece,
        title=title_of(coat)[:200],
        does="rub-down",
        minutes=minutes,
        spread_minutes=round(SPREAD * minutes),
        place=bench,
        dusty=True,
        cautions=["dust"],
        needs=[_("Abrasive paper 320 on a block"), _("Vacuum with a fine filter"), _("Dust mask"), _("Tack cloth")],
        note=_(
            "The window for the next coat is missed: the coat has set too hard for it to hold. Sand it dull all over."
        ),
    )


def not_sooner(scuff: network.Step, coat: Step, most: int | network.ByHour | None) -> network.Step:
    """The sanding of a coat that is laid, not before its window has closed: until then it takes the next coat without."""
    if most is None or coat.ended_at is None:
        return scuff
    closes = coat.ended_at + timedelta(minutes=most if isinstance(most, int) else wait_minutes(most, coat.ended_at))
    return replace(scuff, not_before=max(closes, scuff.not_before or closes))


def by_wait(steps: Iterable[Step]) -> dict[int, Step]:
    """The scuff steps of the book by the wait whose window they make good."""
    return {step.window_of_id: step for step in steps if step.window_of_id is not None}


def write_scuffs(by: By, found: network.Plan, problem: network.Problem) -> network.Plan:
    """Make the scuffs of a plan steps of the book, and take away those that it can do without. Part of other actions.

    Gives the same plan with the new steps' own keys in place of those that the planner had for them.
    """
    wanted = {row.scuff for row in found.scuffed}
    new = [link.scuff.key for link in problem.links if link.scuff is not None and link.scuff.key in wanted]
    names = _made_meanwhile(by, new)
    _take_away(by, {_named(key, names) for key in wanted})
    names |= {f"{NEW}{wait.pk}": str(_made(by, wait).pk) for wait in _waits(by, new)}
    return _renamed(found, names)


def _made_meanwhile(by: By, new: Iterable[str]) -> dict[str, str]:
    """The steps' keys of scuffs that the book had not when the planner was asked: an earlier plan of the same run made them."""
    rows = Step.objects.filter(shop=by.shop, window_of__in=_numbers(new), state=Step.State.TO_DO)
    return {f"{NEW}{wait}": str(pk) for pk, wait in rows.values_list("pk", "window_of")}


def _numbers(new: Iterable[str]) -> list[int]:
    """The waits that scuffs which are no steps yet belong to."""
    return [int(key.removeprefix(NEW)) for key in new if key.startswith(NEW)]


def _renamed(found: network.Plan, names: Mapping[str, str]) -> network.Plan:
    """A plan with other keys for some of its steps, wherever they are named."""
    if not names:
        return found
    steps = [
        replace(
            row, key=_named(row.key, names), reason=replace(row.reason, because=_all_named(row.reason.because, names))
        )
        for row in found.steps.values()
    ]
    scuffed = tuple(replace(row, scuff=_named(row.scuff, names)) for row in found.scuffed)
    return replace(found, steps={row.key: row for row in steps}, scuffed=scuffed)


def _named(key: str, names: Mapping[str, str]) -> str:
    return names.get(key, key)


def _all_named(keys: Iterable[str], names: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(_named(key, names) for key in keys)


def _waits(by: By, new: Iterable[str]) -> list[Wait]:
    """The waits of scuffs that are no steps yet; one that somebody has taken away meanwhile is left out."""
    rows = Wait.objects.filter(shop=by.shop, pk__in=_numbers(new), scuff__isnull=True)
    return list(rows.select_related("first__piece", "first__shop", "then"))


def _made(by: By, wait: Wait) -> Step:
    coat = wait.first
    surfaces = list(coat.surfaces.all())
    area = sum(surface.area_m2 for surface in surfaces)
    step = draft(coat, area, place_of_kind(by.shop, Place.Kind.BENCH))
    step.owner, step.key, step.order, step.window_of = by.person, f"{OF_WAIT}{wait.pk}", wait.then.order, wait
    step.save()
    step.surfaces.set(surfaces)
    by.record("add scuff", step, _("Added “%(step)s”: the window for the next coat is missed.") % {"step": step.title})
    return step


def _take_away(by: By, wanted: set[str]) -> None:
    """Scuffs still to do that the plan does not need, and of which nothing is written."""
    rows = Step.objects.filter(
        shop=by.shop, window_of__isnull=False, state=Step.State.TO_DO, not_before__isnull=True,
        notes__isnull=True, photos__isnull=True, clock__isnull=True, deliveries__isnull=True,
        waits_before__isnull=True, waits_after__isnull=True,
    )  # fmt: skip
    for step in rows:
        if str(step.pk) not in wanted:
            by.record("remove scuff", step, _("Not needed any more: “%(step)s”.") % {"step": step.title})
            step.delete()
