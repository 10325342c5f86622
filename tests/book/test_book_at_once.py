"""Many hands at the same moment change the people of one shop: nobody waits for ever, nobody is counted twice."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.drawers.today.own_book import own_database, run_program, told

# Runs as a program of its own on a book of its own: no test's transaction is around it.
PROGRAM = """
import argparse, collections, json, threading
from tallboy.cli.start import open_tables
open_tables(argparse.Namespace(book=None))
from datetime import date, time
from django.db import connection
from django.utils import timezone
from tallboy.book import actions, queries
from tallboy.book.models import DayOff, Person, Shop
from tallboy.drawers.today.opening import open_shop
from tallboy.errors import TallboyError

HANDS = 10
by = open_shop(name="Quay Bench", person="Ines", at=timezone.now(), timezone="Europe/Lisbon")

def all_at_once(*acts):
    ends, start = [], threading.Barrier(HANDS)
    def run(number):
        me = type(by)(Person.objects.select_related("shop").get(pk=by.person.pk), by.at)
        start.wait()
        try:
            acts[number % len(acts)](me, number)
            ends.append("done")
        except TallboyError:
            ends.append("refused")
        except BaseException as error:
            ends.append(f"{type(error).__name__}: {error}")
        finally:
            connection.close()
    threads = [threading.Thread(target=run, args=(number,)) for number in range(HANDS)]
    for thread in threads: thread.start()
    for thread in threads: thread.join()
    return dict(collections.Counter(ends))

def change(me, number):
    actions.change_person(me, me.person.pk, name="Ines", works=True, skills=[f"skill {number}"])

def away(me, number):
    person = Person.objects.filter(shop=me.shop, name=f"hand {number}").get()
    actions.change_person(me, person.pk, name=person.name, works=False, skills=[])

told = {
    "add": all_at_once(lambda me, n: actions.add_person(me, f"hand {n}")),
    "hands": Shop.objects.get().hands,
    "same": all_at_once(lambda me, n: actions.add_person(me, "Abel")),
    "away": all_at_once(away),
    "fewer": Shop.objects.get().hands,
    "mixed": all_at_once(change, lambda me, n: actions.change_shop(me, rate=n), lambda me, n: actions.set_evenings(me, True)),
    "clamps": all_at_once(lambda me, n: actions.add_means(me, "long clamps", "clamps", 6)),
    "day off": all_at_once(lambda me, n: actions.add_day_off(me, date(2026, 4, 1), "", me.person)),
    "week": all_at_once(lambda me, n: actions.set_hours(me, [(0, time(8), time(9 + n))])),
    "stretches": len(queries.hours(by.shop)),
    "days off": DayOff.objects.count(),
}
print(json.dumps(told))
"""


@pytest.fixture
def database() -> Iterator[dict[str, str]]:
    with own_database("tallboy_people_at_once") as settings:
        yield settings


def test_people_are_counted_once_by_ten_at_once(tmp_path: Path, database: dict[str, str]) -> None:
    """Ten are added and ten leave the bench; of ten with one name there is one; of ten weeks one holds."""
    found = told(run_program(PROGRAM, tmp_path / "book", database))
    assert found["add"] == found["away"] == found["mixed"] == found["day off"] == found["week"] == {"done": 10}
    assert found["same"] == found["clamps"] == {"done": 1, "refused": 9}
    assert [found[key] for key in ("hands", "fewer", "days off", "stretches")] == [11, 2, 1, 1]
