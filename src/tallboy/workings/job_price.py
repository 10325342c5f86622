"""The whole price of a job, as it is asked at the desk, and the hours to reckon with when every step is only an estimate."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from tallboy.errors import BadInput
from tallboy.sums import charges, price
from tallboy.sums.contingency import Reserve, Shape, reserve
from tallboy.sums.money import Currency, cash_rounded, rounded
from tallboy.sums.units import format_minutes
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Mark, Plot, Working
from tallboy.workings.price import CURRENCY, MOST, ROUNDING, SOURCES, TAX_LIMIT, chosen

_WAY = Asked(
    "way", "Put on the cost", kind="choice", choices=(("margin", "a margin, as a share of the price"), ("markup", "a mark-up, as a share of the cost")),
    default="margin",
)  # fmt: skip
_TAX = Asked("tax", "Tax on the price", "%", 0, 100, default=0.0)
_SURENESS = Asked(
    "sureness", "The hours shall be enough in", "%", 50, 99.9, default=80.0, help="Of 100 such jobs so many."
)
_TOGETHER = Asked(
    "together", "Steps run over together", "", 0, 1, default=0.3, help="0: each by itself; 1: all at once. 0.3 is a guess.",
)  # fmt: skip
_STEPS = Asked(
    "steps", "Steps: time, give or take", kind="pairs", units=("min", "min"), help="One a line or with semicolons: 2 h = 30 min; 45 min = 15 min.",
)  # fmt: skip
_SHAPE = Asked(
    "shape",
    "Shape of the spread",
    kind="choice",
    choices=(("lognormal", "lognormal"), ("normal", "normal")),
    default="lognormal",
)


def _exact(value: float) -> Decimal:
    """What was typed, digit by digit."""
    return Decimal(str(value))


def _reserved(given: Given) -> Reserve:
    steps = given.pairs("steps")
    if not steps:
        raise BadInput("There are no steps.", "Give at least one with its time.")
    shape: Shape = "normal" if given.choice("shape") == "normal" else "lognormal"
    times, spreads = zip(*steps, strict=True)
    return reserve(times, spreads, given.number("sureness"), shape, given.number("together"))


def _hours_line(found: Reserve, sureness: float) -> str:
    return (
        f"hours = sum of the steps {format_minutes(found.total)} ± {format_minutes(found.spread)}; enough in {sureness:g} of 100: "
        f"{format_minutes(found.enough)}, {format_minutes(found.extra)} more"
    )


@dataclass(frozen=True)
class Costs:
    """The cost of a job [money], not rounded."""

    materials: Decimal
    labour: Decimal
    reserve: Decimal
    overheads: Decimal

    @property
    def all(self) -> Decimal:
        return self.materials + self.labour + self.reserve + self.overheads


def _costs(given: Given, minutes: float, extra: float) -> Costs:
    rate, overhead = given.decimal("rate"), given.decimal("overhead")
    materials = sum((price.material_cost(*map(_exact, used)) for used in given.pairs("materials")), Decimal(0))
    return Costs(
        materials,
        price.labour_cost(_exact(round(minutes, 6)), rate),
        price.labour_cost(_exact(round(extra, 6)), rate),
        price.labour_cost(_exact(round(minutes + extra, 6)), overhead),
    )


@dataclass(frozen=True)
class Bill:
    """What is asked: without tax, the tax, with tax, and the fee out of it; rounded, so that they add up [money]."""

    net: Decimal
    tax: Decimal
    gross: Decimal
    fee: Decimal


def _asked(given: Given, cost: Decimal, in_currency: Currency) -> Bill:
    """A fee is taken of all that is paid, tax included, so it is grossed up with the tax in it."""
    percent, tax = given.decimal("percent"), given.decimal("tax")
    fee, fixed = given.decimal("fee"), given.decimal("fee_fixed")
    wanted = (
        price.price_from_margin(cost, percent)
        if given.choice("way") == "margin"
        else price.price_from_markup(cost, percent)
    )
    places = in_currency.minor_units
    net = rounded(charges.grossed_up(wanted, fee * (100 + tax) / 100, fixed), places)
    gross = rounded(charges.with_tax(net, tax), places)
    return Bill(net, gross - net, gross, rounded(charges.fee_of(gross, fee, fixed) if gross else 0, places))


def _job(given: Given) -> Answer:
    money = chosen(given)
    hours = _reserved(given)
    costs = _costs(given, hours.total, max(hours.extra, 0.0))
    asked = _asked(given, costs.all, money)
    low, high = (
        float(_asked(given, _costs(given, max(minutes, 0.0), 0.0).all, money).gross)
        for minutes in (hours.total - hours.spread, max(hours.enough, hours.total + hours.spread))
    )
    sign, places = money.code, money.minor_units
    deposit = rounded(charges.deposit(asked.gross, given.decimal("deposit")), places)
    spent = costs.materials + costs.overheads + asked.fee
    worked = _exact(round(max(hours.enough, hours.total), 6))
    earned = rounded(price.earned_rate(asked.net, spent, worked), places)
    cash = (
        ()
        if money.cash_step is None
        else (Got("cash", "Paid in coins", cash_rounded(asked.gross, money.cash_step), sign),)
    )
    return Answer(
        results=(
            Got("gross", "Ask, with tax", asked.gross, sign, min(low, float(asked.gross)), max(high, float(asked.gross)), 5),
            Got("net", "Without tax", asked.net, sign),
            Got("tax", "Tax", asked.tax, sign),
            Got("deposit", "Before the work begins", deposit, sign),
            *cash,
            Got("materials", "Materials used", rounded(costs.materials, places), sign),
            Got("labour", "Hours", rounded(costs.labour, places), sign),
            Got("reserve", "Reserve of hours", rounded(costs.reserve, places), sign),
            Got("overheads", "Overheads", rounded(costs.overheads, places), sign),
            Got("fee", "Seller's fee", asked.fee, sign),
            Got("earned", "Left for each hour worked, if all of them are needed", earned, f"{sign}/h"),
        ),
        working=(*_material_lines(given), *_job_lines(given, hours, costs, asked, sign)),
        sources=(*SOURCES, "pert-examples"),
        says=f"Ask {asked.gross} {sign}{_tax_words(given)}, of it {deposit} before you begin.",
        limits=(
            "Only the steps that were thought of: work that was forgotten is in no spread.",
            "The reserve supposes that your estimates are right on average; look at your clock whether they are.",
            TAX_LIMIT,
        ),
    )  # fmt: skip


def _tax_words(given: Given) -> str:
    return f" ({given.number('tax'):g} % tax in it)" if given.number("tax") else ""


def _material_lines(given: Given) -> tuple[str, ...]:
    return tuple(
        f"material: {pay:g} · {used:g} / {pack:g} = {price.material_cost(*map(_exact, (used, pack, pay))):.4f}"
        for used, pack, pay in given.pairs("materials")
    )


def _job_lines(given: Given, hours: Reserve, costs: Costs, asked: Bill, sign: str) -> tuple[str, ...]:
    rate, percent = given.number("rate"), given.number("percent")
    way = (
        f"price = cost / (1 - {percent:g} / 100), a margin on the price"
        if given.choice("way") == "margin"
        else f"price = cost · (1 + {percent:g} / 100), a mark-up on the cost"
    )
    return (
        _hours_line(hours, given.number("sureness")),
        *(
            ()
            if hours.extra >= 0
            else ("the reserve is never less than nothing: the sum of the steps is reckoned with",)
        ),
        "the span beside the price: the same sum with the hours one spread fewer, and one spread or the reserve more",
        f"labour = {format_minutes(hours.total)} at {rate:g} an hour = {costs.labour:.2f}; reserve {costs.reserve:.2f}",
        f"overheads = {format_minutes(max(hours.enough, hours.total))} at {given.number('overhead'):g} an hour = {costs.overheads:.2f}",
        f"cost = {costs.materials:.2f} + {costs.labour:.2f} + {costs.reserve:.2f} + {costs.overheads:.2f} = {costs.all:.2f} {sign}",
        way,
        f"grossed up for a fee of {given.number('fee'):g} % of all that is paid and {given.number('fee_fixed'):g} a sale: {asked.net} {sign}",
        f"tax = {given.number('tax'):g} % of {asked.net} = {asked.tax}; together {asked.gross} {sign}",
        f"Rounding: {ROUNDING}.",
    )


def _hours(given: Given) -> Answer:
    found, sureness = _reserved(given), given.number("sureness")
    return Answer(
        results=(
            Got("enough", "Reckon with", found.enough, "min"),
            Got("total", "Sum of the estimates", found.total, "min", max(found.total - found.spread, 0.0), found.total + found.spread),
            Got("extra", "Reserve", found.extra, "min"),
        ),
        working=(
            "variance = (1 - together) · sum of spread² + together · (sum of spread)²",
            _hours_line(found, sureness),
            f"shape: {given.choice('shape')}, with this mean and variance",
        ),
        sources=("pert-examples",),
        says=f"{format_minutes(found.enough)} are enough in {sureness:g} of 100 such jobs.",
        limits=(
            "How far steps run over together is a guess; old furniture seldom goes wrong in one place only.",
            "Only the steps that were thought of: work that was forgotten is in no spread.",
        ),
        plots=(_sureness_plot(given, found, sureness),),
    )  # fmt: skip


def _sureness_plot(given: Given, found: Reserve, sureness: float) -> Plot:
    shares = np.linspace(50, 99, 50)
    times, spreads = zip(*given.pairs("steps"), strict=True)
    shape: Shape = "normal" if given.choice("shape") == "normal" else "lognormal"
    hours = [reserve(times, spreads, float(one), shape, given.number("together")).enough / 60 for one in shares]
    return Plot(
        "Time that is enough, by how sure it shall be", "sureness", "%", "time", "h",
        (Curve("time that is enough", tuple(shares.tolist()), tuple(hours)),),
        (Mark(sureness, found.enough / 60, format_minutes(found.enough)),) if sureness <= 99 else (),
        f"From {format_minutes(hours[0] * 60)} for an even chance it rises ever more steeply to {format_minutes(hours[-1] * 60)} for 99 %.",
    )  # fmt: skip


SUMS = (
    Working(
        "job-price", "price", "Price of a job", "What should this job cost the customer?",
        (
            Asked(
                "materials", "Materials: used, in the pack, price of the pack", kind="pairs", units=("", "", ""), needed=False,
                help="In one unit for each: 250 = 750 = 14.90; 2 = 10 = 8.50.",
            ),
            _STEPS, Asked("rate", "Rate an hour", "", 0, MOST), Asked("overhead", "Overheads an hour", "", 0, MOST, default=0.0),
            _SURENESS, _TOGETHER, _SHAPE, _WAY, Asked("percent", "Of so much", "%", 0, 95, default=0.0), _TAX,
            Asked("fee", "Seller's fee, of all that is paid", "%", 0, 45, default=0.0), Asked("fee_fixed", "And for each sale", "", 0, MOST, default=0.0),
            Asked("deposit", "Deposit", "%", 0, 100, default=30.0), CURRENCY,
        ),
        _job,
        {
            "materials": "250 = 750 = 14.90; 2 = 10 = 8.50", "steps": "2 h = 30 min; 5 h = 90 min; 45 min = 15 min", "rate": "38", "overhead": "8",
            "percent": "15", "tax": "20 %", "deposit": "30 %", "currency": "EUR",
        },
    ),
    Working(
        "hours-reserve", "price", "Hours to reckon with", "How many hours are enough, when every step is only an estimate?",
        (_STEPS, _SURENESS, _TOGETHER, _SHAPE),
        _hours, {"steps": "2 h = 30 min; 5 h = 90 min; 45 min = 15 min", "sureness": "80 %"},
    ),
)  # fmt: skip
