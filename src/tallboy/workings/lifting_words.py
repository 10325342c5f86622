"""What the sums of lifting have in common: reading a blend, telling a judgement, and the words that go with both."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

from tallboy.errors import BadInput
from tallboy.sums import mixing
from tallboy.sums.lifting import LIFTS_TO, SPARES_FROM, Judged, Residue, judge
from tallboy.sums.solubility import Hansen, blend, distance
from tallboy.sums.vapour import vapour_pressure
from tallboy.tables.avoid import Dont, donts, how_mix
from tallboy.tables.liquids import pressure_law
from tallboy.tables.residues import hansen, residue
from tallboy.tables.rows import Row
from tallboy.workings.kinds import Curve, Given, Plot

EDGES = f"RED up to {LIFTS_TO} lifts, from {SPARES_FROM} it spares, test first; between the two it is uncertain"
BENCH_CELSIUS = 20.0

RED_WORDS = f"RED up to {LIFTS_TO} lifts, from {SPARES_FROM} on spares; test out of sight first."

LIMITS = (
    "Over 25 plastics the rule told 67 % of solvents and 76 % of non-solvents rightly: test a spot out of sight, and wait until it is dry.",
    "The figures are for fresh materials. Age, light and cure change a finish; pigments, stains and dyes in it may run by themselves.",
    "It knows nothing of time, nor of what works by reaction: caustic, ammonia, acids. For fittings left on, ask the sums of metals.",
)


@dataclass(frozen=True)
class Mixture:
    """One liquid or a blend that was asked for: its rows, the share of each, and what they come to."""

    rows: tuple[Row, ...]
    fractions: tuple[float, ...]
    hansen: Hansen

    @property
    def name(self) -> str:
        """In words, such as "ethanol" or "70 % ethanol, 30 % water"."""
        return blend_words(self.parts)

    @property
    def parts(self) -> list[tuple[str, float]]:
        """Each liquid by its name with its share."""
        return [(str(row["key"]), share) for row, share in zip(self.rows, self.fractions, strict=True)]


def blend_words(parts: Iterable[tuple[str, float]]) -> str:
    """A blend in words, by volume."""
    found = list(parts)
    if len(found) == 1:
        return found[0][0]
    return ", ".join(f"{100 * share:.3g} % {key}" for key, share in found)


def mixture(given: Given, most: int = 3) -> Mixture:
    """The liquids and shares that were typed; BadInput when they do not match or do not stay in one layer."""
    rows, shares = given.rows("liquids"), given.numbers("shares")
    if not 1 <= len(rows) <= most:
        raise BadInput(f"There are {len(rows)} liquids.", f"Name one to {most}.")
    parts = shares or [1.0] * len(rows)
    if len(parts) != len(rows) or not sum(parts) > 0:
        raise BadInput(
            f"There are {len(rows)} liquids and {len(parts)} shares.",
            "Give one share for each liquid, such as 3; 1, or none for equal parts.",
        )
    for one, other in combinations(rows, 2):
        if how_mix(one, other, given.lookup) == "parts":
            raise BadInput(
                f"{one['key']} and {other['key']} do not stay in one layer.", "Use them one after the other."
            )
    fractions = tuple(part / sum(parts) for part in parts)
    return Mixture(tuple(rows), fractions, blend([hansen(row) for row in rows], fractions))


def spared(given: Given, lifted: str = "") -> list[Row]:
    """What must stay; BadInput when it is also what must come off."""
    rows = given.rows("spare")
    if lifted and lifted in {row["key"] for row in rows}:
        raise BadInput(f"{lifted} cannot both come off and stay.", "Take it out of one of the two.")
    return rows


def against(given: Given, liquids: Iterable[Row], stays: Iterable[Row]) -> list[Dont]:
    """What the list of don'ts says of these liquids on what stays and on what lies close by."""
    materials = [str(row.get("group", "")) for row in stays] + [str(row["key"]) for row in given.rows("nearby")]
    return [dont for row in liquids for dont in donts(str(row["key"]), materials, lookup=given.lookup)]


def told(dont: Dont) -> str:
    """One entry of the list of don'ts, as a sentence."""
    return f"{'Keep' if dont.never else 'Take care with'} {dont.liquid} {'off' if dont.never else 'on'} {dont.material}: {dont.reason}"


def unsure_of_mixing(given: Given, rows: Sequence[Row]) -> list[str]:
    """Pairs that may part, or of which nothing is known."""
    words = {"may part": "may part", "not known": "are not known to mix"}
    return [
        f"{one['key']} and {other['key']} {words[how]}: shake a little in a closed jar first."
        for one, other in combinations(rows, 2)
        if (how := how_mix(one, other, given.lookup)) in words
    ]


def spoken(parts: Iterable[tuple[str, float]]) -> str:
    """A blend in a sentence: "70 % ethanol with 30 % water"."""
    return " with ".join(blend_words(parts).split(", "))


def lifted_words(one: Judged) -> str:
    """What becomes of what is to come off: "lifts shellac (RED 0.84)"."""
    words = {
        "lifts": "lifts {} ({})",
        "swells": "should swell {} ({}) so that it can be scraped, though an old film may hardly move,",
        "uncertain": "should lift {} ({}, from weak figures)" if one.red <= LIFTS_TO else "may or may not lift {} ({})",
        "spares, test first": "is not likely to lift {} ({})",
    }
    return words[one.word].format(one.key, f"RED {one.red:.2f}")


def spared_words(some: Sequence[Judged]) -> str:
    """What becomes of what must stay: "spares shellac (RED 1.67)", each verb once; "" where nothing must."""
    words = {"lifts": "lifts", "swells": "swells", "uncertain": "may or may not harm", "spares, test first": "spares"}
    by_verb: dict[str, list[str]] = {}
    for one in some:
        by_verb.setdefault(words[one.word], []).append(f"{one.key} (RED {one.red:.2f})")
    return " and ".join(f"{verb} {' and '.join(names)}" for verb, names in by_verb.items())


def judged_words(lifted: Judged, stays: Sequence[Judged]) -> str:
    """Both in one: "lifts grease (RED 0.81) and spares shellac (RED 1.86)"."""
    return " and ".join(part for part in (lifted_words(lifted), spared_words(stays)) if part).rstrip(",")


def judgement_lines(mixed: Hansen, of: Residue) -> list[str]:
    """How RED came about, with the numbers put in."""
    centre, found = of.hansen, judge(mixed, of)
    return [
        f"{of.key}: Ra = √(4 (δD1 - δD2)² + (δP1 - δP2)² + (δH1 - δH2)²) = √(4 ({mixed.d:.4g} - {centre.d:.4g})²"
        f" + ({mixed.p:.4g} - {centre.p:.4g})² + ({mixed.h:.4g} - {centre.h:.4g})²) = {distance(mixed, centre):.2f} MPa^0.5",
        f"{of.key}: RED = Ra / R0 = {distance(mixed, centre):.2f} / {of.radius:.4g} = {found.red:.2f} ± {found.high - found.red:.2f}",
    ]


def blend_lines(mix: Mixture) -> list[str]:
    """How the three parameters of a blend came about."""
    lines = []
    for name, column, value in (
        ("δD", "hansen_d", mix.hansen.d),
        ("δP", "hansen_p", mix.hansen.p),
        ("δH", "hansen_h", mix.hansen.h),
    ):
        terms = " + ".join(
            f"{share:.3g} × {float(row[column]):.4g}" for row, share in zip(mix.rows, mix.fractions, strict=True)
        )
        lines.append(f"{name} = Σ φ {name} = {terms} = {value:.2f} MPa^0.5")
    return lines


def notes_on(rows: Iterable[Row]) -> list[str]:
    """What must be known of residues whose numbers are weak, or stand in for another material."""
    return [
        f"{row['key']}: {row['note']}"
        for row in rows
        if row.get("note") and (row.get("proxy") or row.get("reliability") == "weak")
    ]


def twin_red(given: Given, mixed: Hansen, row: Row) -> str:
    """RED by the other published entry for the same material, "" where there is none."""
    other = next((one for one in given.table("residues") if one["key"] == row.get("twin")), None)
    return f"{judge(mixed, residue(other)).red:.2f}" if other else ""


def sources_of(rows: Iterable[Row], reasons: Iterable[Dont] = (), about_lifting: bool = True) -> tuple[str, ...]:
    """Keys of the sources that an answer rests on; without those of the rule itself where nothing is lifted."""
    named = [str(row.get("hansen_source") or row.get("source") or "") for row in rows]
    rule = ["venkatram-2019"] if about_lifting else []
    found = ["hansen-2007-ch1", *named, *(dont.source for dont in reasons), *rule]
    return tuple(key for key in dict.fromkeys(found) if key)


def cautions_of(rows: Iterable[Row]) -> tuple[str, ...]:
    """Cautions of these liquids; those of any solvent where a row of the shop's own names none."""
    found = [key for row in rows for key in row.get("cautions", ("solvent-vapour", "open-flame"))]
    return tuple(dict.fromkeys(found))


def pressures(rows: Sequence[Row]) -> list[float] | None:
    """Vapour pressures [Pa] at 20 °C; None when one is not known."""
    laws = [law for row in rows if (law := pressure_law(row)) and law.low <= BENCH_CELSIUS <= law.high]
    return [vapour_pressure(law, BENCH_CELSIUS) for law in laws] if len(laws) == len(rows) else None


def left_when(mix: Mixture, remaining: float) -> tuple[tuple[float, ...], Hansen] | None:
    """Fractions and parameters of what is left of a blend; None where a vapour pressure is not known or nothing changes."""
    known = pressures(mix.rows)
    if known is None or len(mix.rows) == 1:
        return None
    fractions = mixing.left_over(mix.fractions, known, remaining)
    return fractions, blend([hansen(row) for row in mix.rows], fractions)


def evaporation_words(mix: Mixture, lift: Residue, stays: Sequence[Residue]) -> list[str]:
    """What becomes of a blend when half of it has evaporated; nothing for a single liquid."""
    left = left_when(mix, 0.5)
    if left is None:
        return []
    fractions, mixed = left
    shares = blend_words((str(row["key"]), share) for row, share in zip(mix.rows, fractions, strict=True))
    after = "; ".join(f"{one.key} {judge(mixed, one).red:.2f}" for one in (lift, *stays))
    return [f"Half evaporated, about this is left: {shares}. RED then: {after}. Wipe up before it turns."]


def over_shares(mix: Mixture, lift: Residue, stays: Sequence[Residue]) -> Plot:
    """RED over the share of the first of two liquids."""
    steps = [index / 40 for index in range(41)]
    liquids = [hansen(row) for row in mix.rows]
    mixed = [blend(liquids, (share, 1 - share)) for share in steps]
    first, second = (str(row["key"]) for row in mix.rows)
    x = tuple(100 * share for share in steps)
    return Plot(
        f"RED of {first} with {second}",
        f"Share of {first}",
        "%",
        "RED",
        "",
        red_curves(x, mixed, lift, stays),
        says=f"RED against the share of {first} in {second}. Under {LIFTS_TO} it lifts; above {SPARES_FROM} it spares, test first.",
    )


def over_evaporation(mix: Mixture, lift: Residue, stays: Sequence[Residue]) -> Plot | None:
    """RED as a blend evaporates; None where it cannot be told."""
    gone = [index * 2.5 for index in range(39)]
    left = [left_when(mix, 1 - share / 100) for share in gone]
    mixed = [one[1] for one in left if one is not None]
    if len(mixed) < len(gone):
        return None
    return Plot(
        "RED as the blend evaporates",
        "Evaporated",
        "%",
        "RED",
        "",
        red_curves(tuple(gone), mixed, lift, stays),
        says="RED against the share of the volume that has evaporated: the quick part leaves first, and the rest behaves like the slow one.",
    )


def red_curves(
    x: tuple[float, ...], mixed: Sequence[Hansen], lift: Residue, stays: Sequence[Residue]
) -> tuple[Curve, ...]:
    """What is lifted with its band, what stands nearest of what stays, and the two edges."""
    found = [judge(one, lift) for one in mixed]
    curves = [
        Curve(
            lift.key,
            x,
            tuple(one.red for one in found),
            low=tuple(one.low for one in found),
            high=tuple(one.high for one in found),
        )
    ]
    if stays:
        nearest = tuple(min(judge(one, other).red for other in stays) for one in mixed)
        curves.append(Curve(stays[0].key if len(stays) == 1 else "nearest that stays", x, nearest))
    ends = (x[0], x[-1])
    edges = (
        Curve("lifts below", ends, (LIFTS_TO,) * 2, dashed=True),
        Curve("spares above", ends, (SPARES_FROM,) * 2, dashed=True),
    )
    return (*curves, *edges)
