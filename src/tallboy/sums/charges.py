"""What is put on a price before it is paid: a seller's fee, tax, and what of it is paid beforehand. Exact decimals, not rounded."""

from __future__ import annotations

from decimal import Decimal

from tallboy.sums.money import HUNDRED, Amount, exact, paid


def grossed_up(wanted: Amount, fee_percent: Amount, fee_fixed: Amount = 0) -> Decimal:
    """What to ask so that a wanted amount is left after a seller's fee, which is taken of all that is asked.

    Formula: (wanted + fixed fee) / (1 - fee / 100)

    Parameters
    ----------
    wanted : [money] to be left, 0 to 1 000 000 000 000
    fee_percent : [%] of what is asked, 0 to 90
    fee_fixed : [money] for each sale, 0 to 1 000 000 000 000

    Returns
    -------
    [money] not rounded

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Where tax is put on the fee itself, give the percentage with it: 3 % with 7 % tax on it is 3.21 %.

    Source
    ------
    definition (gross-up)
    """
    fee = exact("Fee", fee_percent, 0, 90, "%")
    return (paid("Wanted", wanted) + paid("Fixed fee", fee_fixed)) * HUNDRED / (HUNDRED - fee)


def fee_of(asked: Amount, fee_percent: Amount, fee_fixed: Amount = 0) -> Decimal:
    """What a seller's fee takes of all that is asked.

    Formula: asked * fee / 100 + fixed fee

    Parameters
    ----------
    asked : [money] 0 to 1 000 000 000 000
    fee_percent : [%] of what is asked, 0 to 90
    fee_fixed : [money] for each sale, 0 to 1 000 000 000 000

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
    share = exact("Fee", fee_percent, 0, 90, "%") / HUNDRED
    return paid("Asked", asked) * share + paid("Fixed fee", fee_fixed)


def with_tax(net: Amount, tax_percent: Amount) -> Decimal:
    """A price with its sales or value added tax.

    Formula: net * (1 + tax / 100)

    Parameters
    ----------
    net : [money] without tax, 0 to 1 000 000 000 000
    tax_percent : [%] of the price without tax, 0 to 100

    Returns
    -------
    [money] not rounded

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Whether, at what rate and on what part of a job tax is due is for local rules to say.

    Source
    ------
    definition
    """
    return paid("Price without tax", net) * (HUNDRED + _tax(tax_percent)) / HUNDRED


def without_tax(gross: Amount, tax_percent: Amount) -> Decimal:
    """A price without the sales or value added tax that is in it.

    Formula: gross / (1 + tax / 100)

    Parameters
    ----------
    gross : [money] with tax, 0 to 1 000 000 000 000
    tax_percent : [%] of the price without tax, 0 to 100

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
    return paid("Price with tax", gross) * HUNDRED / (HUNDRED + _tax(tax_percent))


def tax_in(gross: Amount, tax_percent: Amount) -> Decimal:
    """The sales or value added tax that is in a price.

    Formula: gross * tax / (100 + tax); the fraction is 1/6 at 20 %

    Parameters
    ----------
    gross : [money] with tax, 0 to 1 000 000 000 000
    tax_percent : [%] of the price without tax, 0 to 100

    Returns
    -------
    [money] not rounded

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition (VAT fraction)
    """
    tax = _tax(tax_percent)
    return paid("Price with tax", gross) * tax / (HUNDRED + tax)


def deposit(price: Amount, percent: Amount) -> Decimal:
    """What is paid before the work begins.

    Formula: price * percent / 100

    Parameters
    ----------
    price : [money] as it is paid in the end, 0 to 1 000 000 000 000
    percent : [%] of it, 0 to 100

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
    return paid("Price", price) * exact("Deposit", percent, 0, 100, "%") / HUNDRED


def _tax(percent: Amount) -> Decimal:
    return exact("Tax", percent, 0, 100, "%")
