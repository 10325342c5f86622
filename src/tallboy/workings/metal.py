"""Which metal a fitting is, as it is asked at the bench: by weighing, and by several signs together."""

from __future__ import annotations

import math

from tallboy.errors import BadInput
from tallboy.sums import identify as ident
from tallboy.sums import metal
from tallboy.tables.metals import SIGNS, candidates, outcomes, spans
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Grid, Mark, Plot, Working
from tallboy.workings.metal_words import identity_words

SIGN_WORDS = {
    "magnet": "A magnet on it",
    "rub": "Colour after a rub where it does not show",
    "tarnish": "Tarnish",
    "edges": "At worn edges",
    "mark": "Softness, tried where it does not show",
    "ring": "Tapped with a pencil",
}
MOST_STEPS = 4

_WEIGHTS = (
    Asked("air_g", "Weight in air", "g", 0.001, 100_000),
    Asked("water_g", "Weight hanging in water", "g", 0, 100_000),
    Asked("reading_g", "Most that the scale may be off", "g", 0, 1000, default=0.1),
)
_TRAPPED = Asked(
    "trapped_ml",
    "Most air that may be trapped under water",
    "ml",
    0,
    1000,
    default=0.0,
    help="In screw holes, under leaves.",
)
_PLATED_LIMIT = (
    "A hollow casting, an iron core, solder or a filling moves the density, and plating hides what lies beneath."
)


def _weigh(given: Given) -> Answer:
    celsius, magnet = given.number("water_celsius"), given.text("magnet")
    air, water, off = given.number("air_g"), given.number("water_g"), given.number("reading_g")
    found = metal.weighed(
        air, water, off, celsius, given.number("celsius_error"), given.number("trapped_ml"), metal.AIR
    )
    if found.density > 25 or found.density < 0.1:
        raise BadInput(f"That would be {found.density:.3g} g/cm³: no metal.", "Look at both weights again.")
    fitting = metal.fits(found.density, found.uncertainty, spans(given.table("metals")), magnet)
    return Answer(
        results=(
            Got("density", "Density", found.density, "g/cm³", found.low, found.high),
            Got("fits", "Metals that fit", ", ".join(fitting.keys) or "none"),
            Got("verdict", "Verdict", fitting.kin or fitting.verdict),
        ),
        working=_weighing_lines(given, found),
        sources=("tanaka-2001", "balance-handbook", "gum-2008", "metal-densities-si", "metal-densities-long"),
        cautions=("lead-metal",) if "lead" in fitting.keys else (),
        says=_weighing_verdict(found, fitting),
        limits=(
            _PLATED_LIMIT,
            "Hang the piece from a thread, wet it with a drop of detergent, brush the bubbles off, and keep it off the glass.",
            "Pewter with much lead weighs between the two: a density does not prove a piece free of lead.",
        ),
        plots=(_weighing_plot(found, fitting, given),) if found.uncertainty > 0 else (),
    )


def _weighing_lines(given: Given, found: metal.Weighing) -> tuple[str, ...]:
    air, water, celsius = given.number("air_g"), given.number("water_g"), given.number("water_celsius")
    rho, trapped = metal.water_density(celsius), given.number("trapped_ml")
    half = f" - {rho - metal.AIR:.4f} × {trapped:g} / 2" if trapped else ""
    loss = air - water - (rho - metal.AIR) * trapped / 2
    parts = "; ".join(f"{cause} {share:.3g}" for cause, share in found.parts)
    return (
        f"density of water at {celsius:g} °C = {rho:.5f} g/cm³",
        f"loss = weight in air - weight in water{' - half of the trapped air' if trapped else ''}"
        f" = {air:g} - {water:g}{half} = {loss:.4g} g",
        f"density = air / loss × (water - air) + air = {air:g} / {loss:.4g} × ({rho:.5f} - {metal.AIR:g}) + {metal.AIR:g}"
        f" = {found.density:.3f} g/cm³",
        f"standard uncertainty = √(sum of squares) of: {parts} = {found.uncertainty:.3g} g/cm³",
        f"limits = density ± 2 × {found.uncertainty:.3g} = {found.low:.2f} to {found.high:.2f} g/cm³",
    )


def _weighing_verdict(found: metal.Weighing, fitting: metal.Fits) -> str:
    said = f"It has {found.density:.2f} g/cm³, give or take {2 * found.uncertainty:.2f}"
    if fitting.verdict == "nothing fits":
        return f"{said}: no solid metal of the table. Think of trapped air, a hollow, a core or a filling."
    if fitting.verdict == "one kin":
        return f"{said}: that is {fitting.kin}, nearest {fitting.keys[0]}."
    return f"{said}: that does not tell. {_listed(fitting.keys)} fit; try a magnet, a larger piece or a finer scale."


def _listed(keys: tuple[str, ...]) -> str:
    shown = list(keys[:MOST_STEPS])
    more = f" and {len(keys) - len(shown)} more" if len(keys) > len(shown) else ""
    return f"{', '.join(shown)}{more}".capitalize()


def _weighing_plot(found: metal.Weighing, fitting: metal.Fits, given: Given) -> Plot:
    x = tuple(found.density + found.uncertainty * step / 10 for step in range(-40, 41))
    y = tuple(math.exp(-(((value - found.density) / found.uncertainty) ** 2) / 2) for value in x)
    known = {span.key: span.usual for span in spans(given.table("metals"))}
    marks = tuple(
        Mark(known[key], math.exp(-(((known[key] - found.density) / found.uncertainty) ** 2) / 2), key)
        for key in fitting.keys[:MOST_STEPS]
        if x[0] <= known[key] <= x[-1]
    )
    return Plot(
        "What the weighing allows", "Density", "g/cm³", "How well it agrees", "", (Curve("weighing", x, y),), marks,
        says=f"A bell about {found.density:.2f} g/cm³ with the usual densities of the metals that fit.",
    )  # fmt: skip


def _which(given: Given) -> Answer:
    seen = {sign: given.text(sign) for sign in SIGNS if given.has(sign)}
    density, spread = given.maybe("density"), given.maybe("density_spread")
    if not seen and density is None:
        raise BadInput("Nothing was tried yet.", "Try a magnet first.")
    uncertainty = None if density is None else max((spread if spread is not None else 0.2) / 2, 0.0001)
    of = candidates(given.table("metal_signs"))
    found = ident.identify(of, seen, density, uncertainty)
    best, share = found.ranked[0]
    sure = found.verdict == "sure"
    following = "" if sure else ident.next_sign(of, dict(found.ranked), tuple(seen))
    return Answer(
        results=(
            Got("best", "Most likely", best),
            Got("share", "Its share", 100 * share, "%"),
            Got("plated", "Share of plated ones", 100 * found.plated, "%"),
            Got("verdict", "Verdict", found.verdict),
            Got("next", "What to try next", "nothing needed" if sure else SIGN_WORDS.get(following, "weigh it")),
        ),
        working=tuple(_step_line(step) for step in found.steps),
        sources=("bayes", "metal-finding-pages", "common-practice"),
        cautions=_identity_cautions(found),
        says=identity_words(best, share, found.plated, following, sure),
        limits=(
            "How often a sign holds is common practice, not measured: the shares rank, they do not prove.",
            "The signs are taken as independent, and only what stands in the table can be found.",
            "Rub, scratch and tap only where it does not show, and never on lacquer, gilding or what may be cadmium.",
            "No sparks at the wheel: they spoil the piece and light dust and vapour.",
        ),
        table=Grid(
            ("Metal", "Share"),
            tuple((key, f"{100 * part:.0f} %") for key, part in found.ranked[:8]),
            "The likeliest eight",
        ),
    )


def _step_line(step: ident.Step) -> str:
    top = sorted(step.shares.items(), key=lambda item: (-item[1], item[0]))[:MOST_STEPS]
    return f"{step.sign}: {step.outcome} → " + ", ".join(f"{key} {100 * share:.0f} %" for key, share in top)


def _identity_cautions(found: ident.Identified) -> tuple[str, ...]:
    shares = dict(found.ranked)
    poison = shares.get("lead", 0.0) + shares.get("pewter", 0.0) > 0.05
    cadmium = shares.get("cadmium on steel", 0.0) > 0.05
    return (*(("lead-metal",) if poison else ()), *(("cadmium",) if cadmium else ()))


SUMS = (
    Working(
        "density-by-weighing",
        "metal",
        "Density by weighing",
        "Which solid metals does its weight in air and in water allow?",
        (
            *_WEIGHTS,
            Asked("water_celsius", "Temperature of the water", "°C", 0, 40, default=20.0),
            Asked("celsius_error", "Most that this temperature is off", "K", 0, 20, default=2.0),
            _TRAPPED,
            Asked("magnet", "A magnet on it", kind="choice", choices=outcomes("magnet"), needed=False),
        ),
        _weigh,
        {"air_g": "100.0 g", "water_g": "88.2 g", "reading_g": "0.1 g", "magnet": "none"},
    ),
    Working(
        "which-metal",
        "metal",
        "Which metal",
        "What is this fitting made of, and is it plated?",
        (
            *(
                Asked(
                    sign, SIGN_WORDS[sign], kind="choice", choices=outcomes(sign), needed=False
                )
                for sign in SIGNS
            ),
            Asked("density", "Density, when it was weighed", "g/cm³", 0.1, 25, needed=False),
            Asked("density_spread", "Give or take", "g/cm³", 0.0002, 25, needed=False, help="Two standard uncertainties; 0.2 when left empty."),
        ),
        _which,
        {"magnet": "none", "rub": "yellow", "edges": "grey"},
    ),
)  # fmt: skip
