"""Where vapour burns and how much liquid may be kept, as it is asked at the bench."""

from __future__ import annotations

from collections.abc import Mapping

from tallboy.errors import BadInput
from tallboy.sums.flammable import flammable_category, liquid_to_reach, stored
from tallboy.sums.vapour import Liquid, relative_density, vapour_volume
from tallboy.workings import vapour_words as words
from tallboy.workings.kinds import Answer, Asked, Given, Got, Grid, Working
from tallboy.workings.telling import rounded

SHARES = ((10.0, "a tenth"), (25.0, "a quarter"), (100.0, "all"))
CATEGORY = {
    "1": "It is of category 1, extremely flammable: keep it in small closed cans, far from every flame and spark.",
    "2": "It is of category 2, highly flammable: it gives off vapour that burns at any temperature of a shop.",
    "3": "It is of category 3, flammable: on a hot day, near a heater or on a rag it catches fire as easily.",
    "4": "It is of category 4: it burns once it is warm, and heated it counts as category 3.",
    "none": "It is of no category of flammable liquids; hot, as a mist or on a rag it may burn all the same.",
    "unknown": "What decides is not known; treat it as highly flammable until the label says otherwise.",
}


def _spill(given: Given) -> Answer:
    liquid, row, celsius, volume = (
        words.liquid_of(given),
        given.row("liquid"),
        given.number("celsius"),
        given.number("room"),
    )
    if liquid.density is None:
        raise BadInput(f"The density of {liquid.name} is not known here.", "Take another liquid.")
    spilt = given.number("spilt")
    ppm = words.in_air(spilt * liquid.density / volume, liquid, celsius)
    share = None if liquid.lower is None else ppm / (liquid.lower * 10_000)
    return Answer(
        results=(
            *(_reach(name, liquid, volume, celsius) for name in SHARES),
            Got("ppm", f"{spilt:g} ml would come to", ppm, "ppm"),
            Got("share", "that is, of the lower limit", words.UNKNOWN) if share is None else Got("share", "that is, of the lower limit", 100 * share, "%"),
            Got("heavier", "Pure vapour beside air", relative_density(liquid.molar_mass), "times as heavy"),
        ),
        working=(
            f"Vapour of 1 ml at {celsius:g} °C = {liquid.density:g} / {liquid.molar_mass:g} * R T / P = {rounded(1000 * vapour_volume(1, liquid.density, liquid.molar_mass, celsius))} litres",
            *(() if liquid.lower is None else (f"{name} of {liquid.lower:g} % of {volume:g} m³ / that = {rounded(liquid_to_reach(percent, liquid.lower, volume, liquid.density, liquid.molar_mass, celsius))} ml" for percent, name in SHARES)),
            words.lower_words(liquid),
        ),
        sources=words.sources_of([row], "ideal-gas", "osha-1910-106", "osha-1910-146"),
        cautions=words.cautions_of([row]),
        says=_spill_says(liquid, volume, celsius, spilt, share),
        limits=(
            words.FIRST,
            "All of it evaporated and evenly spread in a closed room. The air over the puddle and along the floor burns long before: far less than this is dangerous there.",
            *words.notes_on(liquid, row),
        ),
    )  # fmt: skip


def _reach(share: tuple[float, str], liquid: Liquid, volume: float, celsius: float) -> Got:
    percent, words_for = share
    name, label = f"ml_{percent:.0f}", f"Brings the room to {words_for} of the lower limit of burning"
    if liquid.lower is None or liquid.density is None:
        return Got(name, label, words.UNKNOWN)
    return Got(
        name, label, liquid_to_reach(percent, liquid.lower, volume, liquid.density, liquid.molar_mass, celsius), "ml"
    )


def _spill_says(liquid: Liquid, volume: float, celsius: float, spilt: float, share: float | None) -> str:
    if liquid.incombustible:
        return f"{liquid.name.capitalize()} does not burn."
    if liquid.lower is None or liquid.density is None or share is None:
        return (
            f"How much {liquid.name} makes the room dangerous is not known here; treat every spill as if it could burn."
        )
    least = liquid_to_reach(10, liquid.lower, volume, liquid.density, liquid.molar_mass, celsius)
    return (
        f"About {rounded(least, 2)} ml of {liquid.name}, all evaporated, would bring the whole room to a tenth of what burns; "
        f"{spilt:g} ml would come to {rounded(100 * share, 2)} % of what burns, and far more than that close to the puddle."
    )


def _class(given: Given) -> Answer:
    flash, boiling, row = (
        given.maybe("flash"),
        given.maybe("boiling"),
        given.row("liquid") if given.has("liquid") else None,
    )
    if row is not None:
        flash = row.get("flash") if flash is None else flash
        boiling = row.get("boiling") if boiling is None else boiling
    found = flammable_category(flash, boiling)
    kept = None if row is None or given.has("flash") else row.get("flammable_category")
    word = f"{kept:.0f}" if kept else found
    near = flash is not None and any(abs(flash - edge) <= 5 for edge in (23, 60, 93))
    return Answer(
        results=(
            Got("category", "Category", word),
            Got("flash", "Flash point", words.UNKNOWN) if flash is None else Got("flash", "Flash point", float(flash), "°C"),
            Got("boiling", "Boiling point", words.UNKNOWN) if boiling is None else Got("boiling", "Boiling point", float(boiling), "°C"),
        ),
        working=(
            "Flash below 23 °C: 1 when it boils at 35 °C or below, else 2; 23 to 60 °C: 3; above 60 to 93 °C: 4; above: none",
            f"Flash {_degrees(flash)}, boiling {_degrees(boiling)}: {found}",
        ),
        sources=words.sources_of([row] if row else [], "osha-1910-106"),
        cautions=words.cautions_of([row]) if row else ("solvent-vapour", "open-flame"),
        says=CATEGORY[word],
        limits=(
            words.FIRST,
            *(("Within 5 °C of a boundary: data sheets differ, the label decides.",) if near else ()),
            "A liquid without a flash point in the lists can still have limits of burning, such as dichloromethane.",
        ),
    )  # fmt: skip


def _degrees(value: float | None) -> str:
    return words.UNKNOWN if value is None else f"{value:g} °C"


def _stored(given: Given) -> Answer:
    litres = {name: given.number(f"category_{name}") for name in ("1", "2", "3", "4", "unknown")}
    cabinet = given.flag("cabinet")
    found, other = stored(litres, cabinet), stored(litres, not cabinet)
    where = "in one approved cabinet" if cabinet else "outside a cabinet, in one fire area"
    return Answer(
        results=(
            Got("allowed", f"Within the US rule {where}", found.allowed),
            Got("share", "Tightest allowance used", 100 * found.share, "%"),
            Got("other", "the same, " + ("outside a cabinet" if cabinet else "in one approved cabinet"), 100 * other.share, "%"),
        ),
        working=(
            "Outside a cabinet: 25 gal (94.6 l) of category 1; 120 gal (454 l) of 2, 3 and 4 together",
            "In a cabinet: 60 gal (227 l) of 1, 2 and 3 together; 120 gal (454 l) of 4",
            "; ".join(f"category {name}: {amount:g} l" for name, amount in litres.items() if amount) or "nothing kept",
        ),
        sources=("osha-1910-106",),
        cautions=("open-flame", "solvent-vapour"),
        says=f"This is {rounded(100 * found.share, 2)} % of what the US federal rule allows {where}: "
        + ("within it, but your fire code or insurer may allow far less." if found.allowed else "more than it allows."),
        limits=(words.FIRST, "US federal rule for incidental use. Fire codes, landlords and insurers often allow a small part of it; ask them.", "A liquid of unknown category is counted as category 1."),
        table=_allowances(litres),
    )  # fmt: skip


def _allowances(litres: Mapping[str, float]) -> Grid:
    rows = tuple(
        (where, "yes" if one.allowed else "no", f"{rounded(100 * one.share, 2)} %")
        for where, one in (("outside a cabinet", stored(litres)), ("in one approved cabinet", stored(litres, True)))
    )
    return Grid(("Where", "Within the rule", "Used"), rows, "Where it is kept")


SUMS = (
    Working(
        name="spill",
        family="vapour",
        title="Spilt liquid and the room",
        asks="How little of this liquid makes the whole room dangerous?",
        inputs=(words.LIQUID, words.CELSIUS, words.ROOM, Asked("spilt", "Spilt", "ml", 0, 100_000, 500.0)),
        work=_spill,
        example={"liquid": "acetone", "room": "40", "spilt": "500 ml"},
    ),
    Working(
        name="flammable-class",
        family="vapour",
        title="Category of a flammable liquid",
        asks="How flammable is this liquid?",
        inputs=(
            Asked("liquid", "Liquid", kind="row", table="liquids", needed=False),
            Asked("flash", "Flash point, closed cup", "°C", -100, 400, needed=False, help="From the label or the data sheet; it comes before the table."),
            Asked("boiling", "Boiling point", "°C", -50, 500, needed=False),
        ),
        work=_class,
        example={"liquid": "white spirit"},
    ),
    Working(
        name="stored-liquids",
        family="vapour",
        title="How much may be kept",
        asks="Are these liquids within what may be kept in one place?",
        inputs=(
            *(Asked(f"category_{name}", f"Kept of category {name}", "l", 0, 999, 0.0) for name in ("1", "2", "3", "4")),
            Asked("category_unknown", "Kept of unknown category", "l", 0, 999, 0.0),
            Asked("cabinet", "In an approved cabinet", kind="flag"),
        ),
        work=_stored,
        example={"category_2": "20 l", "category_3": "15 l"},
    ),
)  # fmt: skip
