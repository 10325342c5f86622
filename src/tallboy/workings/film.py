"""How far a litre goes and how thick a coat is, wet and dry, as it is asked at the bench."""

from __future__ import annotations

import numpy as np

from tallboy.errors import BadInput
from tallboy.sums.film import dry_film, practical_rate, spreading_rate, thinner_per_paint, wet_film, wet_film_at_rate
from tallboy.sums.units import IMPERIAL
from tallboy.tables.losses import loss
from tallboy.workings.film_words import METHOD, ROW_LIMITS, SOLIDS, coat_cautions, row_sources
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Lead, Mark, Plot, Working
from tallboy.workings.telling import about, rounded, said

THINNEST, THICKEST = 0.1, 100.0
"""Spreading rates [m²/l] that a coat can have at all."""
CURVE_POINTS = 41


def _spreading(given: Given) -> Answer:
    solids, dry = given.number("volume_solids"), given.number("dry_film")
    lost, rate = loss(given.row("method")), spreading_rate(solids, dry)
    if not THINNEST <= rate <= THICKEST:
        raise BadInput(f"A litre would cover {rounded(rate)} m².", "Look at the film and the volume solids again.")
    low, middle, high = (practical_rate(rate, share) for share in (lost.high, lost.middle, lost.low))
    wet = wet_film(dry, solids)
    return Answer(
        results=(
            Got("practical", "A litre covers, laid this way", middle, "m²/l", low, high),
            Got("rate", "A litre covers when nothing is lost", rate, "m²/l"),
            Got("wet", "Wet film to lay", wet, "µm"),
        ),
        working=(
            f"rate = 10 × volume solids / dry film = 10 × {solids:g} / {dry:g} = {rounded(rate)} m²/l",
            f"laid by {given.row('method')['key']}: lost {100 * lost.middle:.0f} % ({100 * lost.low:.0f} to {100 * lost.high:.0f})",
            f"practical rate = rate × (1 - loss) = {rounded(rate)} × {1 - lost.middle:.2f} = {rounded(middle)} m²/l",
            f"wet film = dry film / (volume solids / 100) = {dry:g} / {solids / 100:g} = {rounded(wet)} µm",
        ),
        sources=row_sources(given, ("method",), "coating-worked-examples", "mil-hdbk-1110"),
        cautions=coat_cautions(given.row("method")),
        says=f"{_covers(given, middle)} once; lay it {about(given, wet, 'µm')} thick wet to have {said(given, dry, 'µm', None)} dry.",
        limits=("Bare and open wood drinks more in the first coat.", *ROW_LIMITS),
        leads=(Lead("litres", {"rate": f"{rate:.3g} m²/l", "method": str(given.row("method")["key"])}),),
        plots=(_rate_plot(given, solids, dry, rate, lost.low, lost.middle, lost.high),),
    )  # fmt: skip


def _covers(given: Given, rate: float, what: str = "") -> str:
    """How far it goes: a litre over square metres, or a US gallon over square feet."""
    far = about(given, rate, "m²/l")
    if given.system == IMPERIAL:
        return f"A US gallon{what} covers about {far.removesuffix('/gal')}"
    return f"A litre{what} covers about {far.removesuffix('/l')}"


def _rate_plot(given: Given, solids: float, dry: float, rate: float, low: float, middle: float, high: float) -> Plot:
    films = np.linspace(max(1.0, dry / 3), min(5000.0, 3 * dry), CURVE_POINTS)
    rates = [spreading_rate(solids, float(film)) for film in films]
    x = tuple(float(film) for film in films)
    band = [tuple(one * (1 - share) for one in rates) for share in (middle, high, low)]
    return Plot(
        "How far a litre goes", "Dry film", "µm", "It covers", "m²/l",
        (Curve("nothing lost", x, tuple(rates), dashed=True), Curve("laid this way", x, band[0], low=band[1], high=band[2])),
        (Mark(dry, rate, "yours"),),
        says=f"Twice the film, half the area: {about(given, rate, 'm²/l', 3)} at {said(given, dry, 'µm', None)} when nothing is lost.",
    )  # fmt: skip


def _thickness(given: Given) -> Answer:
    solids, thinned = given.number("volume_solids"), _thinned(given)
    known = [name for name in ("wet", "dry", "rate") if given.has(name)]
    if len(known) != 1:
        raise BadInput(
            "Give one of wet film, dry film and spreading rate.", f"{len(known)} of them are given; the others follow from it."
        )  # fmt: skip
    wet = _wet(given, known[0], solids, thinned)
    dry = dry_film(wet, solids, thinned)
    rate = 1000 / wet
    return Answer(
        results=(
            Got("wet", "Wet film", wet, "µm"),
            Got("dry", "Dry film", dry, "µm"),
            Got("rate", "A litre of the mix covers", rate, "m²/l"),
            Got("thinned", "Thinner to a volume of paint", thinned, ""),
        ),
        working=(*_thinning_lines(given, thinned), *_thickness_lines(known[0], solids, thinned, wet, dry)),
        sources=("mil-hdbk-1110", "coating-worked-examples", "definition"),
        cautions=("wet-coat", "solvent-vapour", "open-flame") if thinned else ("wet-coat",),
        says=f"A wet film of {about(given, wet, 'µm')} dries to {about(given, dry, 'µm')}. {_covers(given, rate, ' of the mix')}.",
        limits=(
            "A wet film comb reads a few micrometres off on wood, where the film sinks in while it is read.",
            "Thinning beyond what the label allows spoils flow and gloss, and may break the law on solvents.",
        ),
        plots=(_thinning_plot(given, solids, wet, thinned, dry),),
    )


def _thinned(given: Given) -> float:
    share = given.number("thinned")
    return thinner_per_paint(share) if given.choice("thinned_as") == "mix" else share / 100


def _wet(given: Given, known: str, solids: float, thinned: float) -> float:
    value = given.number(known)
    if known == "wet":
        return value
    return wet_film_at_rate(value) if known == "rate" else wet_film(value, solids, thinned)


def _thinning_lines(given: Given, thinned: float) -> tuple[str, ...]:
    share = given.number("thinned")
    if not share:
        return ()
    if given.choice("thinned_as") == "mix":
        return (f"thinner per paint = share / (100 - share) = {share:g} / {100 - share:g} = {thinned:.4f}",)
    return (f"thinner per paint = {share:g} / 100 = {thinned:.4f}",)


def _thickness_lines(known: str, solids: float, thinned: float, wet: float, dry: float) -> tuple[str, ...]:
    first = {
        "wet": (),
        "rate": (f"wet film = 1000 / rate = {rounded(wet)} µm",),
        "dry": (f"wet film = dry film × (1 + thinner) / solids = {rounded(dry)} × {1 + thinned:.4g} / {solids / 100:g} = {rounded(wet)} µm",),
    }[known]  # fmt: skip
    return (
        *first,
        f"dry film = wet film × solids / (1 + thinner) = {rounded(wet)} × {solids / 100:g} / {1 + thinned:.4g} = {rounded(dry)} µm",
        f"a litre covers 1000 / wet film = 1000 / {rounded(wet)} = {rounded(1000 / wet)} m²",
    )


def _thinning_plot(given: Given, solids: float, wet: float, thinned: float, dry: float) -> Plot:
    shares = tuple(float(share) for share in np.linspace(0, max(50.0, 120 * thinned), CURVE_POINTS))
    left = tuple(wet * solids / 100 / (1 + share / 100) for share in shares)
    return Plot(
        "What thinning leaves of the film", "Thinner to paint", "%", "Dry film", "µm",
        (Curve(f"{about(given, wet, 'µm', 3)} wet", shares, left),), (Mark(100 * thinned, dry, "yours"),),
        says=f"The same wet film dries to {about(given, left[0], 'µm', 3)} without thinner and to {about(given, left[-1], 'µm', 3)} with {shares[-1]:.0f} %.",
    )  # fmt: skip


SUMS = (
    Working(
        name="spreading-rate",
        family="film",
        title="Spreading rate",
        asks="How far does a litre go?",
        inputs=(SOLIDS, Asked("dry_film", "Dry film wanted", "µm", 1, 1000, 30.0, help="10 to 15 lacquer and shellac, 25 varnish, 30 to 60 paint."), METHOD),
        work=_spreading,
        example={"volume_solids": "42", "dry_film": "35", "method": "brush"},
    ),
    Working(
        name="film-thickness",
        family="film",
        title="Thickness of a coat",
        asks="How thick is the coat, wet and dry, thinned or not?",
        inputs=(
            SOLIDS,
            Asked("wet", "Wet film, measured", "µm", 1, 10_000, needed=False, help="Give one of these three."),
            Asked("dry", "Or dry film wanted", "µm", 1, 1000, needed=False),
            Asked("rate", "Or a litre spread over", "m²/l", THINNEST, THICKEST, needed=False),
            Asked("thinned", "Thinned by", "%", 0, 60, 0.0),
            Asked(
                "thinned_as", "That is a share of", kind="choice", default="mix",
                choices=(("mix", "the whole mix"), ("paint", "the paint")), help="15 % of the mix is 17.6 % of the paint.",
            ),
        ),
        work=_thickness,
        example={"volume_solids": "35", "wet": "8 mil", "thinned": "15", "thinned_as": "mix"},
    ),
)  # fmt: skip
