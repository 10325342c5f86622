"""What the planner is asked of a step: its people, what it takes, what it does to the air; bent where the shop has not enough, and told."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import pytest
from tests.drawers.today.today_made import asked, chair, coat, cold, done, link, step, varnish, wait

from tallboy.book.actions import set_hours
from tallboy.book.actions.means import add_means
from tallboy.book.actions.people import add_person, change_person
from tallboy.book.actions.places import change_place
from tallboy.book.doing import By
from tallboy.book.models import Means, Place, Shop
from tallboy.drawers.air.models import Reading
from tallboy.drawers.pieces.actions.deliveries import arrived, expect
from tallboy.drawers.pieces.actions.work import start_step
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.today.gathering.gather import Gathered, gather
from tallboy.planner.network import Fixed, Use
from tallboy.planner.slots.grid import wait_minutes

HOUR = timedelta(hours=1)
SOON = date(2026, 3, 17)


def gathered(by: By) -> Gathered:
    """What the planner is asked now, of a shop read afresh."""
    return gather(Shop.objects.get(pk=by.shop.pk), by.at)


def used(by: By, of: Step, resource: str) -> Use | None:
    """What a step takes of a resource."""
    return next((use for use in asked(gathered(by).problem, of).uses if use.of == resource), None)


def rhythm(by: By, least: float, most: float) -> None:
    """Two weeks in which it was cold from six in the evening to nine in the morning, and warm by day, by the shop's clock."""
    at = by.at.astimezone(UTC)
    Reading.objects.bulk_create(
        Reading(
            **by.kept(),
            at=at - timedelta(hours=hour),
            celsius=most if 9 <= (at - timedelta(hours=hour)).hour < 18 else least,
            relative_humidity=55,
        )
        for hour in range(15 * 24)
    )


def test_flags_skill_and_spread_are_handed_on(by: By) -> None:
    """As they are written of the step; a skill in the small letters in which the shop keeps it."""
    change_person(by, by.person.pk, name="Ines", works=True, skills=["French polishing"])
    made = step(
        chair(by),
        "Polish",
        noisy=True,
        solvent=True,
        skill="French polishing",
        dusty=True,
        split=True,
        spread_minutes=12,
    )
    found = asked(gathered(by).problem, made)
    assert (found.noisy, found.solvent, found.ignition, found.dusty, found.split) == (True, True, False, True, True)
    assert (found.skill, found.spread) == ("french polishing", 12.0)


def test_only_those_who_may(by: By) -> None:
    """By the keys that the planner knows people by."""
    other = add_person(by, "Tomé")
    made = step(chair(by), "Carve")
    made.people.set([other])
    found = gathered(by)
    assert asked(found.problem, made).people == (str(other.pk),)
    assert str(other.pk) in {person.key for person in found.problem.people}
    change_person(by, other.pk, name="Tomé", works=False, skills=[])
    found = gathered(by)
    assert asked(found.problem, made).people == ()
    assert any("none of those who alone may do it" in trouble for trouble in found.troubles)


def test_a_skill_that_nobody_has_is_told_and_not_asked(by: By) -> None:
    """A plan by anybody is better than none; the sentence says what to do."""
    made = step(chair(by), "Gild", skill="gilding")
    found = gathered(by)
    assert asked(found.problem, made).skill == ""
    assert any("knows gilding" in trouble for trouble in found.troubles)


def test_who_is_at_a_step_that_has_begun(by: By) -> None:
    """Whoever's clock runs on it."""
    made = step(chair(by), "Plane")
    start_step(by, made)
    assert asked(gathered(by).problem, made).people == (str(by.person.pk),)


def test_clamps_are_taken_until_their_wait_is_over(by: By) -> None:
    """The longest wait in clamps behind the gluing; no more than there are; nothing where nobody has counted them."""
    piece = chair(by)
    glue, unclamp, look = step(piece, "Glue", clamps=6), step(piece, "Unclamp"), step(piece, "Look")
    wait(glue, unclamp, kind="clamps", least_minutes=720)
    wait(glue, look, kind="clamps", least_minutes=60)
    assert used(by, glue, "clamps") is None
    add_means(by, "sash cramps", Means.Kind.CLAMPS, 4)
    assert used(by, glue, "clamps") == Use("clamps", 4, Fixed(720))
    assert any("6 clamps, and there are 4" in trouble for trouble in gathered(by).troubles)
    add_means(by, "small clamps", Means.Kind.CLAMPS, 10)
    assert used(by, glue, "clamps") == Use("clamps", 6, Fixed(720))


def test_wet_doors_lie_on_the_rack_until_they_are_touch_dry(by: By) -> None:
    """By the label, in the air of the hour they are laid; laid already they still lie there."""
    add_means(by, "the rack", Means.Kind.RACK, 200)
    doors = coat(chair(by), "Coat the doors", varnish(by), rack_dm2=70)
    found = used(by, doors, "rack")
    assert found is not None
    assert (found.amount, wait_minutes(found.hold, by.at)) == (70, 60)
    done(by, doors, by.at - HOUR, by.at - HOUR / 2)
    assert used(by, doors, "rack") is not None


def test_each_piece_of_work_takes_a_seat(by: By) -> None:
    """Where the place has been said to have so many."""
    bench = Place.objects.filter(shop=by.shop, kind=Place.Kind.BENCH)[0]
    made = step(chair(by), "Plane", place=bench)
    assert asked(gathered(by).problem, made).uses == ()
    change_place(by, bench.pk, room=bench.room, fresh_air=bench.fresh_air, seats=2)
    assert asked(gathered(by).problem, made).uses == (Use(f"seats:{bench.name}"),)


@pytest.mark.parametrize(("solvent", "minutes"), [(True, 60), (False, None)])
def test_a_solvent_coat_can_catch_fire_until_it_is_touch_dry(by: By, solvent: bool, minutes: int | None) -> None:
    """By the label's own time in this air; a coat without solvent has no fumes."""
    laid = coat(chair(by), "Coat", varnish(by), solvent=solvent)
    fumes = asked(gathered(by).problem, laid).fumes
    assert (None if fumes is None else wait_minutes(fumes, by.at)) == minutes


@pytest.mark.parametrize(("least", "burns"), [(30, 30), (1440, 240), (0, 0)])
def test_what_was_wiped_with_spirit_burns_while_the_next_step_waits(by: By, least: int, burns: int) -> None:
    """Four hours at the most: common practice, no source."""
    piece = chair(by)
    wipe, sand = step(piece, "Wipe with spirit", solvent=True), step(piece, "Sand")
    wait(wipe, sand, kind="drying", least_minutes=least)
    assert asked(gathered(by).problem, wipe).fumes == Fixed(burns)


def test_a_coat_lies_where_the_air_suits_it(by: By) -> None:
    """Warm by day only: from nine to the last warm hour before six, today and in six weeks, until it is touch dry."""
    rhythm(by, 4.0, 20.0)
    laid = coat(chair(by), "Coat", varnish(by, minimum_celsius=10.0))
    found = asked(gathered(by).problem, laid)
    assert found.fit is not None
    assert found.fit_minutes == 60
    assert "at least 10" in found.fit_text
    for days in (1, 20, 41, 100):
        noon = by.at.replace(hour=12) + timedelta(days=days)
        (span,) = [(start, end) for start, end in found.fit if start <= noon < end]
        assert abs((span[0] - noon.replace(hour=9)) / HOUR) <= 2
        assert abs((span[1] - noon.replace(hour=17)) / HOUR) <= 2
        night = by.at.replace(hour=3) + timedelta(days=days)
        assert not any(start <= night < end for start, end in found.fit)


@pytest.mark.parametrize(("celsius", "minimum"), [(20.0, 10.0), (10.0, 10.0)])
def test_air_that_always_suits_asks_nothing(by: By, celsius: float, minimum: float) -> None:
    """Just warm enough is warm enough."""
    cold(by, celsius)
    laid = coat(chair(by), "Coat", varnish(by, minimum_celsius=minimum))
    assert asked(gathered(by).problem, laid).fit is None


def test_damp_air_never_suits_and_that_is_told(by: By) -> None:
    """At 15 °C and 95 % the dew point is 14.2 °C (Magnus): a surface as warm as the air is 0.8 °C above it, 3 °C are asked."""
    Reading.objects.bulk_create(
        Reading(**by.kept(), at=by.at - timedelta(hours=hour), celsius=15, relative_humidity=95)
        for hour in range(15 * 24)
    )
    laid = coat(chair(by), "Coat", varnish(by, minimum_celsius=5.0))
    found = gathered(by)
    assert asked(found.problem, laid).fit is None
    assert [trouble for trouble in found.troubles if "“Clear varnish” asks for" in trouble]


def test_work_other_than_a_coat_asks_nothing_of_the_air(by: By) -> None:
    """Sanding may be done in the cold."""
    rhythm(by, 4.0, 20.0)
    sand = step(chair(by), "Sand")
    assert asked(gathered(by).problem, sand).fit is None


def test_a_coat_in_hours_that_are_always_cold_is_planned_all_the_same(by: By) -> None:
    """Work from six to eight, warmth from nine: it is told, and the planner is not asked for what cannot be."""
    rhythm(by, 4.0, 20.0)
    set_hours(by, [(day, time(6), time(8)) for day in range(7)])
    laid = coat(chair(by), "Coat", varnish(by, minimum_celsius=10.0))
    found = gathered(by)
    assert asked(found.problem, laid).fit is None
    assert any("in working hours" in trouble for trouble in found.troubles)


def test_steps_wait_for_what_is_on_its_way(by: By) -> None:
    """For this step, or for its can while none is left; from noon of the day, by the shop's clock."""
    can, full = varnish(by), varnish(by, "Full can", left_ml=400.0)
    piece = chair(by)
    pin, first, other = step(piece, "Pin"), coat(piece, "Coat 1", can), coat(piece, "Coat 2", full)
    for row in (expect(by, "Pins", SOON, step=pin), expect(by, "Varnish", SOON, product=can)):
        assert row.arrived_at is None
    more = expect(by, "More varnish", SOON, product=full)
    problem = gathered(by).problem
    noon = datetime.combine(SOON, time(12), tzinfo=by.shop.tz)
    assert [(one.what, one.at) for one in asked(problem, pin).awaits] == [("Pins", noon)]
    assert [one.what for one in asked(problem, first).awaits] == ["Varnish"]
    assert asked(problem, other).awaits == ()
    arrived(by, more)
    assert asked(gathered(by).problem, other).awaits == ()


@pytest.mark.parametrize(("days", "noon_of"), [(5, 6), (4, 5)])
def test_what_is_overdue_is_counted_on_from_tomorrow_noon(by: By, days: int, noon_of: int) -> None:
    """Also on its very day, once noon has passed."""
    pin = step(chair(by), "Pin")
    expect(by, "Pins", date(2026, 3, 16), step=pin)
    later = (by.at + timedelta(days=days)).replace(hour=15)
    problem = gather(by.shop, later).problem
    wanted = datetime.combine(by.at.date() + timedelta(days=noon_of), time(12), tzinfo=by.shop.tz)
    assert [one.at for one in asked(problem, pin).awaits] == [wanted]


def test_waits_from_a_can_are_long_or_short_together(by: By) -> None:
    """How sure they are comes from the estimate; fixed waits are certain, and so is what a fixed wait outlasts."""
    can = varnish(by)
    piece = chair(by)
    first, second, third, last = (coat(piece, f"Coat {n}", can) for n in range(4))
    wait(first, second, kind="drying", from_label="recoat")
    wait(second, third, kind="cure", least_minutes=600)
    wait(third, last, kind="drying", from_label="recoat", least_minutes=9000)
    problem = gathered(by).problem
    unsure, fixed, outlasted = link(problem, first, second), link(problem, second, third), link(problem, third, last)
    assert 0.02 < unsure.spread < 1.1
    assert unsure.shared == f"can {can.pk}"
    assert (fixed.spread, fixed.shared, outlasted.spread, outlasted.shared) == (0.0, "", 0.0, "")


def test_no_flame_beside_what_its_caution_keeps_flames_from(by: By) -> None:
    """Oil has no open solvent, but its caution says no hot air while it is wet: the plan keeps what the caution says."""
    piece = chair(by)
    oil = coat(piece, "Oil", varnish(by), cautions=["oily-rags", "open-flame"])
    paint, iron = step(piece, "Paint"), step(piece, "Iron", ignition=True, cautions=["open-flame"])
    problem = gathered(by).problem
    assert asked(problem, oil).fumes is not None
    assert not asked(problem, oil).solvent
    assert asked(problem, paint).fumes is None
    assert asked(problem, iron).fumes is None, "it would stand in its own way"


def test_too_few_hands_are_told(by: By) -> None:
    """A glue-up for two in a shop of one is planned with one, and says so; with a second pair of hands nothing is said."""
    glue = step(chair(by), "Glue and clamp", hands=2)
    found = gathered(by)
    assert asked(found.problem, glue).hands == 1
    assert any("takes 2 pairs of hands at once, and the shop has 1" in trouble for trouble in found.troubles)
    add_person(by, "Tomé")
    found = gathered(by)
    assert asked(found.problem, glue).hands == 2
    assert not found.troubles


def test_the_shops_calendar_is_handed_on(by: By) -> None:
    """People, places, what there is only so much of, and whether days should end early."""
    add_person(by, "Tomé")
    Shop.objects.filter(pk=by.shop.pk).update(leave_early=True)
    step(chair(by), "Plane")
    problem = gathered(by).problem
    assert {person.name for person in problem.people} == {"Ines", "Tomé"}
    assert problem.hands == 2
    assert problem.leave_early
    assert {place.key for place in problem.places} == set(
        Place.objects.filter(shop=by.shop).values_list("name", flat=True)
    )


def test_another_air_other_cans_and_a_piece_that_is_not_there_yet(by: By) -> None:
    """For questions of the kind "what if": nothing of it is kept."""
    cold(by, 12.0)
    can, quick = varnish(by), varnish(by, "Quick varnish", recoat_from_minutes=30, touch_minutes=10)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")

    def least(**asked_for: Any) -> int:
        problem = gather(by.shop, by.at, **asked_for).problem
        return wait_minutes(link(problem, first, second).least, by.at)

    def warmer(series: Any) -> Any:
        series.celsius[:] = 25.0
        return series

    usual = least()
    assert least(air_change=warmer) < usual
    assert least(cans={can.pk: quick}) < usual
    assert least() == usual
    piece.pk = -1
    guest = Step(pk=-7, shop=by.shop, owner=by.person, piece=piece, order=1, key="x", title="Guest", does="coat", minutes=30,
                 product=can, coating=can.coating)  # fmt: skip
    problem = gather(by.shop, by.at, extra=([guest], [])).problem
    assert [row.piece for row in problem.steps if row.key == "-7"] == ["-1"]
    assert Step.objects.count() == 2


def test_a_lift_that_one_has_begun_keeps_two(by: By) -> None:
    """Who pressed the button is at it, and so is somebody else: nobody is planned away from the other end of a dresser."""
    other = add_person(by, "Tomé")
    lift = step(chair(by), "Carry it to the bench", hands=2)
    start_step(by, lift)
    assert asked(gathered(by).problem, lift).people == (str(by.person.pk), str(other.pk))
