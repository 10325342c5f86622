"""The shop itself: how it is founded, its settings, hours, days off and places."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.moments import MORNING

from tallboy.book import actions, queries
from tallboy.book.doing import By
from tallboy.book.forms import HoursForm
from tallboy.book.models import DayOff, Journal, Person, Place, Shop, WorkingHours
from tallboy.errors import BadInput, NotFound

EIGHT, NOON, ONE, FIVE = time(8), time(12), time(13), time(17)


def unchanged(act: Callable[[], object], match: str) -> None:
    """The act is refused with these words and leaves the book as it was."""

    def rows() -> list[list[Any]]:
        models = (Shop, Person, Place, WorkingHours, DayOff, Journal)
        return [list(model.objects.order_by("pk").values_list()) for model in models]

    before = rows()
    with pytest.raises((BadInput, NotFound), match=match):
        act()
    assert rows() == before


def test_a_new_shop_has_a_person_places_and_hours(by: By) -> None:
    """It can be worked in at once: somebody, the four usual places, Monday to Friday with a break at noon."""
    assert (by.shop.name, by.person.name, by.at) == ("Quay Bench", "Ines", MORNING)
    assert [place.name for place in queries.places(by.shop)] == ["bench", "spray spot", "soak station", "outdoors"]
    week = queries.week(by.shop)
    assert [day.name for day in week][:2] == ["Monday", "Tuesday"]
    assert [len(day.stretches) for day in week] == [2, 2, 2, 2, 2, 0, 0]


def test_founding_leaves_its_journal_row(by: By) -> None:
    """The first thing that a book tells is that it was opened, by whom and when."""
    row = Journal.objects.get(shop=by.shop)
    assert (row.action, row.text, row.person, row.at) == (
        "found shop", "Opened the book of Quay Bench.", by.person, MORNING,
    )  # fmt: skip


BAD_SETTINGS = [
    ({"timezone": "Europe/Atlantis"}, "time zone 'Europe/Atlantis' is not known"),
    ({"timezone": ""}, "time zone '' is not known"),
    ({"timezone": "Europe"}, "time zone 'Europe' is not known"),
    ({"timezone": "../../etc/passwd"}, "is not known"),
    ({"currency": "euro"}, "The currency is 'euro'"),
    ({"currency": "eur"}, "The currency is 'eur'"),
    ({"currency": "E1R"}, "The currency is 'E1R'"),
    ({"currency": "ÄÖÜ"}, "The currency is 'ÄÖÜ'"),
    ({"hands": 0}, "0 pairs of hands"),
    ({"hands": 21}, "21 pairs of hands"),
    ({"rate": Decimal("-1")}, "A rate of -1"),
    ({"units": "cubits"}, "'cubits' is no choice"),
    ({"paper": "a3"}, "'a3' is no choice"),
]


@pytest.mark.parametrize(("fields", "match"), BAD_SETTINGS)
def test_a_shop_with_bad_settings_is_not_founded(db: None, fields: dict[str, Any], match: str) -> None:
    """Nothing of it is left behind."""
    unchanged(lambda: actions.found_shop("Quay Bench", "Ines", MORNING, **fields), match)


@pytest.mark.parametrize(("fields", "match"), [*BAD_SETTINGS, ({"name": "  "}, "has no name"), ({"is_demo": True}, "no setting is_demo")])  # fmt: skip
def test_bad_settings_are_refused(by: By, fields: dict[str, Any], match: str) -> None:
    """Each with what was wrong; the shop stays as it was."""
    unchanged(lambda: actions.change_shop(by, **fields), match)


def test_settings_are_changed_and_the_journal_keeps_the_old_ones(by: By) -> None:
    """The change holds at once for who acts, and what it was before can be read."""
    actions.change_shop(by, currency="GBP", rate=Decimal("42.50"), hands=3, timezone="Europe/London", paper="us-letter")
    shop = Shop.objects.get(pk=by.shop.pk)
    assert (shop.currency, shop.rate, shop.hands, shop.paper) == ("GBP", Decimal("42.50"), 3, "us-letter")
    assert str(by.shop.tz) == "Europe/London"
    before = Journal.objects.filter(action="change shop")[0].data["before"]
    assert (before["currency"], before["timezone"], before["hands"]) == ("EUR", "Europe/Lisbon", "1")


def test_hours_are_replaced(by: By) -> None:
    """What was set holds, in order, and nothing of the week before is left."""
    actions.set_hours(by, [(5, ONE, FIVE), (5, EIGHT, NOON), (0, EIGHT, NOON)])
    assert queries.hours(by.shop) == [(0, EIGHT, NOON), (5, EIGHT, NOON), (5, ONE, FIVE)]


@pytest.mark.parametrize(
    ("hours", "match"),
    [
        ([(0, NOON, EIGHT)], "Monday: work ends at 08:00, before it begins at 12:00"),
        ([(2, NOON, NOON)], "Wednesday: work ends at 12:00"),
        ([(4, EIGHT, ONE), (4, NOON, FIVE)], "Friday: two stretches of work overlap at 12:00"),
        ([(6, EIGHT, FIVE), (6, NOON, ONE)], "Sunday: two stretches"),
        ([(1, EIGHT, NOON), (1, EIGHT, NOON)], "Tuesday: two stretches"),
        ([(7, EIGHT, NOON)], "no weekday 7"),
        ([(-1, EIGHT, NOON)], "no weekday -1"),
    ],
)
def test_impossible_hours_are_refused(by: By, hours: list[tuple[int, time, time]], match: str) -> None:
    """The message names the day; the hours stay as they were."""
    unchanged(lambda: actions.set_hours(by, hours), match)


def test_stretches_may_touch_and_a_week_may_be_free(by: By) -> None:
    """One stretch can end as the next begins; no hours at all is a shop on holiday."""
    actions.set_hours(by, [(0, EIGHT, NOON), (0, NOON, FIVE)])
    assert len(queries.hours(by.shop)) == 2
    actions.set_hours(by, [])
    assert queries.hours(by.shop) == []


def test_working_stretches_leave_out_days_off(by: By) -> None:
    """From Thursday 9 in the morning over four days: Thursday's rest, not Friday, then Monday."""
    actions.add_day_off(by, date(2026, 3, 13), "fair")
    stretches = queries.working_stretches(by.shop, MORNING, 4)
    assert [f"{opens:%a %H:%M}-{closes:%H:%M}" for opens, closes in stretches] == [
        "Thu 09:00-12:30", "Thu 13:00-17:00", "Mon 08:00-12:30", "Mon 13:00-17:00",
    ]  # fmt: skip


def test_working_hours_keep_to_the_clock_when_it_changes(by: By) -> None:
    """On the Monday after the clocks go forward (29 March 2026 in Lisbon) work still begins at eight on the wall."""
    friday = datetime(2026, 3, 27, 7, 0, tzinfo=by.shop.tz)
    first, monday = (row[0] for row in queries.working_stretches(by.shop, friday, 3) if row[0].time() == EIGHT)
    assert (first.utcoffset(), monday.utcoffset()) == (timedelta(0), timedelta(hours=1))


def test_a_holiday_is_added_day_by_day_and_given_back(by: By) -> None:
    """Both ends count; one day can be worked after all; days gone by are not listed. The journal has one line for it."""
    days = actions.add_days_off(by, date(2026, 3, 11), date(2026, 3, 13), "fair")
    assert [row.day.day for row in days] == [11, 12, 13]
    (told,) = Journal.objects.filter(action="add day off")
    assert told.text == "No work from 2026-03-11 until 2026-03-13."
    assert [row.day.day for row in queries.days_off(by.shop, by.at)] == [12, 13]
    actions.remove_day_off(by, days[1].pk)
    assert [row.day.day for row in queries.days_off(by.shop, by.at)] == [13]


def test_a_day_off_twice_is_one(by: By) -> None:
    """Saying it again changes nothing of the first."""
    first = actions.add_day_off(by, date(2026, 4, 1), "fair")
    assert actions.add_day_off(by, date(2026, 4, 1), "again") == first
    assert DayOff.objects.get().reason == "fair"


@pytest.mark.parametrize("last", [date(2026, 3, 31), date(2026, 6, 2)])
def test_an_impossible_holiday_is_refused(by: By, last: date) -> None:
    """It cannot end before it begins, nor last longer than two months."""
    unchanged(lambda: actions.add_days_off(by, date(2026, 4, 1), last), "Days off from 2026-04-01")


def test_another_shops_day_off_cannot_be_removed(by: By, stranger: By) -> None:
    """It is not there, as far as this shop can tell."""
    theirs = actions.add_day_off(stranger, date(2026, 4, 1))
    unchanged(lambda: actions.remove_day_off(by, theirs.pk), "no such day off")


def test_a_place_is_added_once(by: By) -> None:
    """A second one of the same name, one without a name, one of no kind: refused."""
    actions.add_place(by, " loft ", Place.Kind.BENCH)
    assert Place.objects.get(shop=by.shop, name="loft").kind == "bench"
    unchanged(lambda: actions.add_place(by, "loft", Place.Kind.BENCH), "already a place")
    unchanged(lambda: actions.add_place(by, "  ", Place.Kind.BENCH), "no name")
    unchanged(lambda: actions.add_place(by, "cellar", "cave"), "'cave' is no kind")


TIMES = st.times(time(0, 0), time(23, 59)).map(lambda at: at.replace(second=0, microsecond=0))


@given(st.lists(st.tuples(st.integers(0, 6), TIMES, TIMES), max_size=12))
def test_the_form_of_the_week_gives_back_what_it_shows(hours: list[tuple[int, time, time]]) -> None:
    """Filled in with up to three stretches a day and sent unchanged, it says the same hours."""
    first_three = [row for day in range(7) for row in sorted(row for row in hours if row[0] == day)[:3]]
    shown = HoursForm(hours=first_three)
    sent = {name: f"{field.initial:%H:%M}" for name, field in shown.fields.items() if isinstance(field.initial, time)}
    form = HoursForm(sent)
    assert form.is_valid()
    assert sorted(form.hours()) == sorted(first_three)


def test_tuesday_to_friday_can_be_as_monday() -> None:
    """One tick copies Monday over the working week and leaves the weekend alone."""
    sent = {"alike": "on", "opens_0_0": "09:00", "closes_0_0": "12:00", "opens_2_0": "10:00", "closes_2_0": "11:00",
            "opens_5_0": "13:00", "closes_5_0": "15:00"}  # fmt: skip
    form = HoursForm(sent)
    assert form.is_valid()
    assert form.hours() == [*((day, time(9), time(12)) for day in range(5)), (5, time(13), time(15))]


def test_half_a_stretch_is_asked_for_again() -> None:
    """A beginning without an end is no stretch, and the missing field says so."""
    form = HoursForm({"opens_1_0": "09:00"})
    assert not form.is_valid()
    assert form.errors == {"closes_1_0": ["Give both times of a stretch, or none."]}
