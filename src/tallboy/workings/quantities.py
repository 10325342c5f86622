"""How much to have ready and which cans to buy, as it is asked before the shop shuts."""

from __future__ import annotations

from decimal import Decimal

from tallboy.sums.cans import CENT, Purchase, cans_to_buy
from tallboy.sums.film import Estimate, litres_to_have
from tallboy.sums.units import format_volume
from tallboy.tables.losses import loss, thirst
from tallboy.workings.film_words import METHOD, ROW_LIMITS, between, coat_cautions, row_sources
from tallboy.workings.kinds import Answer, Asked, Given, Got, Grid, Lead, Working
from tallboy.workings.telling import about, rounded

OWN_SPREAD = 10.0


def _litres(given: Given) -> Answer:
    rate, lost, first = _rate(given), loss(given.row("method")), thirst(given.row("surface"))
    area, coats, off = given.number("area"), given.whole("coats"), given.number("area_off") / 100
    found = litres_to_have(area, coats, rate, loss=lost, thirst=first, area_spread=off)
    return Answer(
        results=(
            Got("litres", "To have ready", found.middle, "l", found.low, found.high),
            Got("first_coat", "Of that, the first coat", _first(area, rate, lost, first), "l"),
            Got("each_coat", "Each later coat", _first(area, rate, lost, Estimate(1, 1, 1)), "l"),
        ),
        working=(
            f"coats as litres count them = coats - 1 + thirst of the first = {coats} - 1 + {first.middle:g} = {coats - 1 + first.middle:g}",
            f"practical rate = rate × (1 - loss) = {rounded(rate.middle)} × {1 - lost.middle:.2f} = {rounded(rate.middle * (1 - lost.middle))} m²/l",
            f"litres = area × coats / practical rate = {rounded(area)} × {coats - 1 + first.middle:g} / {rounded(rate.middle * (1 - lost.middle))} = {rounded(found.middle)} l",
            f"spread: area ± {100 * off:.0f} %, rate {between(rate, 'm²/l', 3)}, loss {between(Estimate(100 * lost.low, 100 * lost.middle, 100 * lost.high), '%')}, first coat {between(first, 'times')}; each alone, then the root of the sum of squares",
        ),
        sources=row_sources(given, ("method", "surface"), *_compared(given), "definition"),
        cautions=coat_cautions(given.row("method")),
        says=f"Have {about(given, found.high, 'l')} ready; about {about(given, found.middle, 'l')} will be used ({between(found, 'l')}).",
        limits=("Trial boards, a dropped tray and a coat too many are not in it.", *ROW_LIMITS),
        table=_by_method(given, area, coats, rate, first, off),
        leads=(Lead("cans", {"needed": f"{found.high:.3g} l"}),),
    )  # fmt: skip


def _compared(given: Given) -> list[str]:
    """Sources of the ways that stand in the comparison."""
    return [str(row["source"]) for row in given.table("losses") if row.get("source")]


def _rate(given: Given) -> Estimate:
    """The label's rate: one figure, or from one to another."""
    one, other = given.number("rate"), given.maybe("rate_to")
    low, high = sorted((one, one if other is None else other))
    return Estimate(low, (low + high) / 2, high)


def _first(area: float, rate: Estimate, lost: Estimate, first: Estimate) -> float:
    return litres_to_have(area, 1, rate, loss=lost, thirst=first, area_spread=0).middle


def _by_method(given: Given, area: float, coats: int, rate: Estimate, first: Estimate, off: float) -> Grid:
    found = [
        (str(row["key"]), litres_to_have(area, coats, rate, loss=loss(row), thirst=first, area_spread=off))
        for row in given.table("losses")
    ]
    found.sort(key=lambda item: item[1].middle)
    return Grid(
        ("Laid by", "Litres", "Low to high"),
        tuple((name, about(given, one.middle, "l"), between(one, "l")) for name, one in found),
        "The same coats by other means",
    )


def _cans(given: Given) -> Answer:
    cans = [(size, _money(price)) for size, price in given.pairs("cans")]
    needed, shelf = given.number("needed"), given.number("on_shelf")
    found = cans_to_buy(needed, cans, shelf)
    return Answer(
        results=_purchase_figures(found),
        working=(
            f"missing = needed - on the shelf = {format_volume(needed)} - {format_volume(shelf)} = {format_volume(max(needed - shelf, 0))}",
            *(f"{row.count} × {format_volume(row.millilitres)} at {row.price} = {row.price * row.count}" for row in found.cans),
            f"bought {format_volume(found.bought_ml)} for {found.cost}: of all ways to cover it the one that costs least, then leaves least, then has fewest cans",
            *_worth_lines(found),
        ),
        sources=("definition",),
        says=_cans_say(found),
        limits=(
            "Only money is weighed. What is left over keeps better in a small full can than in a large one that is mostly air.",
            "Take the high end of what is needed where a second can might differ in colour or lot.",
        ),
        table=_one_size_each(needed, cans, shelf, found),
    )  # fmt: skip


def _money(typed: float) -> Decimal:
    """A price as it was typed, with its hundredths written."""
    price = Decimal(str(typed))
    return price.quantize(CENT) if price == price.quantize(CENT) else price


def _purchase_figures(found: Purchase) -> tuple[Got, ...]:
    figures = [
        Got("buy", "Buy", _listed(found)),
        Got("cost", "Costs", found.cost),
        Got("left_over", "Left over, the shelf's counted", format_volume(found.left_over_ml)),
    ]
    if found.per_litre is not None and found.left_over_worth is not None:
        figures += [
            Got("per_litre", "A litre comes to", found.per_litre),
            Got("left_over_worth", "Paid for what is left over", found.left_over_worth),
        ]
    return tuple(figures)


def _listed(found: Purchase) -> str:
    return ", ".join(f"{row.count} × {format_volume(row.millilitres)}" for row in found.cans) or "nothing"


def _worth_lines(found: Purchase) -> tuple[str, ...]:
    if found.per_litre is None or found.left_over_worth is None:
        return ()
    return (
        f"price of a litre = {found.cost} / {format_volume(found.bought_ml)} = {found.per_litre}",
        f"left over {format_volume(found.left_over_ml)} at that price = {found.left_over_worth}",
    )


def _cans_say(found: Purchase) -> str:
    if not found.cans:
        return "There is enough on the shelf: buy nothing."
    return f"Buy {_listed(found)} for {found.cost}; {format_volume(found.left_over_ml)} will be left over."


def _one_size_each(needed: float, cans: list[tuple[float, Decimal]], shelf: float, best: Purchase) -> Grid | None:
    """What each size alone would cost, beside the best."""
    if not best.cans or len(cans) < 2:
        return None
    alone = [cans_to_buy(needed, [can], shelf) for can in cans]
    rows = [_purchase_row(one) for one in sorted([*alone, best], key=lambda one: (one.cost, one.bought_ml))]
    return Grid(("Buy", "Costs", "Left over", "A litre"), tuple(dict.fromkeys(rows)), "Against one size alone")


def _purchase_row(one: Purchase) -> tuple[str, ...]:
    a_litre = "" if one.per_litre is None else str(one.per_litre)
    return _listed(one), str(one.cost.quantize(CENT)), format_volume(one.left_over_ml), a_litre


SUMS = (
    Working(
        name="litres",
        family="film",
        title="Litres to have ready",
        asks="How much is needed for all the coats?",
        inputs=(
            Asked("area", "Area", "m²", 0.001, 1000, help="A piece's page leads here with its own."),
            Asked("coats", "Coats", "", 1, 20, 2, kind="whole"),
            Asked("rate", "A litre covers", "m²/l", 0.5, 50, 10.0, help="From the label; 10 m²/l is 400 ft²/gal."),
            Asked("rate_to", "Up to", "m²/l", 0.5, 50, needed=False, help="Where the label gives two figures."),
            METHOD,
            Asked("surface", "The first coat goes on", kind="row", table="thirst", default="sealed"),
            Asked("area_off", "The area may be out by", "%", 0, 50, OWN_SPREAD),
        ),
        work=_litres,
        example={
            "area": "6.2", "coats": "3", "rate": "10", "rate_to": "12", "method": "brush", "surface": "bare open grain",
        },
    ),
    Working(
        name="cans",
        family="film",
        title="Cans to buy",
        asks="Which cans cost least, and what will be left over?",
        inputs=(
            Asked("needed", "Needed", "ml", 0, 50_000, help="With its unit: 1.4 l, 3 US pt."),
            Asked(
                "cans", "Cans there are, with their price", kind="pairs", units=("ml", ""), help="750 ml = 14.90",
            ),
            Asked("on_shelf", "On the shelf already", "ml", 0, 50_000, 0.0),
        ),
        work=_cans,
        example={"needed": "1.4 l", "cans": "375 ml = 9.40; 750 ml = 14.90; 2.5 l = 36", "on_shelf": "150 ml"},
    ),
)  # fmt: skip
