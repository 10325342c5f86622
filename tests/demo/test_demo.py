"""The demo shop, made at awkward moments too: a Sunday night, the morning the clocks change, the first of January."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from django.conf import settings

from tallboy.book.models import Journal, Photo, Shop
from tallboy.demo.air import logger_text
from tallboy.demo.shop import demo_once, make_demo
from tallboy.drawers.air.models import Reading
from tallboy.drawers.pieces.models import ClockEntry, Part, Piece, Step
from tallboy.drawers.shelf.models import Product, Touch
from tallboy.drawers.shelf.touches import Fingers
from tallboy.drawers.today.checks import check_book
from tallboy.drawers.today.models import Plan, PlannedStep

LISBON = ZoneInfo("Europe/Lisbon")
MOMENTS = (
    datetime(2026, 3, 12, 10, 20, tzinfo=LISBON),
    datetime(2026, 3, 29, 3, 10, tzinfo=LISBON),
    datetime(2027, 1, 1, 0, 5, tzinfo=LISBON),
)


@pytest.mark.django_db
@pytest.mark.parametrize("now", MOMENTS, ids=["a working morning", "the clocks change", "new year's night"])
def test_the_demo_shop_is_whole_at_any_moment(now: datetime) -> None:
    """Four pieces at different days of their job, about 60 parts, three weeks of air, nothing in the future, all checks hold."""
    by = make_demo(now)
    assert Piece.objects.count() == 4
    assert 45 <= Part.objects.count() <= 75
    assert Reading.objects.count() == 1009
    states = set(Step.objects.values_list("state", flat=True))
    assert {"done", "to do"} <= states
    assert not Journal.objects.filter(at__gt=now).exists()
    assert not ClockEntry.objects.filter(began_at__gt=now).exists()
    assert not Step.objects.filter(ended_at__gt=now).exists()
    plan = Plan.objects.get(shop=by.shop)
    assert (
        PlannedStep.objects.filter(plan=plan).exclude(reason="").count()
        == PlannedStep.objects.filter(plan=plan).count()
        > 0
    )
    assert [line for check in check_book(now) for line in check.trouble] == []
    assert Photo.objects.count() >= 5
    can = Product.objects.get(shop=by.shop, coating="shellac")
    factor = Fingers(by.shop, now, [can]).learned(can).factor
    assert factor is not None
    assert factor.touches >= 3
    assert not Touch.objects.filter(at__gt=now).exists()


def test_the_invented_air_has_cold_nights_and_is_the_same_each_time() -> None:
    """Three weeks by the half hour, below 10 °C on some nights, above 15 °C on most afternoons; no chance in it."""
    text = logger_text(MOMENTS[0], LISBON)
    assert text == logger_text(MOMENTS[0], LISBON)
    rows = [line.split(";") for line in text.splitlines()[1:]]
    celsius = [float(row[1]) for row in rows]
    assert min(celsius) < 10
    assert max(celsius) > 15
    assert all(30 < float(row[2]) < 97 for row in rows)


@pytest.mark.django_db
def test_a_demo_shop_that_cannot_be_finished_is_not_begun(monkeypatch: pytest.MonkeyPatch) -> None:
    """Cut off in the middle there is no half of it, neither rows nor photographs; the next time it is made whole."""
    now = datetime(2026, 3, 12, 9, 0, tzinfo=ZoneInfo("Europe/Lisbon"))
    taken_in = iter(range(2))

    def gives_out(*_args: object, **_kwargs: object) -> None:
        next(taken_in)

    before = set(settings.BOOK.photos.rglob("*.jpg"))
    with monkeypatch.context() as patched:
        patched.setattr("tallboy.demo.shop.replan", gives_out)
        with pytest.raises(StopIteration):
            demo_once(now)
    assert not Shop.objects.exists()
    assert set(settings.BOOK.photos.rglob("*.jpg")) == before
    assert demo_once(now) == demo_once(now)
    assert Shop.objects.count() == 1
