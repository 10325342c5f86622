"""Which of the liquids that would do is offered first: the plainest and least harmful; a blend only where it is needed.

What lifts the one and spares the others comes before what is in doubt. Among those that do, one liquid comes before a blend, and the
mildest before the stronger: whoever begins mild can still go on. Where nothing does, the nearest to it comes first.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tallboy.sums.blends import Choice
from tallboy.sums.exposure import vapour_hazard_ratio
from tallboy.sums.lifting import LIFTS_TO, ROUNDING
from tallboy.sums.vapour import Limit, vapour_pressure
from tallboy.tables.liquids import from_row, lowest_limit
from tallboy.tables.rows import Row
from tallboy.workings.lifting_words import BENCH_CELSIUS
from tallboy.workings.telling import rounded

EASILY = 23.0
"""Flash point [°C] below which a liquid catches fire at any temperature of a shop: category 1 or 2 of 29 CFR 1910.106."""

NEAR = 0.1
"""Margins that differ by less are taken as equal where nothing does the job surely; their spread is larger than that."""

CLEARLY = 0.2
"""A stronger one is named beside the first only when its margin is larger by at least this much; a spread of RED is about 0.15."""


@dataclass(frozen=True)
class Harm:
    """What a liquid, or the worst liquid of a blend, does to who works with it. None: not known, which never counts as harmless."""

    catches_fire: bool
    ratio: float
    limit: Limit | None
    flash: float | None

    @property
    def rank(self) -> tuple[bool, float]:
        """Least harm first: hard to set alight before easy, then little vapour over the limit before much."""
        return self.catches_fire, self.ratio


@dataclass(frozen=True)
class Offer:
    """What is offered, first to last; and, where a stronger one does as well, that."""

    order: tuple[Choice, ...]
    better: Choice | None = None

    @property
    def first(self) -> Choice:
        return self.order[0]


def lifts(choice: Choice) -> bool:
    """Whether it lifts, or swells, by the words' own edge."""
    return choice.lifted.red <= LIFTS_TO + ROUNDING


def does_it(choice: Choice) -> bool:
    """Whether it lifts the one and spares all others."""
    return lifts(choice) and all(one.word == "spares, test first" for one in choice.spared)


def harms(choice: Choice) -> bool:
    """Whether it lifts or swells something that must stay."""
    return any(one.word in ("lifts", "swells") for one in choice.spared)


def offer(choices: Sequence[Choice], liquids: Mapping[str, Row]) -> Offer:
    """All of them in the order in which they are offered."""
    known = {key: harm_of(row) for key, row in liquids.items()}
    sure = [one for one in choices if does_it(one)]
    order = sorted(sure, key=lambda one: _plainest(one, known))
    rest = [one for one in choices if not does_it(one)]
    for doubtful in (
        [one for one in rest if lifts(one) and not harms(one)],
        [one for one in rest if lifts(one) and harms(one)],
        [one for one in rest if not lifts(one)],
    ):
        order += _nearest_first(doubtful, known)
    return Offer(tuple(order), _better(sure, order[0], known))


def _better(sure: Sequence[Choice], first: Choice, known: Mapping[str, Harm]) -> Choice | None:
    """The plainest and least harmful of those that do it clearly better than the first, as well as any; None where none does."""
    most = max((one.margin for one in sure), default=first.margin)
    clearly = [one for one in sure if one.margin >= max(first.margin + CLEARLY, most - NEAR)]
    return min(clearly, key=lambda one: _plainest(one, known), default=None)


def _plainest(choice: Choice, known: Mapping[str, Harm]) -> tuple[int, tuple[bool, float], float]:
    """What is compared: how many liquids, their harm, and last the margin."""
    return len(choice.parts), harm(choice, known).rank, -choice.margin


def _nearest_first(choices: Sequence[Choice], known: Mapping[str, Harm]) -> list[Choice]:
    """By margin; among those as good as equal the plainest and least harmful."""
    left, order = list(choices), []
    while left:
        best = max(one.margin for one in left)
        near = [one for one in left if one.margin > best - NEAR]
        chosen = min(near, key=lambda one: _plainest(one, known))
        left.remove(chosen)
        order.append(chosen)
    return order


def harm(choice: Choice, known: Mapping[str, Harm]) -> Harm:
    """Of a liquid; of a blend each part at its worst."""
    found = [known[key] for key, _ in choice.parts]
    limits = [one.limit for one in found]
    flashes = [one.flash for one in found if one.flash is not None]
    return Harm(
        any(one.catches_fire for one in found),
        max(one.ratio for one in found),
        min((limit for limit in limits if limit), key=lambda limit: limit.ppm) if all(limits) else None,
        min(flashes) if len(flashes) == len(found) else None,
    )


def harm_of_choice(choice: Choice, liquids: Mapping[str, Row]) -> Harm:
    """The same from the rows of its liquids."""
    return harm(choice, {key: harm_of(liquids[key]) for key, _ in choice.parts})


def harm_of(row: Row) -> Harm:
    """Of one liquid: its flash point, its lowest limit in air over 8 hours, and how many times that its vapour can be."""
    liquid, limit = from_row(row), lowest_limit(from_row(row))
    burns = not liquid.incombustible and (liquid.flash is None or liquid.flash < EASILY)
    law = liquid.pressure
    known = law is not None and law.low <= BENCH_CELSIUS <= law.high
    if law is None or limit is None or not known:
        return Harm(burns, 0.0 if row["key"] == "water" else math.inf, limit, liquid.flash)
    return Harm(burns, vapour_hazard_ratio(vapour_pressure(law, BENCH_CELSIUS), limit.ppm), limit, liquid.flash)


def harm_line(found: Harm) -> str:
    """How harmful it is, with its numbers put in."""
    flash = "flash point not known" if found.flash is None else f"flash point {found.flash:.3g} °C"
    if found.limit is None or not math.isfinite(found.ratio):
        return f"Harm: {flash}; limit in air not known."
    return (
        f"Harm: {flash}; vapour right above it = vapour pressure at 20 °C / pressure of the air = {rounded(found.ratio, 2)} "
        f"times the limit of {found.limit.ppm:.4g} ppm ({found.limit.of}), of the worst liquid in it."
    )
