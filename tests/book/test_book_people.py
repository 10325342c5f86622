"""People, places and what there is only so much of: how they are added and changed, and what is refused."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from datetime import date, time
from typing import Any

import pytest
from django.apps import apps
from django.db import IntegrityError, transaction

from tallboy.book import actions, queries, skills
from tallboy.book.doing import By
from tallboy.book.models import DayOff, Journal, Means, Person, Place, Shop, WorkedHoliday, WorkingHours
from tallboy.errors import BadInput, NotFound

KEPT = (Shop, Person, Place, WorkingHours, DayOff, WorkedHoliday, Means, Journal)


def unchanged(act: Callable[[], object], match: str) -> None:
    """The act is refused with these words and leaves the book as it was."""

    def rows() -> list[list[Any]]:
        return [list(model._default_manager.order_by("pk").values_list()) for model in KEPT]

    before = rows()
    with pytest.raises((BadInput, NotFound), match=match):
        act()
    assert rows() == before


def journal(by: By) -> tuple[str, str]:
    row = queries.journal(by.shop, limit=1)[0]
    return row.action, row.text


def hands(by: By) -> int:
    return Shop.objects.get(pk=by.shop.pk).hands


def change(by: By, person: Person, **fields: Any) -> Person:
    """Change only these fields of a person."""
    said = {"name": person.name, "works": person.works, "skills": person.skills, **fields}
    return actions.change_person(by, person.pk, **said)


def test_somebody_is_added_with_their_skills(by: By) -> None:
    """Name and skills without what was typed by accident; the journal tells it."""
    abel = actions.add_person(by, "  Abel   Reis ", skills=["French  Polishing", "gilding", " ", "Gilding"])
    abel.refresh_from_db()
    assert (abel.name, abel.works, abel.skills) == ("Abel Reis", True, ["french polishing", "gilding"])
    assert journal(by) == ("add person", "Abel Reis belongs to the shop now.")
    assert queries.skills(by.shop) == ["french polishing", "gilding"]


def test_a_founded_shop_has_one_named_pair_of_hands(by: By) -> None:
    """Whoever opens the book works at the bench."""
    assert (by.person.works, by.person.skills, hands(by)) == (True, [], 1)


def test_hands_follow_the_people(by: By) -> None:
    """Somebody new takes the place of an unnamed pair of hands, or is one more; who leaves the bench is one less."""
    actions.change_shop(by, hands=2)
    abel = actions.add_person(by, "Abel")
    assert hands(by) == 2
    rui = actions.add_person(by, "Rui")
    assert hands(by) == 3 == by.shop.hands
    actions.add_person(by, "Nena", works=False)
    assert hands(by) == 3
    change(by, rui, works=False)
    assert hands(by) == 2
    change(by, rui, works=True, name="Rui Dias")
    change(by, abel, skills=["turning"])
    assert hands(by) == 3


def test_the_last_one_may_leave_the_bench(by: By) -> None:
    """Then an unnamed pair of hands works, for somebody must."""
    change(by, by.person, works=False)
    assert hands(by) == 1


def test_fewer_hands_than_named_people_are_refused(by: By) -> None:
    """It must first be said who does not work at the bench."""
    actions.add_person(by, "Abel")
    unchanged(lambda: actions.change_shop(by, hands=1), "2 people of this shop work at the bench")
    actions.change_shop(by, hands=2)


def test_a_person_is_changed_and_the_journal_keeps_what_was(by: By) -> None:
    """Name, bench and skills."""
    change(by, by.person, name="Ines Melo", skills=["Turning"])
    person = Person.objects.get(pk=by.person.pk)
    assert (person.name, person.skills) == ("Ines Melo", ["turning"])
    assert Journal.objects.get(action="change person").data["before"] == {"name": "Ines", "works": True, "skills": []}


@pytest.mark.parametrize(
    ("fields", "match"),
    [
        ({"name": "Ines"}, "already somebody named so"),
        ({"name": "  "}, "the name is missing"),
        ({"name": "x" * 121}, "too long"),
        ({"skills": ["x" * 41]}, "The skill “x+ …” is too long"),
        ({"skills": [f"skill {number}" for number in range(21)]}, "21 skills for one person"),
    ],
)
def test_what_cannot_be_kept_of_a_person_is_refused(by: By, fields: dict[str, Any], match: str) -> None:
    """Whether they are new or known."""
    abel = actions.add_person(by, "Abel")
    unchanged(lambda: change(by, abel, **fields), match)
    unchanged(lambda: actions.add_person(by, **{"name": "Rui", **fields}), match)


def test_a_person_may_keep_their_name(by: By) -> None:
    """They do not stand in their own way, and another shop may have somebody of that name."""
    change(by, by.person, name="Ines")


def test_a_shop_has_so_many_people_and_no_more(by: By) -> None:
    """50 people, 20 of them at the bench."""
    for number in range(19):
        actions.add_person(by, f"hand {number}")
    unchanged(lambda: actions.add_person(by, "one more"), "21 people at the bench")
    for number in range(30):
        actions.add_person(by, f"desk {number}", works=False)
    unchanged(lambda: actions.add_person(by, "and one", works=False), "50 people already")


def test_another_shops_people_and_things_are_not_there(by: By, stranger: By) -> None:
    """As far as this shop can tell."""
    bench, clamps = Place.objects.filter(shop=by.shop)[0], actions.add_means(by, "long clamps", "clamps", 6)
    unchanged(lambda: change(stranger, by.person), "no such person")
    unchanged(lambda: actions.set_hours(stranger, [], by.person), "nobody and no place")
    unchanged(lambda: actions.set_hours(stranger, [], bench), "nobody and no place")
    unchanged(lambda: actions.add_day_off(stranger, date(2026, 4, 1), person=by.person), "no such person")
    unchanged(lambda: actions.change_place(stranger, bench.pk, room="shed", fresh_air=True, seats=1), "no such place")
    unchanged(lambda: actions.change_means(stranger, clamps.pk, "clamps", 1), "nothing like that")
    unchanged(lambda: actions.remove_means(stranger, clamps.pk), "nothing like that")


def test_a_person_and_everybody_may_be_off_on_one_day(by: By) -> None:
    """Each once: the database keeps to it too, on either engine."""
    day = date(2026, 4, 1)
    actions.add_day_off(by, day)
    actions.add_day_off(by, day, "the boat", by.person)
    assert journal(by) == ("add day off", "Ines does not work on 2026-04-01.")
    assert actions.add_day_off(by, day, "again", by.person).reason == "the boat"
    assert DayOff.objects.count() == 2
    for person in (None, by.person):
        with pytest.raises(IntegrityError), transaction.atomic():
            DayOff.objects.create(**by.kept(), day=day, person=person)


def test_a_persons_days_off_are_told_by_name(by: By) -> None:
    """One line for a run of days, one for each that is taken back."""
    rows = actions.add_days_off(by, date(2026, 4, 1), date(2026, 4, 3), "the boat", by.person)
    assert journal(by)[1] == "Ines does not work from 2026-04-01 until 2026-04-03."
    actions.remove_day_off(by, rows[1].pk)
    assert journal(by)[1] == "Ines works on 2026-04-02 after all."
    assert [row.day.day for row in queries.days_off(by.shop, by.at, by.person)] == [1, 3]
    assert queries.days_off(by.shop, by.at) == []


def test_hours_of_somebody_are_told_by_name(by: By) -> None:
    """Given, and given up."""
    spray = Place.objects.get(shop=by.shop, name="spray spot")
    told = []
    for of in (by.person, spray):
        for hours in ([(0, time(9), time(12))], []):
            actions.set_hours(by, hours, of)
            told.append(journal(by)[1])
    assert told == [
        "Set the hours of Ines.",
        "Ines works the shop's hours.",
        "Set the hours of spray spot.",
        "spray spot can be used whenever somebody works.",
    ]


def test_hours_are_of_a_person_or_a_place(by: By) -> None:
    """The database takes none that are of both."""
    place = Place.objects.filter(shop=by.shop)[0]
    with pytest.raises(IntegrityError), transaction.atomic():
        WorkingHours.objects.create(
            **by.kept(), weekday=0, opens=time(8), closes=time(9), person=by.person, place=place
        )


def test_outdoors_has_air_of_its_own(by: By) -> None:
    """In a new shop, and for a new place of that kind; all others share the shop's."""
    actions.add_place(by, "quay", Place.Kind.OUTDOORS)
    air = Place.objects.filter(shop=by.shop).values_list("name", "room", "fresh_air", "seats")
    assert list(air) == [
        ("bench", "shop", False, None),
        ("spray spot", "shop", False, None),
        ("soak station", "shop", False, None),
        ("outdoors", "outdoors", True, None),
        ("quay", "outdoors", True, None),
    ]


def test_a_place_is_changed(by: By) -> None:
    """Room, air and seats; the journal keeps what was."""
    spray = Place.objects.get(shop=by.shop, name="spray spot")
    actions.change_place(by, spray.pk, room=" spray  shed ", fresh_air=True, seats=2)
    spray.refresh_from_db()
    assert (spray.room, spray.fresh_air, spray.seats) == ("spray shed", True, 2)
    assert queries.rooms(by.shop) == ["outdoors", "shop", "spray shed"]
    before = Journal.objects.get(action="change place").data["before"]
    assert before == {"room": "shop", "fresh_air": False, "seats": None}


@pytest.mark.parametrize(
    ("fields", "match"),
    [
        ({"room": " "}, "The room has no name"),
        ({"room": "x" * 81}, "too long"),
        ({"seats": 0}, "0 pieces of work"),
        ({"seats": 100}, "100 pieces of work"),
    ],
)
def test_an_impossible_place_is_refused(by: By, fields: dict[str, Any], match: str) -> None:
    """It stays as it was."""
    bench = Place.objects.filter(shop=by.shop)[0]
    good: dict[str, Any] = {"room": "shop", "fresh_air": False, "seats": 1}
    unchanged(lambda: actions.change_place(by, bench.pk, **{**good, **fields}), match)


def test_clamps_and_racks_are_added_changed_and_taken_away(by: By) -> None:
    """Each with its line in the journal."""
    clamps = actions.add_means(by, " long  clamps ", "clamps", 6)
    rack = actions.add_means(by, "drying rack", "rack", 240)
    assert [(row.name, row.kind, row.amount) for row in queries.means(by.shop)] == [
        ("long clamps", "clamps", 6),
        ("drying rack", "rack", 240),
    ]
    assert rack.surface == 2.4
    actions.change_means(by, clamps.pk, "long clamps", 8)
    actions.remove_means(by, rack.pk)
    assert [row.amount for row in queries.means(by.shop)] == [8]
    assert [row.text for row in queries.journal(by.shop, limit=4)] == [
        "Took away drying rack.", "Changed long clamps.", "Added drying rack.", "Added long clamps.",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "kind", "amount", "match"),
    [
        ("long clamps", "clamps", 3, "already something named so"),
        (" ", "clamps", 3, "the name is missing"),
        ("x" * 81, "rack", 3, "too long"),
        ("rack", "shelf", 3, "'shelf' is nothing that is counted"),
        ("short clamps", "clamps", 0, "0 clamps"),
        ("short clamps", "clamps", 1001, "1001 clamps"),
        ("rack", "rack", -1, "-1 dm²"),
        ("rack", "rack", 100_001, "100001 dm²"),
    ],
)
def test_means_that_cannot_be_are_refused(by: By, name: str, kind: str, amount: int, match: str) -> None:
    """With what was wrong."""
    actions.add_means(by, "long clamps", "clamps", 6)
    unchanged(lambda: actions.add_means(by, name, kind, amount), match)


def test_means_of_a_name_that_is_taken_are_not_renamed(by: By) -> None:
    """Their own name they may keep."""
    actions.add_means(by, "long clamps", "clamps", 6)
    short = actions.add_means(by, "short clamps", "clamps", 6)
    unchanged(lambda: actions.change_means(by, short.pk, "long clamps", 6), "already something named so")
    unchanged(lambda: actions.change_means(by, short.pk, "short clamps", 0), "0 clamps")
    actions.change_means(by, short.pk, "short clamps", 7)


def test_holidays_of_a_country_are_kept_or_not(by: By) -> None:
    """The country stays known while its holidays are worked through."""
    actions.set_holidays(by, "pt", keeps=True)
    assert journal(by) == ("set holidays", "No work on the public holidays of Portugal.")
    actions.set_holidays(by, "PT", keeps=False)
    assert journal(by)[1] == "Work goes on through public holidays."
    shop = Shop.objects.get(pk=by.shop.pk)
    assert (shop.country, shop.subdivision, shop.keeps_holidays) == ("PT", "", False)
    actions.set_holidays(by, "GB", "SCT", keeps=True)
    assert (by.shop.country, by.shop.subdivision, by.shop.keeps_holidays) == ("GB", "SCT", True)


def test_holidays_of_nowhere_are_refused(by: By) -> None:
    """No country, one that is not known, a part that it does not have."""
    unchanged(lambda: actions.set_holidays(by, "", keeps=True), "The holidays of which country")
    unchanged(lambda: actions.set_holidays(by, "XX", keeps=True), "country 'XX' are not known")
    unchanged(lambda: actions.set_holidays(by, "PT", "ENG", keeps=True), "Portugal has no part 'ENG'")


def test_a_holiday_is_worked_after_all_and_kept_again(by: By) -> None:
    """Said twice it is said once; only a holiday that the shop keeps can be worked."""
    good_friday = date(2026, 4, 3)
    unchanged(lambda: actions.work_on_holiday(by, good_friday), "2026-04-03 is no public holiday")
    actions.set_holidays(by, "PT", keeps=True)
    unchanged(lambda: actions.work_on_holiday(by, date(2026, 4, 2)), "2026-04-02 is no public holiday")
    actions.work_on_holiday(by, good_friday)
    actions.work_on_holiday(by, good_friday)
    assert journal(by) == ("work on holiday", "2026-04-03 is worked, though it is a holiday.")
    assert WorkedHoliday.objects.count() == 1
    actions.keep_holiday(by, good_friday)
    assert journal(by) == ("keep holiday", "No work on the holiday of 2026-04-03.")
    unchanged(lambda: actions.keep_holiday(by, good_friday), "no such holiday")


def test_another_shops_worked_holiday_is_not_there(by: By, stranger: By) -> None:
    """It works on its own holidays."""
    actions.set_holidays(by, "PT", keeps=True)
    actions.work_on_holiday(by, date(2026, 4, 3))
    unchanged(lambda: actions.keep_holiday(stranger, date(2026, 4, 3)), "no such holiday")


def test_quiet_hours_are_set_and_taken_away(by: By) -> None:
    """Between two times of day, or at any time again."""
    actions.set_quiet_hours(by, time(8), time(18, 30))
    assert journal(by) == ("set quiet hours", "Noisy work only from 08:00 until 18:30.")
    assert (by.shop.noise_from, by.shop.noise_until) == (time(8), time(18, 30))
    actions.set_quiet_hours(by, None, None)
    assert journal(by)[1] == "Noisy work at any time."
    assert (by.shop.noise_from, by.shop.noise_until) == (None, None)


@pytest.mark.parametrize(
    ("since", "until"), [(time(18), time(8)), (time(8), time(8)), (time(8), None), (None, time(8))]
)
def test_impossible_quiet_hours_are_refused(by: By, since: time | None, until: time | None) -> None:
    """By the action, and by the database on either engine."""
    unchanged(lambda: actions.set_quiet_hours(by, since, until), "Noisy work would end before it begins")
    with pytest.raises(IntegrityError), transaction.atomic():
        Shop.objects.filter(pk=by.shop.pk).update(noise_from=since, noise_until=until)


def test_days_may_end_early(by: By) -> None:
    """Where nothing is lost by it, or not."""
    actions.set_evenings(by, True)
    assert by.shop.leave_early
    assert journal(by) == ("set evenings", "Days end early where nothing is lost by it.")
    actions.set_evenings(by, False)
    assert not Shop.objects.get(pk=by.shop.pk).leave_early


def test_suggested_skills_are_kept_as_they_are_suggested() -> None:
    """What is offered to be ticked is what is compared."""
    assert skills.checked(skills.SUGGESTED) == sorted(skills.SUGGESTED)


def test_places_outdoors_from_before_rooms_were_kept_have_fresh_air(by: By) -> None:
    """The migration tells them apart by their kind; all others stay in the shop's air."""
    Place.objects.filter(shop=by.shop).update(room="shop", fresh_air=False)
    migration = importlib.import_module("tallboy.book.migrations.0004_people_places_and_means")
    migration.outdoors_has_fresh_air(apps, None)
    fresh = Place.objects.filter(fresh_air=True).values_list("name", "room")
    assert list(fresh) == [("outdoors", "outdoors")]
    assert {place.room for place in Place.objects.filter(fresh_air=False)} == {"shop"}
