"""Mixing and thinning as it is asked at the bench: shellac by its cut, and a weak mix from a strong one."""

from __future__ import annotations

from tallboy.errors import BadInput
from tallboy.sums.strengths import cut_of, flakes_for_cut, mixed_volume, spirit_to_thin, strong_for
from tallboy.sums.unit_words import ML_PER_US_GALLON
from tallboy.workings.kinds import Answer, Asked, Given, Got, Grid, Working
from tallboy.workings.telling import rounded

CUTS = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0)
USES = (
    "Common practice: 1 lb or less for a rubber and for sealing, 1.5 to 2 for a brush, 3 to keep and thin from.",
    "A cut counts the spirit before the flakes go in. Old or damp flakes do not all dissolve, and wax settles: let it stand and pour off.",
    "Shellac in spirit keeps for months, not years; write the day on the jar, and try a drop on glass: what stays sticky is past.",
)


def _cut(given: Given) -> Answer:
    if given.has("cut_now"):
        return _thinned(given)
    spirit, cut = given.number("volume"), given.number("cut")
    flakes = flakes_for_cut(spirit, cut)
    whole = mixed_volume(spirit, flakes)
    return Answer(
        results=(
            Got("flakes", "Flakes", flakes, "g"),
            Got("mix", "It makes about", whole, "ml"),
            Got("litre", "Flakes to a litre of spirit", flakes_for_cut(1000, cut), "g"),
        ),
        working=(
            f"flakes = cut × 453.592 g / 3785.41 ml × spirit = {cut:g} × 0.119826 × {spirit:g} = {rounded(flakes)} g",
            f"mix = spirit + 0.83 ml a gram = {spirit:g} + {rounded(whole - spirit)} = {rounded(whole)} ml",
        ),
        sources=("shellac-cut-pages", "definition"),
        cautions=("solvent-vapour", "open-flame"),
        says=f"Dissolve {rounded(flakes, 2)} g of flakes in {spirit:g} ml of spirit for a {cut:g} lb cut; it makes about {rounded(whole, 2)} ml.",
        limits=USES,
        table=_other_cuts(spirit),
    )


def _thinned(given: Given) -> Answer:
    mix, now, cut = given.number("volume"), given.number("cut_now"), given.number("cut")
    added = spirit_to_thin(mix, now, cut)
    inside = mix / mixed_volume(ML_PER_US_GALLON, flakes_for_cut(ML_PER_US_GALLON, now)) * ML_PER_US_GALLON
    return Answer(
        results=(
            Got("added", "Spirit to add", added, "ml"),
            Got("inside", "Spirit that is in it", inside, "ml"),
            Got("cut", "Cut afterwards", cut_of(flakes_for_cut(inside, now), inside + added), "lb/US gal"),
        ),
        working=(
            f"spirit in it = mix / (1 + 0.1 × cut) = {mix:g} / {1 + now / 10:.3g} = {rounded(inside)} ml",
            f"added = spirit in it × (cut now / cut wanted - 1) = {rounded(inside)} × ({now:g} / {cut:g} - 1) = {rounded(added)} ml",
        ),
        sources=("shellac-cut-pages", "definition"),
        cautions=("solvent-vapour", "open-flame"),
        says=f"Add {rounded(added, 2)} ml of spirit to {mix:g} ml of the {now:g} lb cut to have a {cut:g} lb cut.",
        limits=USES,
    )


def _other_cuts(spirit: float) -> Grid:
    rows = tuple(
        (f"{cut:g} lb", f"{rounded(flakes_for_cut(spirit, cut))} g", f"{rounded(flakes_for_cut(1000, cut))} g")
        for cut in CUTS
    )
    return Grid(("Cut", "Flakes", "To a litre"), rows, f"Other cuts from {spirit:g} ml of spirit")


def _weaker(given: Given) -> Answer:
    volume, strong, wanted = given.number("volume"), given.number("strong"), given.number("wanted")
    if wanted <= 0:
        raise BadInput("A strength of nothing needs none of the strong one.", "Give the strength wanted in percent.")
    part = strong_for(volume, strong, wanted)
    rest = volume - part
    ratio = f"1 to {rounded(rest / part, 2)}"
    return Answer(
        results=(
            Got("strong", "Of the strong one", part, "ml"),
            Got("thinner", "Of what it is thinned with", rest, "ml"),
            Got("ratio", "One part to parts", ratio),
        ),
        working=(
            f"strong = volume × wanted / strong percent = {volume:g} × {wanted:g} / {strong:g} = {rounded(part)} ml",
            f"the rest = {volume:g} - {rounded(part)} = {rounded(rest)} ml",
        ),
        sources=("definition",),
        cautions=("acid", "caustic", "mixing"),
        says=f"Pour {rounded(part, 3)} ml of the strong one into {rounded(rest, 3)} ml of what thins it, {ratio}, for {volume:g} ml at {wanted:g} %.",
        limits=(
            "By volume. A label that says percent by mass is a few percent off.",
            "The strong into the weak, slowly: acid and caustic into water, never water into them. Never thin one agent with another.",
        ),
    )  # fmt: skip


SUMS = (
    Working(
        name="shellac-cut",
        family="film",
        title="Cut of shellac",
        asks="How many flakes for this cut, or how much spirit thins one to another?",
        inputs=(
            Asked("volume", "Spirit, or the mix that is thinned", "ml", 1, 100_000, 500.0),
            Asked("cut", "Cut wanted", "lb/US gal", 0.1, 10, 2.0, help="Pounds of flakes to a US gallon of spirit; 1 lb is 120 g to the litre."),
            Asked("cut_now", "Cut that it has now, to be thinned", "lb/US gal", 0.1, 10, needed=False, help="Left out: fresh from flakes."),
        ),
        work=_cut,
        example={"volume": "500 ml", "cut": "2"},
    ),
    Working(
        name="weaker-mix",
        family="film",
        title="A weaker mix from a strong one",
        asks="How much of the strong one makes so much of a weaker one?",
        inputs=(
            Asked("volume", "Wanted", "ml", 1, 100_000, 1000.0),
            Asked("strong", "Strength that is there", "%", 0.1, 100),
            Asked("wanted", "Strength wanted", "%", 0, 100),
        ),
        work=_weaker,
        example={"volume": "1 l", "strong": "25 %", "wanted": "5 %"},
    ),
)  # fmt: skip
