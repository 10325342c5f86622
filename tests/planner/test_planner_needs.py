"""What a step needs beside hands: room, clamps, vessels, deliveries, quiet, fit air, and air that nothing spoils."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest

from tallboy.errors import BadInput
from tallboy.planner.network import (
    Blocked,
    ByHour,
    Delivery,
    Fixed,
    Link,
    Place,
    Plan,
    Problem,
    Promise,
    Resource,
    Step,
    Use,
)
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.solve import first_plan, solve

EIGHT = datetime.fromisoformat("2031-03-24T08:00+00:00")
OPEN = ((EIGHT, EIGHT + timedelta(hours=9)), (EIGHT + timedelta(days=1), EIGHT + timedelta(hours=33)))


def shop(*steps: Step, hands: int = 2, **more: Any) -> Problem:
    """Two long days, two pairs of hands."""
    return replace(Problem(EIGHT, steps, (), (), OPEN, hands), **more)


def solved(problem: Problem) -> Plan:
    """The best plan; it keeps every rule by the independent check."""
    plan = solve(problem, seconds=2)
    assert broken_rules(problem, plan) == ()
    assert plan.status == "optimal"
    return plan


def hour(plan: Plan, key: str) -> float:
    """When a step starts, in hours after eight."""
    return (plan.steps[key].start - EIGHT).total_seconds() / 3600


def step(key: str, minutes: int = 60, **more: Any) -> Step:
    """A step of a piece of its own."""
    return replace(Step(key, key, key.capitalize(), minutes), **more)


def test_clamps_are_taken_until_the_glue_has_set() -> None:
    """Six clamps: two glue-ups of four cannot be in clamps at the same time, though there are hands for both."""
    glue = [step(key, uses=(Use("clamps", 4, Fixed(120)),)) for key in ("door", "rail")]
    plan = solved(shop(*glue, resources=(Resource("clamps", "clamps", 6),)))
    assert sorted((hour(plan, "door"), hour(plan, "rail"))) == [0, 3]
    later = max(plan.steps.values(), key=lambda planned: planned.start)
    assert later.reason.rule == "room"
    assert "Not enough left of “clamps”" in later.reason.text


def test_one_vessel_holds_one_soak() -> None:
    """The jar is free when the soak is over and a minute of hands has emptied it."""
    soak = [step(key, 10, uses=(Use("jar", 1, Fixed(230)),)) for key in ("hinges", "pulls")]
    plan = solved(shop(*soak, resources=(Resource("jar", "the jar", 1),)))
    assert sorted((hour(plan, "hinges"), hour(plan, "pulls"))) == [0, 4]
    later = max(plan.steps.values(), key=lambda planned: planned.start)
    assert later.reason.text.startswith("The jar is taken by")


def test_the_rack_is_freed_by_the_hour_a_coat_is_laid() -> None:
    """What is laid at eight dries in one hour, later in four: the second coat waits for the first one's hour, not for another's."""
    wait = ByHour(EIGHT, (60, 60, 240, 240, 240, 240, 240, 240, 240))
    coats = [step(key, 60, uses=(Use("rack", 80, wait),)) for key in ("door", "flap")]
    plan = solved(shop(*coats, resources=(Resource("rack", "the rack", 100),)))
    assert sorted((hour(plan, "door"), hour(plan, "flap"))) == [0, 2]


def test_what_is_laid_already_takes_its_room() -> None:
    """Even more than there is: that was done. Nothing new is added until there is room."""
    done = [
        step(
            key, 60, done=(EIGHT - timedelta(hours=2), EIGHT - timedelta(hours=1)), uses=(Use("rack", 60, Fixed(180)),)
        )
        for key in ("door", "flap")
    ]
    plan = solved(
        shop(*done, step("shelf", uses=(Use("rack", 10, Fixed(0)),)), resources=(Resource("rack", "rack", 100),))
    )
    assert hour(plan, "shelf") == 2


def test_a_step_waits_for_what_is_delivered() -> None:
    """The later of the two deliveries counts, and is named."""
    awaits = (
        Delivery("the wax", EIGHT + timedelta(hours=1)),
        Delivery("the shellac sealer", EIGHT + timedelta(hours=3)),
    )
    plan = solved(shop(step("coat", awaits=awaits)))
    assert hour(plan, "coat") == 3
    assert plan.steps["coat"].reason.rule == "delivery"
    assert "the shellac sealer" in plan.steps["coat"].reason.text


def test_noise_keeps_out_of_quiet_hours() -> None:
    """And ends before they begin."""
    quiet = ((EIGHT, EIGHT + timedelta(hours=1)), (EIGHT + timedelta(hours=1.5), EIGHT + timedelta(hours=4)))
    plan = solved(shop(step("plane", noisy=True), step("sand"), quiet=quiet))
    assert (hour(plan, "plane"), hour(plan, "sand")) == (4, 0)
    assert plan.steps["plane"].reason.rule == "quiet"


def test_a_coat_waits_for_fit_air_that_lasts() -> None:
    """A first warm hour is too short for the coat and the two hours it asks after it."""
    fit = (
        (EIGHT + timedelta(hours=1), EIGHT + timedelta(hours=3)),
        (EIGHT + timedelta(hours=4), EIGHT + timedelta(hours=8)),
    )
    coat = step("coat", fit=fit, fit_minutes=120, fit_text="It asks for 10 °C.")
    plan = solved(shop(coat))
    assert hour(plan, "coat") == 4
    assert plan.steps["coat"].reason.rule == "air"
    assert "It asks for 10 °C." in plan.steps["coat"].reason.text


def test_no_other_work_beside_an_open_solvent() -> None:
    """In the same room one after the other; with fresh air, or in another room, side by side."""
    strip, plane = step("strip", solvent=True), step("plane", place="saw bench")
    room = (Place("bench", room="shop"), Place("saw bench", room="shop"))
    plan = solved(shop(strip, plane, places=room))
    assert sorted((hour(plan, "strip"), hour(plan, "plane"))) == [0, 1]
    later = max(plan.steps.values(), key=lambda planned: planned.start)
    assert later.reason.rule == "vapour"
    aired = (replace(room[0], fresh_air=True), room[1])
    for places in (aired, (Place("bench", room="shop"), Place("saw bench", room="yard")), ()):
        plan = solved(shop(strip, plane, places=places))
        assert (hour(plan, "strip"), hour(plan, "plane")) == (0, 0)


def test_no_flame_until_the_vapour_is_gone() -> None:
    """Fresh air does not help against fire; alone in the shop neither."""
    strip, burn = step("strip", solvent=True, fumes=Fixed(90)), step("burn", ignition=True)
    for hands in (1, 2):
        plan = solved(shop(strip, burn, hands=hands, places=(Place("bench", fresh_air=True),)))
        assert (hour(plan, "burn"), hour(plan, "strip")) == (0, 1)
        assert plan.steps["strip"].reason.rule in ("fire", "hands")
    first = shop(strip, burn, promises=(Promise("strip", EIGHT + timedelta(hours=1)),))
    assert hour(solved(first), "burn") == 2.5


def test_a_done_solvent_step_keeps_flames_away() -> None:
    """What was done before now still gives off vapour."""
    strip = step("strip", solvent=True, fumes=Fixed(90), done=(EIGHT - timedelta(hours=1), EIGHT))
    plan = solved(shop(strip, step("burn", ignition=True)))
    assert hour(plan, "burn") == 1.5


def test_a_blocked_step_and_what_follows_are_left_out_and_told() -> None:
    """The rest is planned; the promise of the piece says when what is planned ends."""
    sand = step("sand", blocked="Test the old paint for lead first.")
    problem = shop(
        replace(step("look"), piece="chest"),
        replace(sand, piece="chest"),
        replace(step("coat"), piece="chest"),
        links=(Link("look", "sand"), Link("sand", "coat")),
        promises=(Promise("chest", EIGHT + timedelta(days=1)),),
    )
    plan = solved(problem)
    assert set(plan.steps) == {"look"}
    assert [one.step for one in plan.blocked] == ["sand", "coat"]
    assert plan.blocked[0] == Blocked("sand", "Test the old paint for lead first.")
    assert "Sand" in plan.blocked[1].text
    assert plan.promises[0].finish == plan.steps["look"].end


def test_a_piece_that_is_all_blocked_finishes_never_and_now() -> None:
    """Nothing of it is planned, so its promise stands at now."""
    problem = shop(step("sand", blocked="No."), promises=(Promise("sand", EIGHT + timedelta(hours=4)),))
    plan = solved(problem)
    assert plan.promises[0].finish == EIGHT


@pytest.mark.parametrize(
    ("use", "words"),
    [
        (Use("clamps", 7), "needs 7"),
        (Use("jar"), "jar"),
        (Use("clamps", -1), "-1"),
        (Use("clamps", 1, Fixed(-5)), "negative"),
    ],
)
def test_uses_that_cannot_be_are_refused(use: Use, words: str) -> None:
    """More than there is, something unknown, a negative amount or time."""
    with pytest.raises(BadInput, match=words):
        first_plan(shop(step("glue", uses=(use,)), resources=(Resource("clamps", "clamps", 6),)))


def test_deliveries_and_fit_air_must_say_their_zone() -> None:
    """A naive time is refused."""
    naive = EIGHT.replace(tzinfo=None)
    for wrong in (step("coat", awaits=(Delivery("wax", naive),)), step("coat", fit=((naive, naive),))):
        with pytest.raises(BadInput, match="time zone"):
            first_plan(shop(wrong))
