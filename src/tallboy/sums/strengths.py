"""How strong a mix is: shellac by the cut, and what is thinned from a strong one."""

from __future__ import annotations

from tallboy.errors import BadInput
from tallboy.sums.ranges import within
from tallboy.sums.unit_words import GRAMS_PER_POUND, ML_PER_US_GALLON

MOST_CUT = 10.0
GRAMS_PER_ML = GRAMS_PER_POUND / ML_PER_US_GALLON
"""One pound in a US gallon [g/ml]."""
GALLONS_PER_POUND = 0.1
"""[gal/lb] by which a pound of flakes swells a gallon of spirit: two pounds make 1.2 gallons, three 1.3, four 1.4 (trade page, read)."""
SWELLS_ML_PER_GRAM = GALLONS_PER_POUND * ML_PER_US_GALLON / GRAMS_PER_POUND


def flakes_for_cut(spirit_ml: float, cut: float) -> float:
    """Shellac to dissolve in so much spirit for a cut.

    Formula: flakes = cut * 453.59237 / 3785.411784 * spirit

    Parameters
    ----------
    spirit_ml : [ml] spirit before the flakes go in, 0 to 100 000
    cut : [lb/US gal] pounds of flakes to a gallon of spirit, 0 to 10

    Returns
    -------
    [g] flakes

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    The cut counts the spirit, not the mix: the mix is larger by what the flakes take up.

    Source
    ------
    Definition of the trade's cut; pound and US gallon exact.
    """
    within("Spirit", spirit_ml, 0, 100_000, "ml")
    return within("Cut", cut, 0, MOST_CUT, "lb/US gal") * GRAMS_PER_ML * spirit_ml


def cut_of(flakes_g: float, spirit_ml: float) -> float:
    """The cut that so many flakes in so much spirit make.

    Formula: cut = flakes / spirit / 0.119826 g/ml

    Parameters
    ----------
    flakes_g : [g] 0 to 100 000
    spirit_ml : [ml] 1 to 100 000

    Returns
    -------
    [lb/US gal] cut

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Definition of the trade's cut; pound and US gallon exact.
    """
    within("Flakes", flakes_g, 0, 100_000, "g")
    return flakes_g / within("Spirit", spirit_ml, 1, 100_000, "ml") / GRAMS_PER_ML


def mixed_volume(spirit_ml: float, flakes_g: float) -> float:
    """How much mix comes of spirit and flakes.

    Formula: spirit + 0.83 ml for each gram of flakes

    Parameters
    ----------
    spirit_ml : [ml] 0 to 100 000
    flakes_g : [g] 0 to 100 000

    Returns
    -------
    [ml] mix

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    From the roundings of a trade page; a tenth of the swelling more or less.

    Source
    ------
    A trade page on cuts of shellac: 2 lb in a gallon make 1.2 gallons, 3 lb 1.3, 4 lb 1.4
    """
    within("Spirit", spirit_ml, 0, 100_000, "ml")
    return spirit_ml + SWELLS_ML_PER_GRAM * within("Flakes", flakes_g, 0, 100_000, "g")


def spirit_to_thin(mix_ml: float, cut_now: float, cut_wanted: float) -> float:
    """Spirit to add to a mix of one cut to bring it to a weaker one.

    Formula: mix / (1 + 0.1 cut now) is the spirit in it; added = that * (cut now / cut wanted - 1)

    Parameters
    ----------
    mix_ml : [ml] mix that is there, 0 to 100 000
    cut_now : [lb/US gal] 0.1 to 10
    cut_wanted : [lb/US gal] 0.1 to the cut it has now

    Returns
    -------
    [ml] spirit to add

    Raises
    ------
    OutOfRange outside the ranges; BadInput when it would have to become stronger.

    Validity
    --------
    As `mixed_volume`. Trade pages differ by a quarter, some leaving out what the flakes take up.

    Source
    ------
    Own derivation from the definition of the cut and `mixed_volume`.
    """
    within("Mix", mix_ml, 0, 100_000, "ml")
    within("Cut now", cut_now, 0.1, MOST_CUT, "lb/US gal")
    within("Cut wanted", cut_wanted, 0.1, MOST_CUT, "lb/US gal")
    if cut_wanted > cut_now:
        raise BadInput("Spirit makes a cut weaker, not stronger.", "Add flakes, or want a cut under the one it has.")
    return mix_ml / (1 + GALLONS_PER_POUND * cut_now) * (cut_now / cut_wanted - 1)


def strong_for(volume_ml: float, strong_percent: float, wanted_percent: float) -> float:
    """How much of a strong mix is needed for so much of a weaker one; the rest is what it is thinned with.

    Formula: strong = volume * wanted / strong percent

    Parameters
    ----------
    volume_ml : [ml] of the weaker mix, 0 to 100 000
    strong_percent : [%] strength that is there, 0.1 to 100
    wanted_percent : [%] strength wanted, 0 to the strength that is there

    Returns
    -------
    [ml] of the strong one

    Raises
    ------
    OutOfRange outside the ranges; BadInput when the weaker one would be the stronger.

    Validity
    --------
    Percent by volume. By mass it is a few percent off, for the two weigh differently.

    Source
    ------
    definition
    """
    within("Volume", volume_ml, 0, 100_000, "ml")
    within("Strength that is there", strong_percent, 0.1, 100, "%")
    within("Strength wanted", wanted_percent, 0, 100, "%")
    if wanted_percent > strong_percent:
        raise BadInput(
            f"{strong_percent:g} % cannot be thinned to {wanted_percent:g} %.",
            "Want a strength under the one that is there.",
        )
    return volume_ml * wanted_percent / strong_percent
