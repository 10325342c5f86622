"""What the sums of vapours have in common: reading the liquid, its limit, the room; and the words that go with them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tallboy.errors import BadInput
from tallboy.sums.evaporation import Rate
from tallboy.sums.room_air import fresh_air_for
from tallboy.sums.vapour import (
    ATMOSPHERE,
    Limit,
    Liquid,
    diffusivity,
    milligrams_per_m3,
    parts_per_million,
    ppm_from_milligrams,
    vapour_pressure,
)
from tallboy.tables.liquids import from_row, lowest_limit
from tallboy.tables.rows import Row
from tallboy.workings.kinds import Asked, Given, Got
from tallboy.workings.telling import rounded

UNKNOWN = "unknown"
MOST_PRESSURE = 95_000.0
FIRST = "Follow the label, the safety data sheet and local rules; a figure here gives no leave to do what they forbid."
LISTS = (("lowest", "The lowest known"), ("OSHA", "OSHA, USA"), ("Ontario", "Ontario"), ("EPA", "EPA, USA"))
ROOM_LIMITS = (
    "The room is taken as evenly mixed but for the mixing factor: right above the liquid, at the floor and where you lean over it there is far more.",
    "A limit in air is for healthy grown people at work; children, pregnant women and the ill need more care, and so does work every day.",
)
IN_THE_SUN = (
    "In the sun or over a heater a liquid is warmer than the room: give its own temperature. "
    "Its vapour doubles with every 10 to 17 °C, so keep jars off a sunny sill."
)
SOURCES = ("toledo-ventilation", "ideal-gas")

LIQUID = Asked("liquid", "Liquid", kind="row", table="liquids", default="acetone")
CELSIUS = Asked("celsius", "Temperature", "°C", 0, 40, 20.0)
ROOM = Asked("room", "Volume of the room", "m³", 1, 100_000, 40.0, help="Length × width × height in metres.")
CHANGES = Asked(
    "changes", "Changes of air", "1/h", 0.05, 60, 0.5,
    help="How often an hour the room's air is renewed. Common practice: 0.3 to 1 with doors and windows shut, 5 and more with windows open on two sides.",
)  # fmt: skip
MIXING = Asked(
    "mixing", "Mixing factor", "", 1, 10, 3.0,
    help="1 where a fan stirs the whole room, 3 in most rooms, up to 10 where the fresh air passes you by.",
)  # fmt: skip
LIST = Asked("list", "Limit in air from", kind="choice", choices=LISTS, default="lowest")


@dataclass(frozen=True)
class Room:
    """A room's volume [m³], fresh air [m³/h] and mixing factor."""

    volume: float
    fresh_air: float
    mixing: float


def room_of(given: Given) -> Room:
    """The room that was typed."""
    volume = given.number("room")
    return Room(volume, volume * given.number("changes"), given.number("mixing"))


def liquid_of(given: Given, name: str = "liquid") -> Liquid:
    """The liquid that was chosen."""
    return from_row(given.row(name))


def limit_of(given: Given, liquid: Liquid) -> Limit | None:
    """The limit for eight hours, of the list that was chosen; None when it has none."""
    chosen = given.choice("list")
    return lowest_limit(liquid, "" if chosen == "lowest" else chosen)


def short_limit_of(given: Given, liquid: Liquid) -> Limit | None:
    """The lowest limit for a quarter of an hour or for any moment, of the list that was chosen; None when it has none."""
    chosen = "" if given.choice("list") == "lowest" else given.choice("list")
    found = [one for kind in ("15 minutes", "never above") if (one := lowest_limit(liquid, chosen, kind))]
    return min(found, key=lambda limit: limit.ppm, default=None)


def pressures(liquid: Liquid, celsius: float) -> tuple[float, float, float]:
    """Vapour pressure [Pa]: low, likely, high, by the spread of its sources; BadInput when it is not known."""
    if liquid.pressure is None:
        raise BadInput(
            f"How strongly {liquid.name} evaporates is not known here.",
            "Take another liquid, or ask fresh-air with the grams that leave in an hour.",
        )
    likely = vapour_pressure(liquid.pressure, celsius)
    if likely > MOST_PRESSURE:
        raise BadInput(f"At {celsius:g} °C {liquid.name} is about to boil.", "Keep it cooler, and the vessel closed.")
    off = liquid.spread / 100
    return likely * max(0.0, 1 - off), likely, min(likely * (1 + off), MOST_PRESSURE)


def spreads_at(liquid: Liquid, celsius: float) -> float:
    """Diffusivity of the vapour [cm²/s]."""
    if liquid.diffusion_volume is None:
        raise BadInput(f"How fast the vapour of {liquid.name} spreads is not known.", "Take another liquid.")
    return diffusivity(liquid.molar_mass, liquid.diffusion_volume, celsius)


def in_air(mg_m3: float, liquid: Liquid, celsius: float) -> float:
    """Vapour in the room's air [ppm]; BadInput where there would be nothing but vapour in it."""
    if mg_m3 > milligrams_per_m3(1e6, liquid.molar_mass, celsius):
        raise BadInput(
            f"That is more {liquid.name} than the room has space for.",
            "Give a smaller source, a larger room or more fresh air.",
        )
    return ppm_from_milligrams(mg_m3, liquid.molar_mass, celsius)


def parts(rate: Rate, mg_per_g: float, liquid: Liquid, celsius: float) -> Rate:
    """Rates as parts in a million of the room's air, `mg_per_g` mg/m³ for each g/h."""
    low, likely, high = (in_air(one * mg_per_g, liquid, celsius) for one in (rate.low, rate.likely, rate.high))
    return Rate(low, likely, high)


def shares(name: str, label: str, value: Rate, of: float | None) -> Got:
    """How much of a limit is used [%], or that it is unknown."""
    if of is None:
        return Got(name, label, UNKNOWN)
    return one_or_spread(
        name, label, Rate(100 * value.low / of, 100 * value.likely / of, 100 * value.high / of), "%", 2
    )


def fresh_air_got(
    name: str, label: str, rate: Rate, ppm: float | None, liquid: Liquid, celsius: float, mixing: float
) -> Got:
    """Fresh air [m³/h] that holds a steady rate at so many ppm, or unknown where the limit is."""
    if ppm is None:
        return Got(name, label, UNKNOWN)
    wanted = milligrams_per_m3(ppm, liquid.molar_mass, celsius)
    low, likely, high = (fresh_air_for(one, wanted, mixing) for one in (rate.low, rate.likely, rate.high))
    return one_or_spread(name, label, Rate(low, likely, high), "m³/h", 2)


def one_or_spread(name: str, label: str, value: Rate, unit: str, digits: int = 3) -> Got:
    """A result, with its ends where they differ."""
    if value.low == value.high:
        return Got(name, label, value.likely, unit, digits=digits)
    return spread(name, label, value, unit, digits)


def spread(name: str, label: str, value: Rate, unit: str, digits: int = 2) -> Got:
    """A result with both its ends."""
    return Got(name, label, value.likely, unit, value.low, value.high, digits)


def told(value: Rate, unit: str, digits: int = 2) -> str:
    """A spread in words: "2.3 g/h (1.8 to 5.3)"."""
    return f"{rounded(value.likely, digits)} {unit} ({rounded(value.low, digits)} to {rounded(value.high, digits)})"


def beyond(air: Rate, short: Limit | None, liquid: Liquid, celsius: float) -> str:
    """Sentences for what passes the limit for a short time, and for more than the air can hold; "" when neither does."""
    said = ""
    if short and air.high > short.ppm:
        may = "passes" if air.low > short.ppm else "may pass"
        said += f" It {may} the limit of {short.ppm:g} ppm for {short.kind} ({short.of})."
    if liquid.pressure and liquid.pressure.low <= celsius <= liquid.pressure.high:
        pressure = vapour_pressure(liquid.pressure, celsius)
        most = parts_per_million(min(pressure, ATMOSPHERE))
        if air.high > most:
            said += f" The air can hold no more than {rounded(most)} ppm: the liquid will leave more slowly than told."
    return said


def limit_words(limit: Limit | None, liquid: Liquid) -> str:
    """The limit in words, or that none is known and what that means."""
    if limit is None:
        return f"No limit for eight hours is known here for {liquid.name}: a reason for more fresh air, not for less."
    return f"Limit for {limit.kind}: {limit.ppm:g} ppm ({limit.of})."


def lower_words(liquid: Liquid) -> str:
    """The lower limit of burning in words, or that it is unknown."""
    if liquid.incombustible:
        return f"{liquid.name.capitalize()} does not burn."
    if liquid.lower is None:
        return f"From which share on the vapour of {liquid.name} burns is not known here; treat it as one that burns."
    return f"Lower limit of burning: {liquid.lower:g} % = {liquid.lower * 10_000:g} ppm."


def lower_ppm(liquid: Liquid, share: float = 1.0) -> float | None:
    """A share of the lower limit of burning [ppm]; None when that is not known."""
    return None if liquid.lower is None else liquid.lower * 10_000 * share


def against(average: Rate, limit: Limit | None) -> str:
    """The day's average beside the limit, in words."""
    if limit is None:
        return "Whether that is too much cannot be told: no limit in air is known here. Take it as a reason for more fresh air."
    likely, high = (f"{rounded(100 * one / limit.ppm, 2)} %" for one in (average.likely, average.high))
    whose = f"the limit of {limit.ppm:g} ppm ({limit.of})"
    if average.low > limit.ppm:
        return f"Over the day that is above {whose}: {likely} of it."
    high_words = "" if likely == high else f", {high} at the high end"
    if average.high > limit.ppm:
        return f"Over the day that may pass {whose}: {likely} of it{high_words}."
    return f"Over the day that is {likely} of {whose}{high_words}."


def limit_lines(limit: Limit | None, short: Limit | None, liquid: Liquid) -> tuple[str, ...]:
    """The limits in air and of burning as lines of a working."""
    brief = (f"Limit for {short.kind}: {short.ppm:g} ppm ({short.of}).",) if short else ()
    return (limit_words(limit, liquid), *brief, lower_words(liquid))


def cautions_of(rows: Iterable[Row]) -> tuple[str, ...]:
    """The cautions of the liquids; vapour always brings one."""
    keys = [str(key) for row in rows for key in row.get("cautions", ("solvent-vapour", "open-flame"))]
    return tuple(dict.fromkeys(keys)) or ("solvent-vapour",)


def sources_of(rows: Sequence[Row], *more: str) -> tuple[str, ...]:
    """The sources of the liquids' figures that a sum of vapours uses, and those of the sums."""
    names = ("pressure_source", "density_source", "lfl_source", "osha_source", "ontario_source", "epa_source")
    keys = [str(row[name]) for row in rows for name in names if row.get(name)]
    return tuple(dict.fromkeys((*keys, *more)))


def notes_on(liquid: Liquid, row: Row) -> tuple[str, ...]:
    """What the row itself warns of, and what was guessed in it."""
    notes = [str(row["note"])] if row.get("note") else []
    if liquid.guessed_diffusion:
        notes.append("Its diffusion volume is guessed from its molar mass: some 8 % in the rate.")
    if row.get("pressure_carried_from") is not None:
        notes.append(f"Its pressure is published from {row['pressure_carried_from']:g} °C and carried below that.")
    if row.get("hazard_words"):
        notes.append(f"{liquid.name.capitalize()}: {row['hazard_words']}.")
    return tuple(notes)
