"""Many hands at the same moment: ten threads, each with a connection of its own, do the same thing to the same book."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.drawers.today.own_book import own_database, run_program, told

# Runs as a program of its own on a book of its own: no test's transaction is around it.
PROGRAM = """
import argparse, collections, io, json, threading
from tallboy.cli.start import open_tables
open_tables(argparse.Namespace(book=None))
from django.db import connection
from django.utils import timezone
from PIL import Image
from tallboy.book.actions import add_place, keep_photo
from tallboy.book.doing import all_or_nothing
from tallboy.book.models import Person, Photo, Shop
from tallboy.book.queries import demo_shop
from tallboy.demo.shop import demo_once
from tallboy.drawers.air.actions import add_reading
from tallboy.drawers.pieces.actions.desk import take_in_and_lay_out
from tallboy.drawers.pieces.actions.hardware import take_off
from tallboy.drawers.pieces.actions.work import finish_step, start_step
from tallboy.drawers.pieces.models import ClockEntry, Part, Piece, Spot, Step
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.checks import check_book
from tallboy.drawers.today.opening import open_shop
from tallboy.drawers.today.run.runs import begin_run
from tallboy.errors import TallboyError
from tallboy.front.ready import ready_fronts
from tallboy.front.takein import TakeIn

HANDS = 10
by = open_shop(name="Quay Bench", person="Ines", at=timezone.now(), timezone="Europe/Lisbon")
chest = TakeIn("Sea chest", "chest", 900, 900, 450, painted_before="no", front=ready_fronts()["chest"])
piece, steps = take_in_and_lay_out(by, chest, {}, "hardware-only")
places = list(piece.positions.all())
out = io.BytesIO()
Image.new("RGB", (300, 200), (90, 60, 30)).save(out, "JPEG")

def all_at_once(act, hands=HANDS):
    ends, start = [], threading.Barrier(hands)
    def run(number):
        me = type(by)(Person.objects.select_related("shop").get(pk=by.person.pk), by.at)
        start.wait()
        try:
            act(me, number)
            ends.append("done")
        except TallboyError:
            ends.append("refused")
        except BaseException as error:
            ends.append(f"{type(error).__name__}: {error}")
        finally:
            connection.close()
    threads = [threading.Thread(target=run, args=(number,)) for number in range(hands)]
    for thread in threads: thread.start()
    for thread in threads: thread.join()
    return dict(collections.Counter(ends))

def off(me, place):
    spot = Spot.objects.filter(shop=me.shop).first()
    take_off(me, place, spot=spot, kind=place.kind, name=place.name, condition="sound", decision="keep", screws=None, metal="")

def picture(me):
    with all_or_nothing():
        keep_photo(me, out.getvalue(), "front.jpg")

told = {
    "take in": all_at_once(lambda me, n: take_in_and_lay_out(me, chest, {}, "hardware-only")),
    "numbers": Piece.objects.values("number").distinct().count(),
    "same place": all_at_once(lambda me, n: off(me, places[0])),
    "other places": all_at_once(lambda me, n: off(me, places[1 + n])),
    "parts": Part.objects.values("number").distinct().count(),
    "begin": all_at_once(lambda me, n: start_step(me, Step.objects.filter(piece__number__endswith=f"{n + 2:03d}").first())),
    "clocks": ClockEntry.objects.filter(ended_at__isnull=True).count(),
    "finish": all_at_once(lambda me, n: finish_step(me, steps[0])),
    "picture": all_at_once(lambda me, n: picture(me)),
    "pictures": Photo.objects.count(),
    "workplace": all_at_once(lambda me, n: add_place(me, "loft", "bench")),
    "reading": all_at_once(lambda me, n: add_reading(me, me.at, 18.0, 55.0)),
    "replan": all_at_once(lambda me, n: replan(me, seconds=0.2)),
    "run": all_at_once(lambda me, n: begin_run(me, 5)),
    "open": all_at_once(lambda me, n: open_shop(name="Slipway", person="Rui", at=by.at)),
    "demo": all_at_once(lambda me, n: demo_once(by.at), 3),
    "shops": Shop.objects.count(),
    "trouble": [line for check in check_book(by.at) for line in check.trouble],
}
print(json.dumps(told))
"""
ONE = {"done": 1, "refused": 9}


@pytest.fixture
def database() -> Iterator[dict[str, str]]:
    with own_database("tallboy_at_once") as settings:
        yield settings


def test_ten_at_once_leave_one_truth(tmp_path: Path, database: dict[str, str]) -> None:
    """What can be done once is done once and refused in plain words to the others; what all may do, all have done."""
    found = told(run_program(PROGRAM, tmp_path / "book", database))
    assert found["trouble"] == []
    assert (
        found["take in"]
        == found["other places"]
        == found["begin"]
        == found["picture"]
        == found["replan"]
        == {"done": 10}
    )
    assert found["same place"] == found["finish"] == found["workplace"] == found["reading"] == found["open"] == ONE
    assert found["run"] == ONE
    assert found["demo"] == {"done": 3}
    assert [found[key] for key in ("numbers", "parts", "clocks", "pictures", "shops")] == [11, 11, 1, 1, 3]
