"""Several vapours together, a day with several tasks, and one unit for another, as it is asked at the bench."""

from __future__ import annotations

from collections.abc import Sequence

from tallboy.errors import BadInput
from tallboy.sums.exposure import MixtureShare, daily_exposure, mixture_share
from tallboy.sums.flammable import mixture_lower_limit
from tallboy.sums.vapour import Limit, Liquid, milligrams_per_m3, ppm_from_milligrams
from tallboy.tables.liquids import from_row
from tallboy.workings import vapour_words as words
from tallboy.workings.kinds import Answer, Asked, Given, Got, Grid, Working
from tallboy.workings.telling import rounded


def _mixture(given: Given) -> Answer:
    rows, ppm = given.rows("liquids"), given.numbers("ppm")
    if len(rows) != len(ppm) or not rows:
        raise BadInput(
            f"{len(rows)} liquids and {len(ppm)} amounts do not fit.",
            "Give as many amounts in ppm as liquids, in the same order.",
        )
    liquids = [from_row(row) for row in rows]
    limits = [words.limit_of(given, liquid) for liquid in liquids]
    found = mixture_share(ppm, [limit.ppm if limit else None for limit in limits])
    burning = _burning(liquids, ppm)
    return Answer(
        results=(
            Got("share", "Share of the limit, all together", 100 * found.share, "%"),
            Got("within", "Within the limit", words.UNKNOWN if found.within_limit is None else found.within_limit),
            Got("burning", "Share of the lower limit of burning, all together", words.UNKNOWN) if burning is None else Got("burning", "Share of the lower limit of burning, all together", 100 * burning, "%"),
        ),
        working=(_sum_line(ppm, limits, found), _burning_line(liquids, ppm, burning)),
        sources=words.sources_of(rows, "osha-1910-1000", "le-chatelier"),
        cautions=words.cautions_of(rows),
        says=_mixture_says(found, liquids),
        limits=(words.FIRST, "Taken as if all harmed alike; some harm each other's way, and a peak harms more than an average.", *words.ROOM_LIMITS[1:]),
        table=_parts(liquids, ppm, limits),
    )  # fmt: skip


def _burning(liquids: Sequence[Liquid], ppm: Sequence[float]) -> float | None:
    """Share of the lower limit of the mixture; None where one that is there has no known limit."""
    there = [(one, part) for one, part in zip(liquids, ppm, strict=True) if part > 0 and not one.incombustible]
    if not there:
        return 0.0
    lower = [one.lower for one, _part in there if one.lower is not None]
    if len(lower) < len(there):
        return None
    amounts = [part for _one, part in there]
    return sum(amounts) / 1e4 / mixture_lower_limit(amounts, lower)


def _sum_line(ppm: Sequence[float], limits: Sequence[Limit | None], found: MixtureShare) -> str:
    terms = " + ".join(
        f"{part:g}/{limit.ppm:g}" if limit else f"{part:g}/unknown" for part, limit in zip(ppm, limits, strict=True)
    )
    return f"Em = C1/L1 + C2/L2 + ... = {terms} = {rounded(found.share)}" + (
        " and what is unknown" if found.unknown else ""
    )


def _burning_line(liquids: Sequence[Liquid], ppm: Sequence[float], burning: float | None) -> str:
    if burning is None:
        return "Lower limit of burning of the mixture: unknown, as one of the parts has none in the table."
    terms = " + ".join(
        f"{part:g}/{one.lower * 1e4:g}"
        for one, part in zip(liquids, ppm, strict=True)
        if part > 0 and one.lower is not None
    )
    return f"Of the lower limit of burning (Le Chatelier) = {terms or '0'} = {rounded(burning)}"


def _mixture_says(found: MixtureShare, liquids: Sequence[Liquid]) -> str:
    share = f"{rounded(100 * found.share, 3)} %"
    if found.within_limit is False:
        return f"Together they come to {share} of what air may hold: too much."
    if found.unknown:
        names = " and ".join(liquids[place].name for place in found.unknown)
        return f"Without {names}, whose limit is not known, they come to {share}; with it that cannot be told, so take more fresh air."
    return f"Together they come to {share} of what air may hold: within the limit."


def _parts(liquids: Sequence[Liquid], ppm: Sequence[float], limits: Sequence[Limit | None]) -> Grid:
    rows = tuple(
        (
            one.name,
            f"{part:g}",
            f"{limit.ppm:g} ({limit.of})" if limit else words.UNKNOWN,
            f"{rounded(100 * part / limit.ppm)} %" if limit else words.UNKNOWN,
        )
        for one, part, limit in zip(liquids, ppm, limits, strict=True)
    )
    return Grid(("Vapour", "ppm", "Limit", "Share"), rows, "Each against its limit")


def _day(given: Given) -> Answer:
    tasks = given.pairs("tasks")
    liquid = words.liquid_of(given)
    limit = words.limit_of(given, liquid)
    ppm, hours = [task[0] for task in tasks], [task[1] for task in tasks]
    if not tasks:
        raise BadInput("No task was given.", "Such as 150 = 2 h; 75 = 2 h; 50 = 4 h.")
    mean = daily_exposure(ppm, [60 * time for time in hours])
    terms = " + ".join(f"{c:g} * {time:g}" for c, time in zip(ppm, hours, strict=True))
    return Answer(
        results=(
            Got("average", "Average over 8 hours", mean, "ppm", digits=4),
            Got("highest", "Highest of the tasks", max(ppm), "ppm"),
            Got("share", "Share of the limit for 8 hours", words.UNKNOWN) if limit is None else Got("share", "Share of the limit for 8 hours", 100 * mean / limit.ppm, "%"),
        ),
        working=(f"E = Σ C t / 8 h = ({terms}) / 8 = {rounded(mean, 4)} ppm", words.limit_words(limit, liquid)),
        sources=words.sources_of([given.row("liquid")], "osha-1910-1000"),
        cautions=words.cautions_of([given.row("liquid")]),
        says=_day_says(mean, limit),
        limits=(words.FIRST, "Time that is not named counts as clean air.", *words.ROOM_LIMITS[1:]),
    )  # fmt: skip


def _day_says(mean: float, limit: Limit | None) -> str:
    first = f"The day comes to {rounded(mean, 3)} ppm as an average of 8 hours"
    if limit is None:
        return f"{first}; no limit is known here to hold it against."
    word = "above" if mean > limit.ppm else "within"
    return f"{first}, {word} the limit of {limit.ppm:g} ppm ({limit.of})."


def _convert(given: Given) -> Answer:
    liquid, celsius = words.liquid_of(given), given.number("celsius")
    ppm, mg = given.maybe("ppm"), given.maybe("mg")
    if (ppm is None) == (mg is None):
        raise BadInput("Give either ppm or mg/m³.", "Leave the other empty.")
    parts = ppm if ppm is not None else ppm_from_milligrams(mg or 0.0, liquid.molar_mass, celsius)
    mass = milligrams_per_m3(parts, liquid.molar_mass, celsius)
    return Answer(
        results=(
            Got("ppm", "Parts in a million", parts, "ppm", digits=4),
            Got("mg", "Mass in a cubic metre", mass, "mg/m³", digits=4),
            Got("percent", "Percent of the air", parts / 1e4, "%"),
        ),
        working=(
            f"mg/m³ = ppm M P / (1000 R T) = {rounded(parts, 4)} * {liquid.molar_mass:g} * 101325 / (1000 * 8.314463 * {celsius + 273.15:.2f}) = {rounded(mass, 4)}",
        ),
        sources=("ideal-gas", "chemicals-1.5.2"),
        cautions=words.cautions_of([given.row("liquid")]),
        says=f"{rounded(parts, 4)} ppm of {liquid.name} are {rounded(mass, 4)} mg in a cubic metre at {celsius:g} °C.",
        limits=("At sea level. Limits in air are told at 25 °C; lists print the mg/m³ rounded.",),
    )


SUMS = (
    Working(
        name="mixture-limit",
        family="vapour",
        title="Several vapours together",
        asks="Are these vapours together more than air may hold?",
        inputs=(
            Asked("liquids", "Liquids", kind="row list", table="liquids"),
            Asked("ppm", "How much of each", "ppm", 0, 1_000_000, kind="numbers", help="In ppm, in the same order."),
            words.LIST,
        ),
        work=_mixture,
        example={"liquids": "acetone; toluene; xylene", "ppm": "200; 10; 30", "list": "OSHA"},
    ),
    Working(
        name="day-exposure",
        family="vapour",
        title="What a day comes to",
        asks="What does a day with several tasks come to as an average?",
        inputs=(
            words.LIQUID,
            Asked("tasks", "Vapour and time of each task", kind="pairs", units=("ppm", "h"), help="Such as 150 = 2 h; 75 = 2 h; 50 = 4 h."),
            words.LIST,
        ),
        work=_day,
        example={"liquid": "toluene", "tasks": "150 = 2 h; 75 = 2 h; 50 = 4 h", "list": "OSHA"},
    ),
    Working(
        name="vapour-units",
        family="vapour",
        title="ppm and mg/m³",
        asks="How many mg/m³ are so many ppm?",
        inputs=(
            words.LIQUID,
            Asked("ppm", "Parts in a million", "ppm", 0, 1_000_000, needed=False),
            Asked("mg", "Mass in a cubic metre", "mg/m³", 0, 1_000_000, needed=False),
            Asked("celsius", "Temperature", "°C", 0, 40, 25.0),
        ),
        work=_convert,
        example={"liquid": "acetone", "ppm": "500"},
    ),
)  # fmt: skip
