"""Pages about what a step needs and what is on its way."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.today.pages_made import address, text_of
from tests.drawers.today.today_made import chair, coat, step, varnish

from tallboy.book.actions.people import add_person
from tallboy.book.doing import By
from tallboy.book.models import Place
from tallboy.drawers.pieces.actions.deliveries import expect
from tallboy.drawers.pieces.actions.piece import edit_piece
from tallboy.drawers.pieces.models import Delivery, Step
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.today.models import PlannedStep

OpenAt = Callable[[By], Client]
SOON = date(2026, 3, 17)


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = 0.3


def test_what_a_step_needs_is_changed_on_its_page(client_at: OpenAt, by: By) -> None:
    """The form shows what is written, keeps what is sent, and the step's page tells it."""
    other = add_person(by, "Tomé")
    glue = step(chair(by), "Glue the frame", clamps=2)
    place = Place.objects.filter(shop=by.shop)[0]
    client = client_at(by)
    assert 'value="2"' in text_of(client.get(address("needs", glue.pk)))
    sent = {
        "place": place.pk, "hands": 2, "skill": "chair making", "clamps": 6, "rack_dm2": 0, "noisy": "on", "ignition": "on",
        "people": [other.pk, by.person.pk],
    }  # fmt: skip
    page = text_of(client.post(address("needs", glue.pk), sent, follow=True))
    found = Step.objects.get(pk=glue.pk)
    assert (found.place, found.hands, found.clamps, found.noisy, found.solvent) == (place, 2, 6, True, False)
    for words in (
        "chair making",
        "Only by",
        "Tomé",
        "<dt>Clamps</dt><dd>6</dd>",
        "makes noise",
        "flame, heat or sparks",
    ):
        assert words in page
    assert PlannedStep.objects.filter(step=found).exists()


def test_room_on_the_rack_is_told_with_what_lies_there(client_at: OpenAt, by: By) -> None:
    """The carcase dries where it stands: only what comes off takes room."""
    doors = step(chair(by), "Coat the doors", does="coat", rack_dm2=160)
    page = text_of(client_at(by).get(address("step", doors.pk)))
    assert "160 dm²: the loose parts (doors, drawer fronts)" in page


def test_a_solvent_beside_a_flame_is_told_on_the_form(client_at: OpenAt, by: By) -> None:
    """And nothing is kept."""
    glue = step(chair(by), "Glue the frame")
    sent = {"place": "", "hands": 1, "clamps": 0, "rack_dm2": 0, "solvent": "on", "ignition": "on"}
    assert "Make two steps of it" in text_of(client_at(by).post(address("needs", glue.pk), sent))
    assert not Step.objects.get(pk=glue.pk).solvent


def test_a_can_on_its_way_is_told_wherever_it_matters(client_at: OpenAt, by: By) -> None:
    """Today, the steps of the piece, the step, the can's own page, and the page of all that is on its way."""
    can = varnish(by)
    piece = chair(by)
    first, _second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    client = client_at(by)
    sent = {"what": "Clear varnish, 1 l", "product": can.pk, "expected": "2026-03-17"}
    client.post(address("expect"), sent)
    told = "“Clear varnish, 1 l” is expected Tue 17 Mar."
    pages = [reverse("pieces:piece", args=[piece.pk]), address("steps", piece.pk)]
    for page in (reverse("today:today"), *pages, address("step", first.pk), address("deliveries")):
        assert f"{told} 2 steps wait for it." in text_of(client.get(page))
    assert told in text_of(client.get(reverse("shelf:product", args=[can.pk])))
    start = PlannedStep.objects.get(step=first).start.astimezone(by.shop.tz)
    assert (start.date(), start.hour) == (SOON, 12)


def test_what_has_come_is_used_at_once(client_at: OpenAt, by: By) -> None:
    """The can is fuller, the plan moves up, and nothing is said of it any more."""
    can = varnish(by)
    first = coat(chair(by), "Coat 1", can)
    row = expect(by, "Clear varnish", SOON, product=can)
    client = client_at(by)
    page = text_of(client.post(address("came", row.pk), {"came": "1 l"}, follow=True))
    assert "Nothing is on its way" in page
    assert Product.objects.get(pk=can.pk).left_ml == 1000.0
    assert PlannedStep.objects.get(step=first).start.astimezone(by.shop.tz).date() == by.at.date()
    assert "is expected" not in text_of(client.get(reverse("shelf:product", args=[can.pk])))


def test_an_amount_that_is_none_is_asked_again(client_at: OpenAt, by: By) -> None:
    """Nothing has come by a slip of the pen."""
    row = expect(by, "Clear varnish", SOON, product=varnish(by))
    assert client_at(by).post(address("came", row.pk), {"came": "a lot"}).status_code == 400
    assert Delivery.objects.get(pk=row.pk).arrived_at is None


def test_something_for_a_step_comes_another_day_or_not_at_all(client_at: OpenAt, by: By) -> None:
    """Written down from the step's page; put off; called off."""
    pin = step(chair(by), "Pin the hinges")
    client = client_at(by)
    client.post(f"{address('expect')}?step={pin.pk}", {"what": "Brass pins", "expected": "2026-03-17"})
    row = Delivery.objects.get(step=pin)
    client.post(address("expected-on", row.pk), {"expected": "2026-03-20"})
    assert "“Brass pins” is expected Fri 20 Mar." in text_of(client.get(address("step", pin.pk)))
    client.post(address("call-off", row.pk))
    assert not Delivery.objects.exists()
    assert PlannedStep.objects.get(step=pin).start.astimezone(by.shop.tz).date() == by.at.date()


def test_a_day_in_the_past_is_told_on_the_form(client_at: OpenAt, by: By) -> None:
    """And nothing is written down."""
    pin = step(chair(by), "Pin the hinges")
    sent = {"what": "Brass pins", "expected": "2026-03-01"}
    assert "from today on" in text_of(client_at(by).post(f"{address('expect')}?step={pin.pk}", sent))
    assert not Delivery.objects.exists()


def test_overdue_is_told_on_today(client_at: OpenAt, by: By) -> None:
    """With what the plan reckons with instead."""
    expect(by, "Brass pins", SOON, step=step(chair(by), "Pin the hinges"))
    later = by.later(by.at.replace(day=19))
    page = text_of(client_at(later).get("/"))
    assert "Overdue." in page
    assert "was expected Tue 17 Mar and has not come. The plan reckons with Fri 20 Mar" in page


def test_a_lead_test_has_no_button_that_ends_it(client_at: OpenAt, by: By) -> None:
    """Its page leads to where the result is recorded."""
    piece = edit_piece(by, chair(by), old_paint=True)
    test = step(piece, "Test the old paint for lead", does="test")
    Step.objects.filter(pk=test.pk).update(key="lead-test")
    page = text_of(client_at(by).get(address("step", test.pk)))
    assert reverse("today:lead-test", args=[piece.pk]) in page
    assert 'form="done">Done' not in page
