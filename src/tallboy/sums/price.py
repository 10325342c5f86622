"""What a job costs and what to ask for it: materials, hours, overheads; margin and mark-up kept apart. Fees and tax: `charges`.

Everything is exact decimals and nothing is rounded on the way: `money.rounded` does that once, at the end. A margin is a share of the
price, a mark-up a share of the cost; the two are never mixed.
"""

from __future__ import annotations

from decimal import Decimal

from tallboy.errors import BadInput
from tallboy.sums.money import HUNDRED, Amount, exact, paid

MOST_MINUTES = 10**7
MOST_HOURS = 10**6


def material_cost(amount: Amount, pack_amount: Amount, pack_price: Amount) -> Decimal:
    """What the used part of a can, sheet or packet cost.

    Formula: price of the pack * amount used / amount in the pack

    Parameters
    ----------
    amount : [any unit] used, 0 to 1 000 000 000
    pack_amount : [same unit] in the pack, above 0 to 1 000 000 000
    pack_price : [money] price of the pack, 0 to 1 000 000 000 000

    Returns
    -------
    [money] not rounded

    Raises
    ------
    OutOfRange outside the ranges; BadInput when the pack is empty.

    Source
    ------
    definition
    """
    used = exact("Amount used", amount, 0, 10**9)
    pack = exact("Amount in the pack", pack_amount, 0, 10**9)
    if not pack:
        raise BadInput("The pack is empty.", "Say how much is in a full one.")
    return paid("Price of the pack", pack_price) * used / pack


def labour_cost(minutes: Amount, rate: Amount) -> Decimal:
    """What working time costs.

    Formula: minutes * rate an hour / 60

    Parameters
    ----------
    minutes : [min] hands-on time, 0 to 10 000 000
    rate : [money/h] rate an hour, 0 to 1 000 000 000 000

    Returns
    -------
    [money] not rounded

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    return exact("Working time", minutes, 0, MOST_MINUTES, "min") * paid("Rate an hour", rate) / 60


def overhead_rate(overheads: Amount, hours: Amount) -> Decimal:
    """What rent, heat, tools and insurance come to on each working hour that is sold.

    Formula: overheads of a year / hours of work sold in a year

    Parameters
    ----------
    overheads : [money] of a year, 0 to 1 000 000 000 000
    hours : [h] of work sold in a year, 1 to 1 000 000

    Returns
    -------
    [money/h] not rounded

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition (absorption by labour hours)
    """
    return paid("Overheads", overheads) / exact("Hours sold", hours, 1, MOST_HOURS, "h")


def hourly_rate(income: Amount, overheads: Amount, hours: Amount) -> Decimal:
    """The rate an hour that brings in a wanted income and pays the overheads.

    Formula: (income + overheads) / hours sold

    Parameters
    ----------
    income : [money] wanted in a year, 0 to 1 000 000 000 000
    overheads : [money] of a year, 0 to 1 000 000 000 000
    hours : [h] of work sold in a year, 1 to 1 000 000

    Returns
    -------
    [money/h] not rounded

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Hours that are sold, not hours in the shop: sweeping, quoting and buying are paid by them.

    Source
    ------
    definition
    """
    both = paid("Wanted income", income) + paid("Overheads", overheads)
    return both / exact("Hours sold", hours, 1, MOST_HOURS, "h")


def earned_rate(price: Amount, expenses: Amount, minutes: Amount) -> Decimal:
    """What each hour brought in: what is left of a price without tax once all else is paid.

    Formula: (price - expenses) / hours

    Parameters
    ----------
    price : [money] without tax, 0 to 1 000 000 000 000
    expenses : [money] materials, overheads and fees, 0 to 1 000 000 000 000
    minutes : [min] hands-on time, above 0 to 10 000 000

    Returns
    -------
    [money/h] not rounded; below 0 when the job cost more than it brought

    Raises
    ------
    OutOfRange outside the ranges; BadInput when no time was worked.

    Source
    ------
    definition
    """
    worked = exact("Working time", minutes, 0, MOST_MINUTES, "min")
    if not worked:
        raise BadInput("No time was worked.", "Give the minutes that the clock says.")
    return (paid("Price", price) - paid("Expenses", expenses)) * 60 / worked


def price_from_margin(cost: Amount, margin_percent: Amount) -> Decimal:
    """The price of which a given share is left after the cost. A margin is a share of the price.

    Formula: cost / (1 - margin / 100)

    Parameters
    ----------
    cost : [money] 0 to 1 000 000 000 000
    margin_percent : [%] of the price, 0 to 99.9

    Returns
    -------
    [money] without tax, not rounded

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    margin = exact("Margin", margin_percent, 0, "99.9", "%")
    return paid("Cost", cost) * HUNDRED / (HUNDRED - margin)


def price_from_markup(cost: Amount, markup_percent: Amount) -> Decimal:
    """The price with a given share of the cost added. A mark-up is a share of the cost.

    Formula: cost * (1 + mark-up / 100)

    Parameters
    ----------
    cost : [money] 0 to 1 000 000 000 000
    markup_percent : [%] of the cost, 0 to 10 000

    Returns
    -------
    [money] without tax, not rounded

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    return paid("Cost", cost) * (HUNDRED + exact("Mark-up", markup_percent, 0, 10_000, "%")) / HUNDRED


def margin_of(price: Amount, cost: Amount) -> Decimal:
    """The share of a price that is left after the cost.

    Formula: 100 * (price - cost) / price

    Parameters
    ----------
    price : [money] without tax, above 0 to 1 000 000 000 000
    cost : [money] 0 to 1 000 000 000 000

    Returns
    -------
    [%] of the price, below 0 at a loss

    Raises
    ------
    OutOfRange outside the ranges; BadInput when the price is nothing.

    Source
    ------
    definition
    """
    asked = _above_nothing("price", paid("Price", price))
    return HUNDRED * (asked - paid("Cost", cost)) / asked


def markup_of(price: Amount, cost: Amount) -> Decimal:
    """What a price adds to the cost, as a share of the cost.

    Formula: 100 * (price - cost) / cost

    Parameters
    ----------
    price : [money] without tax, 0 to 1 000 000 000 000
    cost : [money] above 0 to 1 000 000 000 000

    Returns
    -------
    [%] of the cost, below 0 at a loss

    Raises
    ------
    OutOfRange outside the ranges; BadInput when the cost is nothing.

    Source
    ------
    definition
    """
    spent = _above_nothing("cost", paid("Cost", cost))
    return HUNDRED * (paid("Price", price) - spent) / spent


def markup_from_margin(margin_percent: Amount) -> Decimal:
    """The mark-up on cost that comes to the same as a margin on the price.

    Formula: 100 * margin / (100 - margin)

    Parameters
    ----------
    margin_percent : [%] of the price, 0 to 99.9

    Returns
    -------
    [%] of the cost

    Raises
    ------
    OutOfRange outside the range.

    Source
    ------
    definition
    """
    margin = exact("Margin", margin_percent, 0, "99.9", "%")
    return HUNDRED * margin / (HUNDRED - margin)


def margin_from_markup(markup_percent: Amount) -> Decimal:
    """The margin on the price that comes to the same as a mark-up on cost.

    Formula: 100 * mark-up / (100 + mark-up)

    Parameters
    ----------
    markup_percent : [%] of the cost, 0 to 10 000

    Returns
    -------
    [%] of the price

    Raises
    ------
    OutOfRange outside the range.

    Source
    ------
    definition
    """
    markup = exact("Mark-up", markup_percent, 0, 10_000, "%")
    return HUNDRED * markup / (HUNDRED + markup)


def _above_nothing(what: str, value: Decimal) -> Decimal:
    if not value:
        raise BadInput(f"The {what} is nothing, so there is no share of it.", "Give an amount above 0.")
    return value
