"""Money as exact decimals: read as it is written, rounded once, to what a currency has."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal, InvalidOperation

from tallboy.errors import BadInput, OutOfRange

Amount = Decimal | int | str
"""An exact number as it is written: "14.90", 15, Decimal("0.125"). A binary fraction is none."""
MOST_MONEY = Decimal(10**12)
MOST_ROUNDED = Decimal(10**18)
FINEST = 28
"""Decimals beyond which no number is kept exactly."""
HUNDRED = Decimal(100)


@dataclass(frozen=True)
class Currency:
    """A currency by its ISO 4217 code: how many decimals its amounts have, and the step that cash is rounded to, None for none."""

    code: str
    minor_units: int = 2
    cash_step: Decimal | None = None


def exact(name: str, value: Amount, low: Amount, high: Amount, unit: str = "") -> Decimal:
    """A number as an exact decimal, once it has been seen to lie in its range.

    Parameters
    ----------
    name : [text] what people call it
    value : [its own unit] the number
    low : [same unit] least that is accepted
    high : [same unit] most that is accepted
    unit : [text] the unit's sign, "" when it has none

    Returns
    -------
    [its own unit] the same number, digit by digit

    Raises
    ------
    BadInput when it cannot be read, is a binary fraction, or has more than 28 decimals before its first digit; OutOfRange when it lies
    outside, or is not a number.

    Source
    ------
    definition
    """
    if isinstance(value, float) and float(low) <= value <= float(high):
        raise BadInput(f"{name} is a binary fraction.", "Give it as a decimal or as text, so that it is exact.")
    try:
        number = Decimal(value)
    except InvalidOperation:
        raise BadInput(f"{name}: “{value}” is no number.", "It takes digits and one decimal point.") from None
    if not (number.is_finite() and Decimal(low) <= number <= Decimal(high)):
        raise OutOfRange(name, value, low, high, unit)
    if number and number.adjusted() < -FINEST:
        raise BadInput(f"{name} is {value}: too near to nothing.", f"It takes 0, or a number with {FINEST} decimals.")
    # Nothing owed is 0, never -0.
    return number if number else number.copy_abs()


def paid(name: str, value: Amount) -> Decimal:
    """An amount of money that is paid or asked.

    Parameters
    ----------
    name : [text] what people call it
    value : [money] 0 to 1 000 000 000 000

    Returns
    -------
    [money] the same amount, digit by digit

    Raises
    ------
    As `exact`.

    Source
    ------
    definition
    """
    return exact(name, value, 0, MOST_MONEY)


def rounded(amount: Amount, minor_units: int) -> Decimal:
    """An amount rounded to the decimals that its currency has; a half goes to the even side.

    When to use it: once, at the end of a sum, never in between.

    Parameters
    ----------
    amount : [money] -1 000 000 000 000 000 000 to 1 000 000 000 000 000 000
    minor_units : [1] decimals of the currency, 0 to 4

    Returns
    -------
    [money] with exactly so many decimals

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Some authorities ask for halves to go up; the two differ by one smallest unit, and only for exact halves.

    Source
    ------
    ISO 4217 for the decimals; IEEE 754-2019, 4.3.1 (ties to even), as the ledger rounds
    """
    places = exact("Decimals of the currency", minor_units, 0, 4)
    number = exact("Amount", amount, -MOST_ROUNDED, MOST_ROUNDED)
    return number.quantize(Decimal(1).scaleb(-int(places)), rounding=ROUND_HALF_EVEN)


def cash_rounded(amount: Amount, step: Amount) -> Decimal:
    """An amount as it is paid in coins: the nearest multiple of the smallest coin; half-way to the even multiple.

    When to use it: for the whole bill paid in cash. What is paid by card or transfer is not rounded, nor are the lines of a bill.

    Parameters
    ----------
    amount : [money] -1 000 000 000 000 to 1 000 000 000 000
    step : [money] smallest coin, 0.01 to 1000

    Returns
    -------
    [money] with the step's decimals

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition; the steps in use stand in the table of currencies
    """
    coin = exact("Smallest coin", step, "0.01", 1000)
    number = exact("Amount", amount, -MOST_MONEY, MOST_MONEY)
    return (number / coin).quantize(Decimal(1), rounding=ROUND_HALF_EVEN) * coin
