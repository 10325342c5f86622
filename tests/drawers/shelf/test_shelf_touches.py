"""What fingers found of a can's coats, what the shop learns from it, and a mistaken touch taken back."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.air.actions import add_reading
from tallboy.drawers.air.models import Reading
from tallboy.drawers.shelf import labels, queries
from tallboy.drawers.shelf.actions import add_product, change_product, take_back_touch, write_touch
from tallboy.drawers.shelf.labels import label_of
from tallboy.drawers.shelf.models import Product, Touch
from tallboy.drawers.shelf.touches import MOST_COATS, Fingers, soonest
from tallboy.errors import BadInput, NotFound
from tallboy.sums.learning import Observed, learned, prior_spread

Opens = Callable[[By], Client]
MINUTE = timedelta(minutes=1)
LABEL = {"touch_minutes": 60, "recoat_from_minutes": 240, "cure_minutes": 2880}


@pytest.fixture
def can(by: By) -> Product:
    """A varnish that says next coat after 4 h, in a shop whose air was measured for weeks: the label's own, 23 °C and 50 %."""
    Reading.objects.bulk_create(
        Reading(**by.kept(), at=by.at - timedelta(hours=hour), celsius=23, relative_humidity=50)
        for hour in range(-3, 24 * 40)
    )
    return add_product(by, "Clear varnish", "oil varnish", **LABEL)


def touch(
    by: By, can: Product, minutes: float, dry: bool, coat: str = "step 1", stage: str = "recoat", ago: float = 10
) -> Touch:
    """A finger on a coat laid so many hours ago, so many minutes after laying."""
    laid = by.at - timedelta(hours=ago)
    return write_touch(
        by.later(laid + minutes * MINUTE), can, coat=coat, what=f"Chair: {coat}", stage=stage, laid_at=laid, dry=dry
    )


def fingers(by: By, can: Product) -> Fingers:
    return Fingers(by.shop, by.at, [can])


def told(by: By, can: Product) -> Any:
    """What was learned of the can; something was."""
    found = fingers(by, can).learned(can).factor
    assert found is not None
    return found


def test_before_any_touch_nothing_is_learned(by: By, can: Product) -> None:
    """The label stands as it is."""
    assert fingers(by, can).learned(can).factor is None
    assert fingers(by, can).factor(can, "step 1") is None
    assert fingers(by, can).dry(can, "step 1", "recoat") is None
    assert fingers(by, can).factor(None) is None


def test_touches_are_bounds_on_the_label_s_time(by: By, can: Product) -> None:
    """Not yet after 5 h and dry enough after 6 h, where the label says 4: between 1.25 and 1.5 of it, as the sums have it."""
    touch(by, can, 300, dry=False)
    touch(by, can, 360, dry=True)
    factor = told(by, can)
    assert 1.1 < factor.value < 1.5
    assert (factor.touches, factor.coats) == (2, 1)
    finding = fingers(by, can).findings(can)[0]
    assert finding.not_yet is not None
    assert finding.dry is not None
    assert (finding.not_yet.ratio, finding.dry.ratio) == pytest.approx((1.25, 1.5), rel=0.001)
    air = max(finding.not_yet.gone.spread, finding.dry.gone.spread)
    again = learned([Observed(1.25, 1.5, 1.0, air)], prior_spread(labels.label_of(can)))
    assert factor.value == pytest.approx(again.value, rel=0.002)
    assert "Chair: step 1, laid" in factor.working[1]


def test_many_coats_narrow_the_factor(by: By, can: Product) -> None:
    """And all that is reckoned for the can moves with it: the time, its spread and the line in the working."""
    before = queries.laid_now(can, by.at).stages[1].estimate
    for number in range(6):
        touch(by, can, 290, dry=False, coat=f"step {number}", ago=20 + 24 * number)
        touch(by, can, 320, dry=True, coat=f"step {number}", ago=20 + 24 * number)
    factor = told(by, can)
    assert 1.15 < factor.value < 1.33
    assert factor.share < 0.45
    after = queries.laid_now(can, by.at).stages[1].estimate
    assert after.minutes == pytest.approx(before.minutes * factor.value, rel=0.01)
    assert any("In this shop times 1.2" in line for line in after.working)


def test_only_the_newest_coats_of_the_last_year_count(by: By, can: Product) -> None:
    """Twenty coats; what is older than a year is forgotten."""
    Touch.objects.bulk_create(
        Touch(
            **by.kept(), product=can, coat=f"old {number}", stage="recoat", laid_at=by.at - timedelta(days=366 + number),
            at=by.at - timedelta(days=365.5 + number), dry=True,
        )
        for number in range(3)
    )  # fmt: skip
    assert fingers(by, can).learned(can).factor is None
    for number in range(MOST_COATS + 3):
        touch(by, can, 250, dry=True, coat=f"step {number}", ago=10 + number)
    assert told(by, can).coats == MOST_COATS


def test_a_dry_enough_before_a_later_not_yet_was_a_mistake(by: By, can: Product) -> None:
    """The last word of the finger holds."""
    touch(by, can, 100, dry=True)
    touch(by, can, 200, dry=False)
    finding = fingers(by, can).findings(can)[0]
    assert finding.dry is None
    assert fingers(by, can).dry(can, "step 1", "recoat") is None
    touch(by, can, 260, dry=True)
    found = fingers(by, can).dry(can, "step 1", "recoat")
    assert found is not None
    assert found.gone.minutes == pytest.approx(260, abs=1)


def test_dry_for_the_next_coat_is_dry_to_touch_and_not_the_other_way(by: By, can: Product) -> None:
    """A later stage tells of the earlier ones; another coat tells nothing."""
    touch(by, can, 50, dry=True, stage="touch")
    assert fingers(by, can).dry(can, "step 1", "recoat") is None
    touch(by, can, 200, dry=True, stage="recoat")
    at_touch, at_recoat = (fingers(by, can).dry(can, "step 1", stage) for stage in ("touch", "recoat"))
    assert at_touch is not None
    assert at_recoat is not None
    assert at_touch.touch.stage == "touch"
    assert at_recoat.touch.stage == "recoat"
    assert fingers(by, can).dry(can, "step 2", "recoat") is None


def test_a_coat_that_is_still_wet_has_a_factor_of_its_own(by: By, can: Product) -> None:
    """Not yet at twice the label: this coat takes longer than that, the next one is expected a little slower than the label."""
    touch(by, can, 480, dry=False)
    own, shop = fingers(by, can).factor(can, "step 1"), fingers(by, can).factor(can)
    assert own is not None
    assert shop is not None
    assert own.value > 2.0
    assert 1.1 < shop.value < own.value
    assert fingers(by, can).factor(can, "step 2") == shop


def test_dry_enough_in_the_cold_teaches_nothing(by: By) -> None:
    """Below the lowest temperature a film may feel dry that has not formed: left out, and that is said."""
    for hour in range(48):
        add_reading(by, by.at - timedelta(hours=hour), 6.0, 60.0)
    can = add_product(by, "Emulsion", "acrylic paint", **LABEL)
    touch(by, can, 300, dry=True)
    learned_of = fingers(by, can).learned(can)
    assert learned_of.factor is None
    assert "below 10 °C" in learned_of.left_out[0]
    found = fingers(by, can).dry(can, "step 1", "recoat")
    assert found is not None
    assert found.gone.stalled_minutes == pytest.approx(300, abs=2)


def test_glue_and_slips_of_the_finger_teach_nothing(by: By, can: Product) -> None:
    """Each is left out with its reason."""
    glue = add_product(by, "Glue pot", "hide glue")
    touch(by, glue, 700, dry=True, ago=20)
    assert "nothing of the joint" in fingers(by, glue).learned(glue).left_out[0]
    touch(by, can, 3, dry=True)
    found = fingers(by, can).learned(can)
    assert found.factor is None
    assert "too far from what the label says" in found.left_out[0]


@pytest.mark.parametrize(("minutes", "taught"), [(80, False), (100, True)])
def test_dry_enough_is_believed_down_to_what_can_be_expected(
    by: By, can: Product, minutes: float, taught: bool
) -> None:
    """Three standard deviations sooner than the label, of what the label and one coat leave open: for this can after some 85 minutes of 240."""
    assert 80 < 240 * soonest(label_of(can)) < 100
    touch(by, can, minutes, dry=True)
    assert (fingers(by, can).learned(can).factor is not None) == taught


def test_a_label_corrected_since_is_the_one_that_counts(by: By, can: Product) -> None:
    """The touch stays as it was; its ratio is worked out anew."""
    touch(by, can, 300, dry=False)
    slow = told(by, can)
    change_product(by, can, recoat_from_minutes=600)
    can.refresh_from_db()
    assert told(by, can).value < slow.value


def test_old_touches_fade(by: By, can: Product) -> None:
    """The same coat of eleven months ago moves the factor less."""
    touch(by, can, 480, dry=False)
    new = told(by, can)
    Touch.objects.update(laid_at=by.at - timedelta(days=330), at=by.at - timedelta(days=330) + 480 * MINUTE)
    assert 1 < told(by, can).value < new.value


def test_windows_close_sooner_but_never_later(by: By, can: Product) -> None:
    """By the label's own clock, shortened where the can dries quicker here."""
    change_product(by, can, recoat_until_minutes=1000)
    can.refresh_from_db()
    quick = learned([Observed(0.5, 0.5)], 0.3)
    slow = learned([Observed(2.0, 2.0)], 0.3)
    assert labels.closes_after(can, "", quick) == math.floor(1000 * quick.value)
    assert labels.closes_after(can, "", slow) == labels.closes_after(can, "") == 1000


@pytest.mark.parametrize(
    ("minutes", "stage", "error"), [(0, "recoat", BadInput), (-5, "recoat", BadInput), (60, "tomorrow", BadInput)]
)
def test_what_makes_no_sense_is_not_written(by: By, can: Product, minutes: float, stage: str, error: type) -> None:
    """No row, no line in the journal."""
    rows = Journal.objects.count()
    with pytest.raises(error):
        touch(by, can, minutes, dry=True, stage=stage)
    assert (Touch.objects.count(), Journal.objects.count()) == (0, rows)


def test_a_stage_that_the_can_does_not_have_is_refused(by: By, can: Product) -> None:
    """Glue has no "touch dry"."""
    with pytest.raises(BadInput, match="has no time for that"):
        touch(by, add_product(by, "Glue pot", "hide glue"), 60, dry=True, stage="touch")


def test_the_database_keeps_touches_after_their_coats(by: By, can: Product) -> None:
    """Whoever writes the row."""
    with pytest.raises(IntegrityError), transaction.atomic():
        Touch.objects.create(**by.kept(), product=can, coat="x", stage="recoat", laid_at=by.at, at=by.at, dry=True)


def test_a_mistaken_touch_is_taken_back(by: By, can: Product, client_at: Opens) -> None:
    """One tap on the can's page; it teaches nothing any more, and the journal keeps what it said."""
    row = touch(by, can, 480, dry=False)
    client = client_at(by)
    page = client.get(reverse("shelf:product", args=[can.pk])).content.decode()
    assert "not yet dry enough for the next coat after 8 h" in page
    assert "times the label" in page
    address = reverse("shelf:take-back-touch", args=[row.pk])
    assert address in page
    assert client.get(address).status_code == 405
    page = client.post(address, follow=True).content.decode()
    assert "Taken back" in page
    assert "Nobody has touched a coat of it yet" in page
    line = Journal.objects.first()
    assert line is not None
    assert line.action == "take back touch"
    assert "Chair: step 1: not yet dry enough for the next coat after 8 h." in line.text
    assert client.post(address).status_code == 404


def test_another_shop_s_touch_and_can_are_not_found(by: By, stranger: By, can: Product, client_at: Opens) -> None:
    """Neither read, written nor taken back, and another shop's touches teach this one nothing."""
    row = touch(by, can, 480, dry=False)
    with pytest.raises(NotFound):
        take_back_touch(stranger, row)
    with pytest.raises(NotFound):
        touch(stranger, can, 60, dry=True)
    assert client_at(stranger).post(reverse("shelf:take-back-touch", args=[row.pk])).status_code == 404
    assert Touch.objects.count() == 1
    assert Fingers(stranger.shop, by.at, [can]).learned(can).factor is None


def test_few_questions_however_many_touches(by: By, can: Product, django_assert_max_num_queries: Any) -> None:
    """One for the touches, two for the air they had."""
    for number in range(12):
        touch(by, can, 300, dry=number % 2 == 0, coat=f"step {number}", ago=10 + number)
    with django_assert_max_num_queries(3):
        found = fingers(by, can)
        found.learned(can)
        found.factor(can, "step 1")
