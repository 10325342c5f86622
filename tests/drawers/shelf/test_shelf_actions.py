"""Products set on the shelf, corrected, measured; each change leaves its row in the journal, each refusal leaves none."""

from __future__ import annotations

from typing import Any

import pytest

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.shelf import queries, words
from tallboy.drawers.shelf.actions import add_product, change_product, stock_usual_shelf, weigh_product
from tallboy.drawers.shelf.models import Product
from tallboy.errors import BadInput, NotFound, TallboyError


def test_a_product_is_set_on_the_shelf(by: By) -> None:
    """Its row carries shop and person; the journal says its name."""
    can = add_product(by, "  Quay varnish ", "oil varnish", recoat_from_minutes=960, left_ml=750.0)
    assert (can.name, can.shop, can.owner, can.left_ml) == ("Quay varnish", by.shop, by.person, 750.0)
    row = Journal.objects.first()
    assert row is not None
    assert (row.action, row.subject_id) == ("add product", can.pk)


BAD: list[dict[str, Any]] = [
    {"name": " "},
    {"name": "Shellac"},
    {"coating": "moon dust"},
    {"left_ml": -1.0},
    {"left_ml": 2_000_000.0},
    {"spreading_rate": 0.0},
    {"spreading_rate": float("nan")},
    {"recoat_from_minutes": 240, "recoat_until_minutes": 120},
    {"recoat_from_minutes": 240, "recoat_until_minutes": 240},
    {"minimum_celsius": 40.0},
    {"label_celsius": 80.0, "touch_minutes": 10},
    {"price": 3},
]


@pytest.mark.parametrize("fields", BAD)
def test_what_makes_no_sense_is_refused_and_changes_nothing(by: By, fields: dict[str, Any]) -> None:
    """Added or corrected, it is told and the book stays as it was."""
    add_product(by, "Shellac", "shellac")
    can = add_product(by, "can", "oil varnish", touch_minutes=300)
    rows = Journal.objects.count()
    with pytest.raises(TallboyError):
        add_product(by, **{"name": "new", "coating": "wax", **fields})
    with pytest.raises(TallboyError):
        change_product(by, can, **fields)
    can.refresh_from_db()
    assert (can.name, can.coating, can.touch_minutes, can.left_ml) == ("can", "oil varnish", 300, None)
    assert (Product.objects.count(), Journal.objects.count()) == (2, rows)


def test_a_correction_says_what_was_written_before(by: By) -> None:
    """Only what changed stands in the journal's data."""
    can = add_product(by, "can", "oil varnish", touch_minutes=300, cure_minutes=43_200)
    change_product(by, can, touch_minutes=240, cure_minutes=43_200)
    row = Journal.objects.first()
    assert row is not None
    assert row.data["before"] == {"touch_minutes": "300"}


def test_a_can_is_measured(by: By) -> None:
    """What is left, and whether it runs low."""
    can = add_product(by, "can", "oil varnish", left_ml=750.0, low_ml=250.0)
    assert not can.runs_low
    assert weigh_product(by, can, 200.0).runs_low
    with pytest.raises(BadInput):
        weigh_product(by, can, -5.0)
    can.refresh_from_db()
    assert can.left_ml == 200.0


def test_two_shops_may_have_a_can_of_one_name_and_not_each_others(by: By, stranger: By) -> None:
    """A name is taken once in a shop; another shop's can is not found."""
    theirs = add_product(stranger, "can", "shellac")
    add_product(by, "can", "shellac")
    with pytest.raises(NotFound):
        change_product(by, theirs, note="x")
    with pytest.raises(NotFound):
        weigh_product(by, theirs, 1.0)
    with pytest.raises(NotFound):
        queries.product(by.shop, theirs.pk)


def test_the_usual_shelf_is_set_once(by: By) -> None:
    """Ten products of classes the table has; what stands there already stays as it is."""
    own = add_product(by, "Shellac", "shellac", recoat_from_minutes=90)
    made = stock_usual_shelf(by)
    assert len(made) == len(words.usual_shelf()) - 1
    assert stock_usual_shelf(by) == []
    own.refresh_from_db()
    assert own.recoat_from_minutes == 90
    assert {key for _name, key in words.usual_shelf()} <= dict(words.class_choices()).keys()


def test_the_front_of_the_drawer_says_what_runs_low(by: By, django_assert_num_queries: Any) -> None:
    """One question to the database."""
    assert queries.line(by.shop, by.at) == "empty"
    add_product(by, "one", "shellac", left_ml=10.0, low_ml=50.0)
    add_product(by, "two", "shellac")
    with django_assert_num_queries(1):
        assert queries.line(by.shop, by.at) == "2 products, 1 runs low"
