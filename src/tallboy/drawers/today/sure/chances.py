"""How sure the dates of the plan are: worked out with each plan, kept with it as plain data, and told in words.

What is kept, under the plan: how many futures, for each piece when it is finished by how many of them and what that hangs on,
which windows are missed how often; beside each planned step and promise its own dates.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.conf import settings
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from tallboy.drawers.pieces.models import Piece
from tallboy.drawers.today.models import Plan, PlannedPromise
from tallboy.drawers.today.sure.futures import FUTURES, chances_of
from tallboy.planner import network
from tallboy.planner.chance.told import Chances, Driver, Finish, PromiseChance, StepChance

SHARES = (0.01, *(share / 40 for share in range(1, 40)), 0.99)
"""By when so many of all futures have a piece finished is kept for these shares."""
LEAST_FUTURES = 2_000
MOST_WORK = 1_500_000
"""So many steps times futures are worked out after each plan: a fraction of a second. A cluster works all out."""
Dates = dict[str, datetime | None]
OFTEN = 0.02
"""A window that is missed less often than this is not told."""


@dataclass(frozen=True)
class Sure:
    """How sure a plan is: `trouble` tells of a cluster that could not be used."""

    chances: Chances
    trouble: str = ""


def how_sure(problem: network.Problem, found: network.Plan, *, quick: bool = False) -> Sure:
    """Work out how sure a plan is, with as many futures as the next page can wait for; the fewest after a slip, when it is quick."""
    return Sure(*chances_of(problem, found, futures=LEAST_FUTURES if quick else futures_for(len(found.steps))))


def futures_for(steps: int) -> int:
    """How many futures are worked out after each plan of so many steps: in whole chunks of a thousand."""
    if settings.CLUSTER:
        return FUTURES
    return max(LEAST_FUTURES, min(FUTURES, MOST_WORK // max(1, steps) // 1000 * 1000))


def kept(sure: Sure, names: Mapping[str, str]) -> dict[str, Any]:
    """What is kept under the plan. `names` gives steps that the plan added the names that they have in the book."""
    told = sure.chances
    return {
        "futures": told.futures,
        "seed": told.seed,
        "trouble": sure.trouble,
        "beyond": told.beyond,
        "pieces": {
            piece: {
                "by": _by_share(chance.finish),
                "mean": _iso(chance.finish.mean),
                "spread": round(chance.finish.spread),
                "drivers": [_driver(driver, names) for driver in chance.drivers],
            }
            for piece, chance in told.pieces.items()
        },
        "windows": [
            [names.get(one.first, one.first), names.get(one.then, one.then), round(one.missed, 4), bool(one.scuff)]
            for one in told.windows
            if one.missed >= OFTEN
        ],
    }


def _by_share(finish: Finish) -> list[list[Any]]:
    return [[share, _iso(finish.quantile(share))] for share in SHARES]


def _driver(driver: Driver, names: Mapping[str, str]) -> dict[str, Any]:
    return {
        "kind": driver.kind,
        "name": driver.name,
        "steps": [names.get(key, key) for key in driver.steps],
        "share": round(driver.share, 4),
        "spread": round(driver.spread, 4),
    }


def _iso(time: datetime | None) -> str | None:
    return None if time is None else time.isoformat()


def for_step(sure: Sure, key: str) -> Dates:
    """The two dates that are kept beside a planned step: of ten futures one has it begun by `early`, nine by `late`."""
    found: StepChance | None = sure.chances.steps.get(key)
    return {} if found is None else {"early": found.start.early, "late": found.start.late}


def for_promise(sure: Sure, piece: str) -> dict[str, Any]:
    """What is kept beside a promise: its chance, and the date that is 80 % safe."""
    found: PromiseChance | None = next((one for one in sure.chances.promises if one.piece == piece), None)
    return {} if found is None else {"chance": found.chance, "safe_on": found.safe}


def futures_of(plan: Plan | None) -> int:
    """How many futures a plan was followed through; 0 for one that was not."""
    return int(plan.chance.get("futures", 0)) if plan is not None else 0


def percent(chance: float, futures: int) -> str:
    """A chance and its standard error in whole percent, never surer than the futures make it."""
    if chance > 0.995:
        return _("more than 99 %")
    if chance < 0.005:
        return _("less than 1 %")
    error = math.ceil(100 * math.sqrt(chance * (1 - chance) / futures)) if futures else 0
    return _("%(chance).0f %% ± %(error)d %%") % {"chance": 100 * chance, "error": max(1, error)}


@dataclass(frozen=True)
class Line:
    """A promise on one line: when it would be ready, which date is safe, and how likely it is kept."""

    row: PlannedPromise
    ready: str
    safe: str
    likely: str

    @property
    def dates(self) -> str:
        """When it would be ready, and which date is safe."""
        ready = _("ready %(day)s") % {"day": self.ready}
        return "; ".join([ready, _("80 %% safe: %(day)s") % {"day": self.safe}]) if self.safe else ready

    @property
    def chance(self) -> str:
        """How likely the promise is kept, as one phrase; "" where that is not known."""
        return _("%(chance)s likely") % {"chance": self.likely} if self.likely else ""

    @property
    def words(self) -> str:
        """All of it in one sentence."""
        likely = _("%(chance)s likely by the promise") % {"chance": self.likely}
        return "; ".join([self.dates, likely]) if self.likely else self.dates


def lines(plan: Plan | None, rows: Iterable[PlannedPromise]) -> list[Line]:
    """The promises of a plan in words, the least sure one first."""
    count = futures_of(plan)
    return sorted(
        (line_of(row, count) for row in rows), key=lambda line: 1.0 if line.row.chance is None else line.row.chance
    )


def line_for(piece: Piece) -> Line | None:
    """The line of one piece in the plan in force; None where nothing is promised, or nothing planned."""
    row = PlannedPromise.objects.filter(piece=piece).select_related("plan", "piece__shop").order_by("-plan_id").first()
    return None if row is None else line_of(row, futures_of(row.plan))


def line_of(row: PlannedPromise, futures: int) -> Line:
    """One promise in words; of a plan that was followed through no futures only when it would be ready."""
    return Line(
        row,
        _day(row.finish),
        _day(row.safe_on) if row.safe_on is not None else _("no date known") if row.chance is not None else "",
        percent(row.chance, futures) if row.chance is not None else "",
    )


def _day(moment: datetime) -> str:
    return str(date_format(timezone.localtime(moment), "D j M"))
