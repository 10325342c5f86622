"""Plans that reach far: the horizon follows from the work, and so does the air."""

from __future__ import annotations

import itertools
from datetime import timedelta
from typing import Any

import pytest
from tests.drawers.today.today_made import chair, coat, link, step, varnish, wait

from tallboy.book.doing import By
from tallboy.drawers.air.models import Reading
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.gathering.gather import gather
from tallboy.drawers.today.models import PlannedStep
from tallboy.planner.slots.grid import wait_minutes

DAY = timedelta(days=1)
HOUR = timedelta(hours=1)


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = 0.3


def test_months_of_waiting_are_planned(by: By) -> None:
    """Five coats that each take six weeks: the last lies more than two hundred days ahead, and there is a plan."""
    can = varnish(by, recoat_from_minutes=42 * 1440, cure_minutes=60 * 1440)
    piece = chair(by)
    row = [coat(piece, f"Coat {number}", can) for number in range(6)]
    for first, then in itertools.pairwise(row):
        wait(first, then, kind="drying", from_label="recoat")
    plan = replan(by)
    last = PlannedStep.objects.get(plan=plan, step=row[-1]).start
    assert timedelta(days=210) <= last - by.at <= timedelta(days=240)


def test_a_wait_of_two_months_is_reckoned_with_in_full(by: By) -> None:
    """Not cut off where the forecast ends."""
    can = varnish(by, cure_minutes=60 * 1440)
    piece = chair(by)
    first, then = coat(piece, "Coat", can), step(piece, "Pack it")
    wait(first, then, kind="cure", from_label="cure")
    found = gather(by.shop, by.at)
    assert wait_minutes(link(found.problem, first, then).least, by.at) == 60 * 1440
    assert found.troubles == ()


def test_far_ahead_a_wait_still_depends_on_the_hour(by: By) -> None:
    """Where the forecast ends, the rhythm of its last day goes on: mornings are quicker than evenings, 200 days from now too."""
    Reading.objects.bulk_create(
        Reading(
            **by.kept(),
            at=by.at - hour * HOUR,
            celsius=24 if 9 <= (by.at - hour * HOUR).hour < 19 else 12,
            relative_humidity=55,
        )
        for hour in range(15 * 24)
    )
    can = varnish(by, recoat_from_minutes=300)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    far = step(piece, "Look again next winter")
    wait(second, far, kind="settle", least_minutes=230 * 1440)
    least = link(gather(by.shop, by.at).problem, first, second).least
    near = [wait_minutes(least, (by.at + 20 * DAY).replace(hour=hour)) for hour in range(24)]
    for days in (41, 60, 200):
        ahead = [wait_minutes(least, (by.at + days * DAY).replace(hour=hour)) for hour in range(24)]
        assert max(ahead) > min(ahead) + 60
        # The clocks change on 29 March: the hours of the wall are then an hour of the air apart.
        moved = [*near[1:], near[0]] if (by.at + days * DAY).dst() != (by.at + 20 * DAY).dst() else near
        assert ahead == pytest.approx(moved, abs=20)


def test_work_for_years_is_planned(by: By) -> None:
    """Eighty steps of a whole day and more each: half a year of one pair of hands."""
    piece = chair(by)
    for number in range(80):
        step(piece, f"Carve panel {number}", 700)
    assert len(gather(by.shop, by.at).problem.working) > 200
    plan = replan(by)
    assert PlannedStep.objects.filter(plan=plan).count() == 80
