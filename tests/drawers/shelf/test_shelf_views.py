"""The pages of the Shelf drawer, as a browser without JavaScript asks for them."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.air.actions import add_reading
from tallboy.drawers.shelf.actions import add_product, stock_usual_shelf
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.shelf.urls import urlpatterns

Opens = Callable[[By], Client]
NUMBERED = {"product": "get", "change": "both", "weigh": "post"}
PLAIN = {"shelf": "get", "stock": "post", "add": "both"}
FORM = {"name": "Quay varnish", "coating": "oil varnish"}


def body(answer: object) -> str:
    return answer.content.decode()  # type: ignore[attr-defined, no-any-return]


def test_every_address_is_known_here() -> None:
    """A new page cannot be forgotten below."""
    assert {pattern.name for pattern in urlpatterns} == {*NUMBERED, *PLAIN, "take-back-touch"}


@pytest.mark.parametrize("name", NUMBERED)
def test_rows_unknown_or_of_another_shop_are_not_found(by: By, stranger: By, client_at: Opens, name: str) -> None:
    """404 either way, and nothing is changed."""
    theirs = add_product(stranger, "theirs", "shellac")
    client = client_at(by)
    for pk in (theirs.pk, 10**9):
        url = reverse(f"shelf:{name}", args=[pk])
        assert client.post(url, {**FORM, "left_ml": "1 l"}).status_code == (405 if NUMBERED[name] == "get" else 404)
        assert client.get(url).status_code == (405 if NUMBERED[name] == "post" else 404)
    theirs.refresh_from_db()
    assert (theirs.name, theirs.left_ml) == ("theirs", None)


def test_methods_a_page_does_not_take_are_refused(by: By, client_at: Opens) -> None:
    """405 for a look at what only acts, and for an act on what only shows."""
    client = client_at(by)
    assert client.get(reverse("shelf:stock")).status_code == 405
    assert client.post(reverse("shelf:shelf")).status_code == 405
    assert client.delete(reverse("shelf:add")).status_code == 405


def test_the_empty_shelf_invites_and_one_tap_fills_it(by: By, client_at: Opens) -> None:
    """Two ways to begin; after the tap the list stands there with its usual times, marked as such."""
    client = client_at(by)
    page = body(client.get(reverse("shelf:shelf")))
    assert "What stands on your shelf?" in page
    assert "PVA glue" in page
    answer = client.post(reverse("shelf:stock"), follow=True)
    assert Product.objects.filter(shop=by.shop).count() == 10
    assert "usual for its kind" in body(answer)


def test_the_list_says_what_runs_low_in_words(by: By, client_at: Opens) -> None:
    """Not by colour: the words stand there."""
    add_product(by, "Quay varnish", "oil varnish", left_ml=100.0, low_ml=250.0, recoat_from_minutes=960)
    page = body(client_at(by).get(reverse("shelf:shelf")))
    for words in ("Quay varnish", "100 ml", "runs low", "next coat 16 h"):
        assert words in page


def test_a_can_is_added_in_two_steps(by: By, client_at: Opens) -> None:
    """First what it is, then its label with what is usual beside each field."""
    client = client_at(by)
    first = body(client.get(reverse("shelf:add")))
    assert 'value="oil varnish"' in first
    second = body(client.get(reverse("shelf:add"), {"coating": "oil varnish"}))
    assert "Left empty: 24 h, usual for its kind." in second
    assert "no source" in second
    data = {
        **FORM,
        "recoat_from_minutes": "16 h",
        "recoat_until_minutes": "3 days",
        "label_celsius": "68 °F",
        "left_ml": "1 US qt",
    }
    answer = client.post(reverse("shelf:add"), data)
    can = Product.objects.get()
    assert answer.headers["Location"] == reverse("shelf:product", args=[can.pk])
    assert (can.recoat_from_minutes, can.recoat_until_minutes, can.touch_minutes) == (960, 4320, None)
    assert can.label_celsius == pytest.approx(20.0)
    assert can.label_humidity == 50
    assert can.left_ml == pytest.approx(946.35, abs=0.01)


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("name", "", "required"),
        ("recoat_from_minutes", "soon", "cannot be read"),
        ("recoat_until_minutes", "1 h", "must open first"),
        ("left_ml", "1 qt", "could be US or imperial"),
        ("label_humidity", "140", "between 0 and 100"),
        ("minimum_celsius", "45 °C", "must lie between"),
        ("spreading_rate", "-3", "greater than or equal to 0"),
        ("name", "Shellac", "stands on the shelf already"),
    ],
)
def test_a_bad_label_comes_back_with_a_message(by: By, client_at: Opens, field: str, value: str, told: str) -> None:
    """Added or corrected, the form shows again and nothing is written."""
    add_product(by, "Shellac", "shellac")
    can = add_product(by, "can", "oil varnish")
    rows = Journal.objects.count()
    client = client_at(by)
    for url in (reverse("shelf:add"), reverse("shelf:change", args=[can.pk])):
        answer = client.post(url, {**FORM, "recoat_from_minutes": "16 h", field: value})
        assert answer.status_code == 200
        assert told in body(answer)
    assert (Product.objects.count(), Journal.objects.count()) == (2, rows)


def test_what_the_form_shows_can_be_sent_back_as_it_is(by: By, client_at: Opens) -> None:
    """Opening a product's form and keeping it unchanged changes nothing, in both systems of units."""
    can = add_product(
        by, "can", "oil varnish", touch_minutes=245, recoat_from_minutes=960, recoat_until_minutes=4320, cure_minutes=43_200,
        label_celsius=20.0, label_humidity=55.0, minimum_celsius=10.0, spreading_rate=9.8, left_ml=750.0, low_ml=250.0, note="n",
    )  # fmt: skip
    columns = [field.attname for field in Product._meta.fields]
    before = {name: getattr(can, name) for name in columns}
    client, url = client_at(by), reverse("shelf:change", args=[can.pk])
    for units in ("metric", "imperial"):
        by.shop.units = units
        by.shop.save()
        initial = client.get(url).context["form"].initial
        assert (
            client.post(url, {name: "" if value is None else value for name, value in initial.items()}).status_code
            == 302
        )
        can.refresh_from_db()
        after = {name: getattr(can, name) for name in columns}
        assert {name: value for name, value in after.items() if not isinstance(value, float)} == {
            name: value for name, value in before.items() if not isinstance(value, float)
        }
        for name, value in before.items():
            if isinstance(value, float):
                assert after[name] == pytest.approx(value, rel=0.01)


def test_a_products_page_tells_when_a_coat_laid_now_is_dry(by: By, client_at: Opens) -> None:
    """Moments with their spread and working, what is only usual, the cautions of its class, no style in the page."""
    add_reading(by, by.at, 16.0, 62.0)
    can = add_product(by, "Quay varnish", "oil varnish", recoat_from_minutes=960, recoat_until_minutes=4320)
    page = body(client_at(by).get(reverse("shelf:product", args=[can.pk])))
    for words in (
        "Next coat from",
        "±",
        "Mean rate",
        "Lay the next coat before",
        "usual for its kind",
        "Oily rags",
        "Solvent vapour",
    ):
        assert words in page
    assert "A guess." not in page
    assert 'style="' not in page


def test_without_a_reading_the_page_says_that_it_guesses(by: By, client_at: Opens) -> None:
    """And offers to read the air."""
    can = add_product(by, "Quay varnish", "oil varnish")
    page = body(client_at(by).get(reverse("shelf:product", args=[can.pk])))
    assert "A guess." in page
    assert reverse("air:add") in page


def test_in_the_cold_the_page_says_not_now(by: By, client_at: Opens) -> None:
    """No moment is made up for a coat that would not dry."""
    add_reading(by, by.at, 1.0, 70.0)
    can = add_product(by, "Quay paint", "acrylic paint")
    page = body(client_at(by).get(reverse("shelf:product", args=[can.pk])))
    assert "Do not lay it now" in page


def test_what_is_left_is_written_down(by: By, client_at: Opens) -> None:
    """A bare number is millilitres; nonsense comes back with a message."""
    can = add_product(by, "Quay varnish", "oil varnish")
    url = reverse("shelf:weigh", args=[can.pk])
    client = client_at(by)
    assert client.post(url, {"left_ml": "half"}).status_code == 200
    assert client.post(url, {"left_ml": ""}).status_code == 200
    can.refresh_from_db()
    assert can.left_ml is None
    assert client.post(url, {"left_ml": "400"}).status_code == 302
    can.refresh_from_db()
    assert can.left_ml == 400


def test_the_list_asks_few_questions_however_long_it_is(
    by: By, client_at: Opens, django_assert_max_num_queries: Callable[[int], object]
) -> None:
    """A page of forty, no question for each row."""
    stock_usual_shelf(by)
    Product.objects.bulk_create(Product(**by.kept(), name=f"can {n}", coating="shellac") for n in range(100))
    client = client_at(by)
    with django_assert_max_num_queries(16):  # type: ignore[attr-defined]
        answer = client.get(reverse("shelf:shelf"))
    assert "1 to 40 of 110" in body(answer)
