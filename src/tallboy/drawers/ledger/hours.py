"""Hours of work: in words, and as money at the shop's rate in exact decimals."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from django.utils.formats import number_format

from tallboy.book.models import Shop
from tallboy.sums.money import rounded
from tallboy.tables.currencies import minor_units

SECONDS_AN_HOUR = 3600


def amount(time: timedelta, rate: Decimal, currency: str = "EUR") -> Decimal:
    """What a span of work costs, rounded half-even to the decimals that its currency has.

    amount = time / 1 h × rate

    Parameters
    ----------
    time : [h] span of work, 0 or more; fractions of a second are left out
    rate : [money/h] rate an hour, 0 to 99 999 999
    currency : [text] its ISO 4217 code

    Returns
    -------
    [money] in the currency of the rate, to its smallest unit; a half goes to the even one

    Validity
    --------
    Exact: seconds and cents are whole numbers, and 28 digits are carried until the one rounding at the end.

    Source
    ------
    definition; decimals by ISO 4217; rounding as IEEE 754-2019, 4.3.1 (ties to even)
    """
    seconds = Decimal(time.days * 86_400 + time.seconds)
    return rounded(seconds * rate / SECONDS_AN_HOUR, minor_units(currency))


def hours_words(time: timedelta) -> str:
    """A span of work in hours and minutes, to the whole minute. Never in days: a day of work has no fixed length.

    Parameters
    ----------
    time : [min] span of work, 0 or more; seconds are rounded to the nearest minute

    Returns
    -------
    [text] such as "45 min", "12 h 30", "52 h"

    Source
    ------
    definition
    """
    hours, minutes = divmod(round(time.total_seconds() / 60), 60)
    if not hours:
        return f"{minutes} min"
    return f"{hours} h {minutes:02d}" if minutes else f"{hours} h"


def money(value: Decimal, shop: Shop) -> str:
    """An amount with its currency and the decimals that it has, as it is written for people: "1,234.50 EUR", "1,235 JPY"."""
    places = minor_units(shop.currency)
    return f"{number_format(rounded(value, places), decimal_pos=places, force_grouping=True)} {shop.currency}"
