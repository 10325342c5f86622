"""The parts of a price, as they are asked at the desk: margin beside mark-up, tax in or out, selling fees, the rate an hour."""

from __future__ import annotations

from tallboy.sums import charges, price
from tallboy.sums.money import Currency, rounded
from tallboy.tables.currencies import of_row
from tallboy.workings.kinds import Answer, Asked, Given, Got, Working

MOST = 1e9
TAX_LIMIT = "Whether tax is due, at what rate and on what part of a job is for local rules to say."
ROUNDING = "each amount is rounded once, a half to the even side, to the smallest unit of the currency"
SOURCES = ("definition", "iso-4217")
CURRENCY = Asked(
    "currency", "Currency", kind="row", table="currencies", default="EUR", help="Three letters, such as EUR."
)


def chosen(given: Given) -> Currency:
    """The currency that was chosen."""
    return of_row(given.row("currency"))


def _margin(given: Given) -> Answer:
    money = chosen(given)
    cost, percent = given.decimal("cost"), given.decimal("percent")
    by_margin, by_markup = price.price_from_margin(cost, percent), price.price_from_markup(cost, percent)
    places, sign = money.minor_units, money.code
    as_markup, as_margin = price.markup_from_margin(percent), price.margin_from_markup(percent)
    return Answer(
        results=(
            Got("by_margin", f"With a margin of {percent} %", rounded(by_margin, places), sign),
            Got("by_markup", f"With a mark-up of {percent} %", rounded(by_markup, places), sign),
            Got("as_markup", "That margin is a mark-up of", float(as_markup), "%"),
            Got("as_margin", "That mark-up is a margin of", float(as_margin), "%"),
        ),
        working=(
            f"margin, a share of the price: {cost} / (1 - {percent} / 100) = {by_margin:.4f}",
            f"mark-up, a share of the cost: {cost} · (1 + {percent} / 100) = {by_markup:.4f}",
            f"mark-up of that margin = {percent} / (100 - {percent}) = {as_markup:.2f} %",
            f"margin of that mark-up = {percent} / (100 + {percent}) = {as_margin:.2f} %",
            f"Rounding: {ROUNDING}.",
        ),
        sources=(*SOURCES, "margin-pages"),
        says=f"{percent} % on the price asks {rounded(by_margin, places)} {sign}, {percent} % on the cost {rounded(by_markup, places)} {sign}.",
    )  # fmt: skip


def _tax(given: Given) -> Answer:
    money = chosen(given)
    amount, tax = given.decimal("amount"), given.decimal("tax")
    places, sign = money.minor_units, money.code
    inside = given.choice("has") == "with"
    gross = rounded(amount if inside else charges.with_tax(amount, tax), places)
    net = rounded(charges.without_tax(amount, tax) if inside else amount, places)
    way = f"{amount} / (1 + {tax} / 100)" if inside else f"{amount} · (1 + {tax} / 100)"
    return Answer(
        results=(
            Got("net", "Without tax", net, sign),
            Got("tax", "Tax", gross - net, sign),
            Got("gross", "With tax", gross, sign),
            Got("share", "Tax as a share of the price with it", float(charges.tax_in(100, tax)), "%"),
        ),
        working=(
            f"{'without' if inside else 'with'} tax = {way} = {net if inside else gross} {sign}",
            f"tax = {gross} - {net} = {gross - net} {sign}",
            f"tax in a price with it = {tax} / (100 + {tax}) of it",
            f"Rounding: {ROUNDING}; the tax is what is left, so that the three add up.",
        ),
        sources=(*SOURCES, "vat-fractions", "ato-gst"),
        says=f"{net} {sign} without tax, {gross - net} tax, {gross} with it.",
        limits=(TAX_LIMIT,),
    )


def _fee(given: Given) -> Answer:
    money = chosen(given)
    wanted, fee, fixed = given.decimal("wanted"), given.decimal("fee"), given.decimal("fee_fixed")
    places, sign = money.minor_units, money.code
    asked = rounded(charges.grossed_up(wanted, fee, fixed), places)
    taken = rounded(charges.fee_of(asked, fee, fixed), places)
    short = rounded(charges.fee_of(wanted, fee, fixed), places)
    return Answer(
        results=(
            Got("asked", "Ask", asked, sign),
            Got("taken", "The fee takes", taken, sign),
            Got("left", "Left", asked - taken, sign),
        ),
        working=(
            f"ask = (wanted + fixed fee) / (1 - fee / 100) = ({wanted} + {fixed}) / (1 - {fee} / 100) = {asked} {sign}",
            f"fee = {asked} · {fee} / 100 + {fixed} = {taken} {sign}",
            f"adding the fee of the wanted amount, {short}, would not do: the fee is taken of what is added too",
            f"Rounding: {ROUNDING}, so what is left may be a smallest unit off.",
        ),
        sources=(*SOURCES, "fee-pages"),
        says=f"Ask {asked} {sign}, and {asked - taken} is left.",
    )


def _rate(given: Given) -> Answer:
    money = chosen(given)
    income, overheads, hours = given.decimal("income"), given.decimal("overheads"), given.decimal("hours")
    places, sign = money.minor_units, money.code
    rate = rounded(price.hourly_rate(income, overheads, hours), places)
    share = rounded(price.overhead_rate(overheads, hours), places)
    return Answer(
        results=(
            Got("rate", "Rate an hour", rate, f"{sign}/h"),
            Got("overhead", "Of it overheads", share, f"{sign}/h"),
            Got("own", "Of it yours", rate - share, f"{sign}/h"),
        ),
        working=(
            f"rate = (income + overheads) / hours sold = ({income} + {overheads}) / {hours} = {rate} {sign}/h",
            f"overheads = {overheads} / {hours} = {share} {sign}/h",
            f"Rounding: {ROUNDING}.",
        ),
        sources=SOURCES,
        says=f"At {rate} {sign} an hour, {hours} hours sold bring the income and pay the shop.",
        limits=(
            "Hours sold, not hours in the shop: quoting, buying and sweeping are paid by them.",
            "Taxes on income, illness and pension are to be in the wanted income.",
        ),
    )


SUMS = (
    Working(
        "margin", "price", "Margin and mark-up", "What is the price with so much per cent on the price, or on the cost?",
        (Asked("cost", "Cost", "", 0, MOST), Asked("percent", "Margin or mark-up", "%", 0, 95), CURRENCY),
        _margin, {"cost": "80", "percent": "20 %"},
    ),
    Working(
        "tax", "price", "Tax in or out", "How much tax is in this price, or goes on top of it?",
        (
            Asked("amount", "Amount", "", 0, MOST), Asked("tax", "Tax", "%", 0, 100),
            Asked("has", "The amount is", kind="choice", choices=(("with", "with tax"), ("without", "without tax")), default="with"), CURRENCY,
        ),
        _tax, {"amount": "120", "tax": "20 %", "has": "with", "currency": "GBP"},
    ),
    Working(
        "selling-fee", "price", "Selling fee", "What must be asked so that the wanted amount is left after the fee?",
        (
            Asked("wanted", "To be left", "", 0, MOST), Asked("fee", "Fee, of all that is asked", "%", 0, 90),
            Asked("fee_fixed", "And for each sale", "", 0, MOST, default=0.0), CURRENCY,
        ),
        _fee, {"wanted": "100", "fee": "2.9 %", "fee_fixed": "0.30", "currency": "USD"},
    ),
    Working(
        "hourly-rate", "price", "Rate an hour", "What rate an hour brings the income you want?",
        (
            Asked("income", "Wanted income in a year", "", 0, MOST), Asked("overheads", "Overheads in a year", "", 0, MOST),
            Asked("hours", "Hours sold in a year", "", 1, 100_000), CURRENCY,
        ),
        _rate, {"income": "36000", "overheads": "9600", "hours": "1200"},
    ),
)  # fmt: skip
