"""From the book to the planner's calendar, and how far ahead it reaches."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

import pytest
from tests.drawers.today.today_made import asked, chair
from tests.drawers.today.today_made import step as laid_out
from tests.moments import LISBON, MORNING

from tallboy.book import actions, queries
from tallboy.book.doing import By
from tallboy.book.models import Person, Place
from tallboy.drawers.soaks.actions import add_vessel
from tallboy.drawers.today.gathering.calendar import Calendar, calendar_of, seats_of
from tallboy.drawers.today.gathering.gather import gather
from tallboy.drawers.today.gathering.horizon import LEAST_DAYS, MOST_DAYS, days_for
from tallboy.planner import network
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.solve import first_plan

DAY = timedelta(days=1)
A_DAY = 24 * 60


def calendar(by: By, days: int = 7) -> Calendar:
    return calendar_of(by.shop, by.at, days)


def place(by: By, name: str) -> Place:
    return Place.objects.get(shop=by.shop, name=name)


def test_a_new_shop_is_one_person_at_four_places(by: By) -> None:
    """In the shop's hours, with enough of everything, at any time of day."""
    made = calendar(by)
    assert made.people == (network.Person(str(by.person.pk), "Ines"),)
    assert made.places == (
        network.Place("bench", "bench", room="shop"),
        network.Place("spray spot", "spray spot", room="shop"),
        network.Place("soak station", "soak station", room="shop"),
        network.Place("outdoors", "outdoors", room="outdoors", fresh_air=True),
    )
    assert made.working == tuple(queries.working_stretches(by.shop, by.at, 7))
    assert (made.resources, made.quiet) == ((), ())


def test_hands_without_a_name_work_beside_the_named(by: By) -> None:
    """They fill up what the shop has more than named people at the bench; nobody who only keeps the book is among them."""
    abel = actions.add_person(by, "Abel", skills=["gilding"])
    actions.add_person(by, "Nena", works=False)
    actions.change_shop(by, hands=4)
    assert [(person.key, sorted(person.skills)) for person in calendar(by).people] == [
        (str(by.person.pk), []),
        (str(abel.pk), ["gilding"]),
        ("hand 3", []),
        ("hand 4", []),
    ]
    assert {person.hours for person in calendar(by).people} == {None}
    Person.objects.filter(shop=by.shop).update(works=False)
    assert [person.key for person in calendar(by).people] == ["hand 1", "hand 2", "hand 3", "hand 4"]


def test_hours_and_days_off_of_a_person_go_to_the_planner(by: By) -> None:
    """Only where they differ from the shop's: who works as the shop does is like the others."""
    abel = actions.add_person(by, "Abel")
    actions.set_hours(by, [(4, time(9), time(12))], abel)
    actions.add_day_off(by, date(2026, 3, 16), person=by.person)
    ines, other = calendar(by).people
    assert other.hours == tuple(queries.person_stretches(abel, by.at, 7))
    assert len(other.hours or ()) == 1
    assert ines.hours == tuple(queries.person_stretches(by.person, by.at, 7))
    actions.set_hours(by, [], abel)
    assert calendar(by).people[1].hours is None
    assert calendar(by, days=3).people[0].hours is None


def test_air_hours_and_seats_of_a_place_go_to_the_planner(by: By) -> None:
    """A place without hours of its own can be used whenever somebody works; one without seats holds any number."""
    spray = place(by, "spray spot")
    actions.change_place(by, spray.pk, room="shed", fresh_air=True, seats=2)
    actions.set_hours(by, [(4, time(10), time(16))], spray)
    made = calendar(by)
    hours = tuple(queries.place_stretches(spray, by.at, 7) or ())
    assert made.places[1] == network.Place("spray spot", "spray spot", hours, "shed", True)
    assert [(row.key, row.amount) for row in made.resources] == [("seats:spray spot", 2)]
    assert (made.counts(seats_of(spray)), made.counts(seats_of(place(by, "bench")))) == (True, False)


def test_clamps_and_racks_are_counted_together(by: By) -> None:
    """All clamps are one resource and all racks another; each vessel is one of its own."""
    for name, kind, amount in (("long clamps", "clamps", 6), ("short clamps", "clamps", 10), ("rack", "rack", 240)):
        actions.add_means(by, name, kind, amount)
    add_vessel(by, "jar", 3)
    assert [(row.key, row.amount) for row in calendar(by).resources] == [
        ("clamps", 16),
        ("rack", 240),
        ("vessel:jar", 1),
    ]


def test_holidays_and_noise_go_to_the_planner(by: By) -> None:
    """Nobody works on a holiday; the nights are quiet, the one after the last day too."""
    actions.set_holidays(by, "PT", keeps=True)
    actions.set_quiet_hours(by, time(9), time(18))
    made = calendar_of(by.shop, datetime(2026, 4, 2, 12, tzinfo=LISBON), 2)
    assert {opens.date() for opens, _closes in made.working} == {date(2026, 4, 2)}
    assert [f"{since:%d %H}-{until:%d %H}" for since, until in made.quiet] == [
        "02 18-03 09",
        "03 18-04 09",
        "04 18-05 09",
    ]


def test_nothing_of_another_shop_is_in_it(by: By, stranger: By) -> None:
    """Not its people, places, clamps or vessels."""
    before = calendar(by)
    actions.add_person(stranger, "Abel")
    actions.add_place(stranger, "loft", Place.Kind.BENCH)
    actions.add_means(stranger, "long clamps", "clamps", 6)
    add_vessel(stranger, "jar", 3)
    actions.set_quiet_hours(stranger, time(9), time(18))
    assert calendar(by) == before


def problem_of(
    made: Calendar, now: datetime, *steps: network.Step, links: tuple[network.Link, ...] = ()
) -> network.Problem:
    return network.Problem(
        now=now, steps=steps, links=links, promises=(), working=made.working, hands=len(made.people), people=made.people,
        places=made.places, resources=made.resources, quiet=made.quiet,
    )  # fmt: skip


def test_the_planner_plans_in_it(by: By) -> None:
    """Gilding waits for Abel, who comes on Saturday, noise for the morning, and the second job for the one seat."""
    abel = actions.add_person(by, "Abel", skills=["gilding"])
    actions.set_hours(by, [(5, time(9), time(12))], abel)
    actions.set_quiet_hours(by, time(10), time(17))
    bench = place(by, "bench")
    actions.change_place(by, bench.pk, room="shop", fresh_air=False, seats=1)
    seat = (network.Use(seats_of(bench)),)
    problem = problem_of(
        calendar(by, 14), MORNING,
        network.Step("gild", "stand", "Gild", 60, skill="gilding", place="outdoors"),
        network.Step("plane", "dresser", "Plane", 60, noisy=True, uses=seat),
        network.Step("rub", "trolley", "Rub down", 60, uses=seat, place="soak station"),
    )  # fmt: skip
    plan = first_plan(problem)
    assert broken_rules(problem, plan) == ()
    assert plan.steps["gild"].start >= datetime(2026, 3, 14, 9, tzinfo=LISBON)
    assert plan.steps["gild"].people == (str(abel.pk),)
    assert plan.steps["plane"].start >= datetime(2026, 3, 12, 10, tzinfo=LISBON)


def step(number: int, **fields: Any) -> network.Step:
    return network.Step(str(number), "dresser", f"step {number}", 60, **fields)


def wait(first: int, minutes: network.Wait) -> network.Link:
    return network.Link(str(first), str(first + 1), "drying", minutes)


def chain(by: By, number: int, days: int) -> network.Problem:
    """A piece with `number` steps of an hour and a wait of so many days between each two."""
    links = tuple(wait(first, network.Fixed(days * A_DAY)) for first in range(number - 1))
    return problem_of(calendar(by, LEAST_DAYS), MORNING, *(step(n) for n in range(number)), links=links)


def test_the_usual_work_is_planned_over_a_season(by: By) -> None:
    """120 days are enough for it, and for no work at all."""
    assert days_for(problem_of(calendar(by, LEAST_DAYS), MORNING)) == LEAST_DAYS
    assert days_for(chain(by, 10, 7)) == LEAST_DAYS


@pytest.mark.parametrize(("number", "days"), [(10, 30), (20, 14), (3, 300)])
def test_a_chain_of_long_waits_is_planned_to_its_end(by: By, number: int, days: int) -> None:
    """The horizon follows the waits, the plan within it ends, and what is spared is no more than a month or two."""
    problem = chain(by, number, days)
    waits = (number - 1) * days
    horizon = days_for(problem)
    assert waits < horizon < waits + 60
    made = calendar(by, horizon)
    whole = problem_of(made, MORNING, *problem.steps, links=problem.links)
    plan = first_plan(whole)
    assert plan.steps[str(number - 1)].end > MORNING + waits * DAY


def test_much_work_for_one_pair_of_hands_takes_its_time(by: By) -> None:
    """8 hours 30 a day on 5 days of 7: 600 hours are 99 days of such weeks, and half as much again is allowed for."""
    problem = problem_of(calendar(by, LEAST_DAYS), MORNING, *(step(number) for number in range(600)))
    assert 99 < days_for(problem) < 1.75 * 99


def test_the_longest_of_waits_that_depend_on_the_hour_counts(by: By) -> None:
    """In a cold night a coat waits longer, and the plan must reach beyond it."""
    slow = network.ByHour(MORNING, (60, 200 * A_DAY, 60))
    problem = problem_of(calendar(by, LEAST_DAYS), MORNING, step(0), step(1), links=(wait(0, slow),))
    assert days_for(problem) > 200


def test_what_is_held_one_after_the_other_counts(by: By) -> None:
    """20 coats on a rack that holds two at a time, 30 days each: 300 days."""
    actions.add_means(by, "rack", "rack", 200)
    held = (network.Use("rack", 100, network.Fixed(30 * A_DAY)),)
    problem = problem_of(calendar(by, LEAST_DAYS), MORNING, *(step(number, uses=held) for number in range(20)))
    assert 300 < days_for(problem) < 360


def test_what_may_not_begin_yet_counts(by: By) -> None:
    """A delivery expected in half a year, a step put off until then."""
    far = MORNING + 180 * DAY
    for fields in ({"not_before": far}, {"awaits": (network.Delivery("gold leaf", far),)}):
        assert 180 < days_for(problem_of(calendar(by, LEAST_DAYS), MORNING, step(0, **fields))) < 200


def test_done_work_needs_no_days(by: By) -> None:
    """600 hours behind us are behind us."""
    done = (MORNING - DAY, MORNING - DAY / 2)
    problem = problem_of(calendar(by, LEAST_DAYS), MORNING, *(step(number, done=done) for number in range(600)))
    assert days_for(problem) == LEAST_DAYS


def test_there_is_an_end_to_it(by: By) -> None:
    """Four years at the most; a shop where nobody works, and steps in a circle, are told elsewhere."""
    assert days_for(chain(by, 100, 100)) == MOST_DAYS
    closed = network.Problem(MORNING, (step(0),), (), (), ())
    assert days_for(closed) == LEAST_DAYS
    circle = (wait(0, network.Fixed(5)), network.Link("1", "0"))
    assert days_for(problem_of(calendar(by), MORNING, step(0), step(1), links=circle)) == LEAST_DAYS


def test_a_skill_is_asked_for_however_it_was_written(by: By) -> None:
    """What a route calls "French  polishing" is what somebody has as "french polishing"; what nobody can do is told."""
    actions.change_person(by, by.person.pk, name="Ines", works=True, skills=["french polishing"])
    polish = laid_out(chair(by), "Polish", skill="French  polishing")
    gild = laid_out(chair(by, "Hall stand"), "Gild", skill="gilding")
    gathered = gather(by.shop, by.at)
    assert asked(gathered.problem, polish).skill == "french polishing"
    assert asked(gathered.problem, gild).skill == ""
    assert any("somebody who knows gilding" in trouble for trouble in gathered.troubles)


def test_the_book_asks_the_planner_for_its_clamps_and_seats(by: By) -> None:
    """Only of what is counted, and of no more than there is."""
    glue = laid_out(chair(by), "Glue and clamp", clamps=4, place=place(by, "bench"))
    assert asked(gather(by.shop, by.at).problem, glue).uses == ()
    actions.add_means(by, "long clamps", "clamps", 3)
    actions.change_place(by, place(by, "bench").pk, room="shop", fresh_air=False, seats=2)
    gathered = gather(by.shop, by.at)
    uses = {use.of: use.amount for use in asked(gathered.problem, glue).uses}
    assert uses == {"seats:bench": 1, "clamps": 3}
    assert any("takes 4 clamps, and there are 3" in trouble for trouble in gathered.troubles)
    assert gathered.problem.resources == calendar_of(by.shop, by.at, LEAST_DAYS).resources
