"""The label wins, its class stands in where it is silent, and what is only usual is marked."""

from __future__ import annotations

from datetime import UTC, timedelta
from typing import Any

import pytest

from tallboy.book.doing import By
from tallboy.drawers.air import queries as air
from tallboy.drawers.air.actions import add_reading
from tallboy.drawers.shelf import labels, queries, words
from tallboy.drawers.shelf.actions import add_product
from tallboy.drawers.shelf.telling import label_rows, shelf_row
from tallboy.sums import drying
from tallboy.tables import load
from tallboy.tables.coatings import coating

CLASSES = [row["key"] for row in load("coatings")["coatings"]]
KINDS = {"touch_minutes": "touch", "recoat_from_minutes": "recoat", "cure_minutes": "cure"}


@pytest.mark.parametrize("key", CLASSES)
def test_a_silent_label_is_its_classs_row(by: By, key: str) -> None:
    """Every class gives a label by itself; all of its times are marked as usual, with where they come from."""
    row = coating(key)
    label = labels.label_of(add_product(by, "can", key))
    given = {name: row[name] for name in KINDS if name in row}
    assert {name: getattr(label, name) for name in given} == given
    assert set(label.usual) >= {KINDS[name] for name in given}
    assert key in label.usual_source


def test_the_can_wins_over_its_class(by: By) -> None:
    """Its own times, air and lowest temperature; only what it leaves out is usual."""
    can = add_product(
        by, "can", "oil varnish", recoat_from_minutes=960, recoat_until_minutes=4320, label_celsius=20.0,
        label_humidity=60.0, minimum_celsius=5.0,
    )  # fmt: skip
    label = labels.label_of(can)
    assert (label.recoat_from_minutes, label.recoat_until_minutes) == (960, 4320)
    assert (label.celsius, label.relative_humidity, label.minimum_celsius) == (20.0, 60.0, 5.0)
    assert set(label.usual) == {"touch", "cure"}
    assert "can" in label.source
    assert {row.name for row in label_rows(can, label) if row.usual} == {
        "Touch dry after",
        "Cured after",
        "Spreading rate",
    }


def test_a_step_without_a_can_is_reckoned_with_its_class() -> None:
    """An unknown class or none at all gives no label, and so no drying time."""
    found = labels.label_for_step(None, "shellac")
    assert found is not None
    assert found.recoat_from_minutes == coating("shellac")["recoat_from_minutes"]
    assert labels.label_for_step(None, "") is None
    assert labels.label_for_step(None, "moon dust") is None


def test_the_window_closes_only_where_the_label_says_so(by: By) -> None:
    """Open without an end unless one is given."""
    assert labels.closes_after(None, "") is None
    assert labels.closes_after(add_product(by, "one", "oil varnish"), "oil varnish") is None
    two = add_product(by, "two", "oil varnish", recoat_from_minutes=60, recoat_until_minutes=240)
    assert labels.closes_after(two, "oil varnish") == 240
    assert labels.closes_after(None, "epoxy") == coating("epoxy").get("recoat_until_minutes")


def test_in_the_labels_own_air_the_labels_time_holds(by: By) -> None:
    """23 °C and 50 % for weeks: the next coat after exactly what the can says."""
    for hour in range(48):
        add_reading(by, by.at - timedelta(hours=hour), 23.0, 50.0)
    can = add_product(by, "can", "waterborne varnish", recoat_from_minutes=180)
    series = air.series(by.shop, by.at, by.at + timedelta(days=14))
    found = labels.dry_after(can, "", "recoat", by.at, series)
    assert found is not None
    assert found.minutes == pytest.approx(180, abs=1)
    assert labels.dry_after(None, "", "recoat", by.at, series) is None


def test_colder_air_takes_longer_and_the_spread_holds_the_estimate(by: By) -> None:
    """A coat laid now in 14 °C: later than the label says, its early and late moments on either side."""
    add_reading(by, by.at, 14.0, 65.0)
    can = add_product(by, "can", "oil varnish", recoat_from_minutes=960, recoat_until_minutes=4320)
    laid = queries.laid_now(can, by.at)
    recoat = next(stage for stage in laid.stages if stage.key == "recoat")
    assert recoat.estimate.minutes > 960
    assert recoat.earliest < recoat.at < recoat.latest
    assert recoat.closes is not None
    assert recoat.closes > recoat.at
    for stage in laid.stages:
        step = 5 if stage.spread < 60 else 15 if stage.spread < 360 else 60
        asked = (stage.at, stage.earliest, stage.latest, stage.closes or stage.at)
        assert all((one.minute % step, one.second, one.microsecond) == (0, 0, 0) for one in asked)
        now = by.at.astimezone(UTC)
        early, late = stage.earliest.astimezone(UTC) - now, stage.latest.astimezone(UTC) - now
        assert early <= timedelta(minutes=stage.estimate.low) < early + timedelta(minutes=step)
        assert late >= timedelta(minutes=stage.estimate.high) > late - timedelta(minutes=step)
    assert (laid.trouble, laid.guessed) == ("", False)


def test_in_air_too_cold_nothing_is_promised(by: By) -> None:
    """Below the product's lowest temperature it says why instead of a time."""
    for hour in range(48):
        add_reading(by, by.at - timedelta(hours=hour), 2.0, 70.0)
    laid = queries.laid_now(add_product(by, "can", "acrylic paint"), by.at)
    assert laid.stages == ()
    assert "would not dry" in laid.trouble


def test_without_a_reading_it_is_a_guess(by: By) -> None:
    """The panel is worked out for the usual air and says that it is a guess."""
    assert queries.laid_now(add_product(by, "can", "shellac"), by.at).guessed


@pytest.mark.parametrize(
    ("minutes", "told"), [(2, 5), (62, 60), (719, 720), (800, 780), (4319, 4320), (4400, 4320), (22_000, 21_600)]
)
def test_an_estimate_is_told_no_finer_than_it_is(minutes: float, told: int) -> None:
    """Five minutes up to half a day, then hours, from three days on days."""
    assert queries.rounded(minutes) == told


def test_every_stage_has_its_words_and_every_class_its_cautions_in_the_table(by: By) -> None:
    """Nothing on a product's page is a bare key."""
    keys = {row["key"] for row in load("cautions")["cautions"]}
    for key in CLASSES:
        assert len(words.cautions_of(key)) == len(coating(key)["cautions"])
        assert set(coating(key)["cautions"]) <= keys
    assert set(drying.STAGES) == {"touch", "recoat", "cure"}


def test_the_list_says_when_all_times_are_only_usual(by: By) -> None:
    """A can whose label nobody wrote down is marked in the list."""
    silent = add_product(by, "silent", "shellac")
    told = add_product(by, "told", "oil varnish", recoat_from_minutes=960, recoat_until_minutes=4320)
    assert shelf_row(silent).all_usual
    row = shelf_row(told)
    assert not row.all_usual
    assert "next coat 16 h – 3 days" in row.times


def test_spreading_rates_are_told_in_the_shops_measure(by: By) -> None:
    """400 ft² a US gallon is 9.817 m² a litre (wood-air-finish.md, spare check values, computed)."""
    can = add_product(by, "can", "acrylic paint", spreading_rate=9.817)

    def told(product: Any) -> str:
        return next(row.value for row in label_rows(product, labels.label_of(product)) if row.name == "Spreading rate")

    assert told(can) == "9.817 m² a litre"
    can.shop.units = "imperial"
    assert told(can) == "400 ft² a US gallon"
