"""From a currency's code to what its amounts are rounded to."""

from __future__ import annotations

from decimal import Decimal

from tallboy.errors import NotFound
from tallboy.sums.money import Currency
from tallboy.tables.rows import Row, table

USUAL_MINOR_UNITS = 2


def currency(code: str) -> Currency:
    """The currency with this ISO 4217 code; NotFound for a code that is not in use."""
    for row in table("currencies").rows:
        if row["key"] == code:
            return of_row(row)
    raise NotFound(f"There is no currency with the code “{code}”.", "Give its three letters, such as EUR, GBP or USD.")


def of_row(row: Row) -> Currency:
    """The currency of a row, one of the shop's own too."""
    cash = row.get("cash")
    return Currency(str(row["key"]), int(row["minor"]), None if cash is None else Decimal(str(cash)))


def minor_units(code: str) -> int:
    """How many decimals the amounts of a currency have; two, as most have, for a code that is not in the table."""
    try:
        return currency(code).minor_units
    except NotFound:
        return USUAL_MINOR_UNITS
