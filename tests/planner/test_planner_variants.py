"""Changes to a problem: each changes what its name says and nothing else."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest
from bench.shared.shops import MONDAY, ZONE, a_shop, working_hours
from hypothesis import given
from hypothesis import strategies as some

from tallboy.planner.network import ByHour, Fixed, Link, Person, Problem, Promise, Step
from tallboy.planner.what_if.days import closed_weekdays, next_closed
from tallboy.planner.what_if.variants import (
    Change,
    Helper,
    LaterPromise,
    MorePieces,
    OpenDays,
    OtherWaits,
    Overtime,
    PutFirst,
    Together,
    Trouble,
    WithoutPiece,
)

EIGHT = MONDAY + timedelta(hours=8)
WEEK = working_hours(MONDAY, 7)
TUESDAY, SATURDAY = date(2031, 3, 25), date(2031, 3, 29)
STEPS = (
    Step("a", "slope", "Lay the coat", 60, wet=Fixed(120)),
    Step("b", "slope", "Rub down", 30),
    Step("c", "stand", "Glue the foot", 45),
)
LINKS = (Link("a", "b", "drying", Fixed(240), 600),)
PROMISES = (Promise("slope", MONDAY + timedelta(days=2)), Promise("stand", MONDAY + timedelta(days=3), 2))
SHOP = Problem(EIGHT, STEPS, LINKS, PROMISES, WEEK, 2)


def at(day: date, hour: int) -> datetime:
    return datetime(day.year, day.month, day.day, hour, tzinfo=ZONE)


def same_but_for(changed: Problem, problem: Problem, *fields: str) -> bool:
    return replace(changed, **{name: getattr(problem, name) for name in fields}) == problem


def test_overtime_makes_evenings_longer_until_its_day() -> None:
    """Two hours are added to the end of Monday and Tuesday, not to Wednesday, nor to lunch."""
    changed = Overtime(2, at(TUESDAY, 23)).on(SHOP)
    assert same_but_for(changed, SHOP, "working")
    longer = [(new, old) for new, old in zip(changed.working, SHOP.working, strict=True) if new != old]
    assert [new for new, _ in longer] == [(at(day, 13), at(day, 19)) for day in (MONDAY.date(), TUESDAY)]
    assert Overtime(2, at(TUESDAY, 23)).trouble(SHOP) == Trouble(hours=8)  # two pairs of hands, two evenings


def test_overtime_stops_at_midnight() -> None:
    """A shop that closes at half past eleven gets half an hour at most."""
    late = replace(SHOP, working=((at(TUESDAY, 20), at(TUESDAY, 23) + timedelta(minutes=30)),))
    changed = Overtime(2, at(SATURDAY, 12)).on(late)
    assert changed.working == ((at(TUESDAY, 20), at(date(2031, 3, 26), 0)),)


def test_overtime_is_for_all_who_work_that_day() -> None:
    """Somebody with hours of her own works on as well, on her days alone; one with the shop's hours is not touched."""
    own = ((at(TUESDAY, 9), at(TUESDAY, 14)),)
    shop = replace(SHOP, people=(Person("1", "Ana"), Person("2", "Rui", own)))
    changed = Overtime(1, at(SATURDAY, 12)).on(shop)
    assert changed.people == (Person("1", "Ana"), Person("2", "Rui", ((at(TUESDAY, 9), at(TUESDAY, 15)),)))


def test_an_open_day_has_usual_hours() -> None:
    """The Saturday gets the day that is the commonest in the week, with its lunch; an open day is not doubled."""
    changed = OpenDays((TUESDAY, SATURDAY)).on(SHOP)
    more = set(changed.working) - set(SHOP.working)
    assert more == {(at(SATURDAY, 8), at(SATURDAY, 12)), (at(SATURDAY, 13), at(SATURDAY, 17))}
    assert same_but_for(changed, SHOP, "working")
    assert OpenDays((SATURDAY,)).trouble(SHOP) == Trouble(hours=16)


def test_an_open_day_begins_no_earlier_than_now() -> None:
    """On a Sunday at ten, today opens from ten on."""
    sunday = datetime(2031, 3, 30, 10, tzinfo=ZONE)
    shop = replace(SHOP, now=sunday, working=working_hours(MONDAY + timedelta(days=7), 5))
    changed = OpenDays((sunday.date(),)).on(shop)
    assert changed.working[:2] == (
        (sunday, sunday.replace(hour=12)),
        (sunday.replace(hour=13), sunday.replace(hour=17)),
    )


def test_closed_days_are_found() -> None:
    """The next closed days after a Monday are Saturday and Sunday; closed Saturdays are all of them."""
    month = replace(SHOP, working=working_hours(MONDAY, 28))
    assert next_closed(month, 3, at(date(2031, 4, 20), 0)) == (SATURDAY, date(2031, 3, 30), date(2031, 4, 5))
    assert next_closed(month, 3, at(TUESDAY, 0)) == ()
    assert closed_weekdays(month, 5) == tuple(SATURDAY + timedelta(days=7 * k) for k in range(3))


def test_a_helper_is_one_more_pair_of_hands() -> None:
    """Alike hands become three; beside named people stands somebody new with the shop's hours, at most until a date."""
    assert Helper().on(SHOP) == replace(SHOP, hands=3)
    named = replace(SHOP, people=(Person("7", "Ana"), Person("helper 1", "Rui")))
    assert [person.key for person in Helper(2).on(named).people] == ["7", "helper 1", "helper 2", "helper 3"]
    until = Helper(until=at(TUESDAY, 10)).on(SHOP)
    assert [person.hours for person in until.people[:2]] == [None, None]
    assert until.people[2].hours == (*WEEK[:2], (at(TUESDAY, 8), at(TUESDAY, 10)))
    assert Helper(until=at(TUESDAY, 10)).trouble(SHOP) == Trouble(hours=10)


def test_a_faster_product_changes_waits_and_nothing_else() -> None:
    """Waits, windows and wet times come from the other problem; minutes, order and titles do not."""
    quick = ByHour(MONDAY, (60, 90))
    other = replace(
        SHOP,
        steps=(replace(STEPS[0], wet=Fixed(30), minutes=999, title="something else"),),
        links=(Link("a", "b", "clamps", quick, 300),),
    )
    changed = OtherWaits("the quick varnish", other).on(SHOP)
    assert changed.steps == (replace(STEPS[0], wet=Fixed(30)), *STEPS[1:])
    assert changed.links == (replace(LINKS[0], least=quick, most=300),)
    assert OtherWaits("the quick varnish", other).name == "the quick varnish"


def test_without_a_piece_keeps_what_has_begun() -> None:
    """Its open steps, their links and its promise go; a step that has begun stays, for somebody is at it."""
    begun = replace(SHOP, steps=(replace(STEPS[0], started=EIGHT), *STEPS[1:]))
    changed = WithoutPiece("slope", "the writing slope").on(begun)
    assert [step.key for step in changed.steps] == ["a", "c"]
    assert changed.links == ()
    assert [promise.piece for promise in changed.promises] == ["stand"]
    assert WithoutPiece("slope").trouble(SHOP) == Trouble(given_up=1)


def test_more_pieces_are_added() -> None:
    """Steps, links and promise of a piece that is not there yet."""
    extra = MorePieces("a hall stand", (Step("x", "new", "Wash", 30),), (), (Promise("new", at(SATURDAY, 0)),))
    changed = extra.on(SHOP)
    assert changed.steps[-1].key == "x"
    assert changed.promises[-1].piece == "new"
    assert same_but_for(changed, SHOP, "steps", "promises")


def test_promises_change_weight_and_date() -> None:
    """Put first, a promise weighs more than all others together; promised later, only its date changes."""
    first = PutFirst("slope").on(SHOP)
    assert [promise.weight for promise in first.promises] == [2000, 2]
    later = LaterPromise("slope", at(SATURDAY, 12), "The slope").on(SHOP)
    assert [promise.by for promise in later.promises] == [at(SATURDAY, 12), PROMISES[1].by]
    assert LaterPromise("slope", at(SATURDAY, 12), "The slope").name == "The slope promised for Sat 29 Mar"


def test_together_is_one_after_the_other() -> None:
    """The troubles add up, each reckoned on what the one before it has made of the shop."""
    both = Together((Helper(), Overtime(1, at(TUESDAY, 23))))
    assert both.on(SHOP) == Overtime(1, at(TUESDAY, 23)).on(Helper().on(SHOP))
    assert both.trouble(SHOP) == Trouble(hours=40 + 3 * 2)
    assert both.name == "a helper and 1 h of overtime every working day until Tue 25 Mar"


CHANGES: tuple[Change, ...] = (
    Overtime(1, at(SATURDAY, 0)), OpenDays((SATURDAY,)), Helper(), Helper(2, until=at(SATURDAY, 0)), PutFirst("dresser"),
    WithoutPiece("dresser"), LaterPromise("dresser", at(SATURDAY, 0)),
)  # fmt: skip


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.kind)
@given(seed=some.integers(0, 1000), hands=some.integers(1, 3))
def test_no_change_touches_other_pieces_or_takes_hours_away(change: Change, seed: int, hands: int) -> None:
    """Whatever the shop: steps of other pieces stay as they are, and every hour that was open is open still."""
    shop = a_shop(seed, pieces=3, steps=5, hands=hands)
    changed = change.on(shop)
    assert [s for s in changed.steps if s.piece != "dresser"] == [s for s in shop.steps if s.piece != "dresser"]
    for start, end in shop.working:
        assert any(a <= start and end <= b for a, b in changed.working)
    assert change.trouble(shop) >= Trouble()
