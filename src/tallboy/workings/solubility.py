"""What lifts what, as it is asked at the bench: one liquid or blend against one residue, and the choice among liquids."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tallboy.errors import BadInput
from tallboy.sums.blends import Choice, ranked
from tallboy.sums.lifting import SPARES_FROM, Residue, judge, margin
from tallboy.sums.solubility import blend
from tallboy.tables.avoid import held_back, how_mix, pairs
from tallboy.tables.liquids import from_row, lowest_limit
from tallboy.tables.residues import hansen, residue, solvent
from tallboy.tables.rows import Row
from tallboy.workings import lifting_words as words
from tallboy.workings import offer_words
from tallboy.workings.kinds import Answer, Asked, Given, Got, Grid, Plot, Working
from tallboy.workings.lifting_words import Mixture
from tallboy.workings.offer import Offer, offer

SHELF = "white spirit; heptane; turpentine; limonene; xylene; butyl acetate; ethyl acetate; acetone; methyl ethyl ketone; isopropanol; ethanol"
SHOWN = 10

_LIFT = Asked("residue", "What is to come off", kind="row", table="residues")
_SPARE = Asked("spare", "What must stay", kind="row list", table="residues", needed=False)
_NEARBY = Asked(
    "nearby", "What else lies close by", kind="row list", table="nearby", needed=False,
    help="Nothing is reckoned for these; the list of don'ts is looked up.",
)  # fmt: skip


def _will_it_lift(given: Given) -> Answer:
    mix = words.mixture(given)
    row = given.row("residue")
    stays = words.spared(given, str(row["key"]))
    lift, others = residue(row), [residue(one) for one in stays]
    found, spared = judge(mix.hansen, lift), [judge(mix.hansen, one) for one in others]
    reasons = words.against(given, mix.rows, stays)
    lines = words.blend_lines(mix) if len(mix.rows) > 1 else []
    for one in (lift, *others):
        lines += words.judgement_lines(mix.hansen, one)
    name = words.spoken(mix.parts)
    says = f"{name[0].upper()}{name[1:]} {words.judged_words(found, spared)}. {words.RED_WORDS}"
    return Answer(
        results=(
            Got("word", f"On {lift.key} it", found.word),
            Got("red", f"RED on {lift.key}", found.red, "", found.low, found.high),
            *(
                Got(f"spared_{place}", f"RED on {one.key}", one.red, "", one.low, one.high)
                for place, one in enumerate(spared, 1)
            ),
            Got("margin", "Margin of the weaker claim", margin(found.red, [one.red for one in spared])),
        ),
        working=(*lines, f"Words: {words.EDGES}.", *words.evaporation_words(mix, lift, others)),
        sources=words.sources_of([row, *stays, *mix.rows], reasons),
        cautions=words.cautions_of(mix.rows),
        says=" ".join([says, *(words.told(one) for one in reasons)]),
        limits=(
            *words.unsure_of_mixing(given, mix.rows),
            *words.notes_on([row, *stays]),
            *_held(mix.rows),
            *words.LIMITS,
        ),
        plots=_plots(mix, lift, others),
        table=_judgements(given, mix, [row, *stays]),
    )


def _plots(mix: Mixture, lift: Residue, others: Sequence[Residue]) -> tuple[Plot, ...]:
    first = [words.over_shares(mix, lift, others)] if len(mix.rows) == 2 else []
    second = words.over_evaporation(mix, lift, others) if len(mix.rows) > 1 else None
    return (*first, second) if second else tuple(first)


def _pair_plot(
    given: Given, choices: Sequence[Choice], rows: Sequence[Row], lift: Residue, others: Sequence[Residue]
) -> tuple[Plot, ...]:
    """Where a single liquid comes first: the same liquid with the next best, over their shares."""
    two = [offer_words.mixed(one, rows).rows[0] for one in choices if len(one.parts) == 1][:2]
    if len(two) < 2 or how_mix(two[0], two[1], given.lookup) in ("parts", "may part"):
        return ()
    half = Mixture(tuple(two), (0.5, 0.5), blend([hansen(row) for row in two], (0.5, 0.5)))
    return (words.over_shares(half, lift, others),)


def _judgements(given: Given, mix: Mixture, rows: Sequence[Row]) -> Grid:
    lines = []
    for row in rows:
        one = judge(mix.hansen, residue(row))
        twin = words.twin_red(given, mix.hansen, row)
        lines.append((one.key, f"{one.red:.2f}", f"{one.low:.2f} to {one.high:.2f}", twin, one.word))
    return Grid(("Material", "RED", "Spread", "By the other entry", "Word"), tuple(lines), "Each material")


def _held(rows: Sequence[Row]) -> list[str]:
    """Why some of these liquids are not offered by themselves."""
    return [f"{row['key']}: {reason}" for row in rows if (reason := held_back(str(row["key"])))]


@dataclass(frozen=True)
class _Shelf:
    """The liquids that may be offered, and why the others on the list are not."""

    rows: tuple[Row, ...]
    left_out: tuple[tuple[str, str], ...]


def _which_liquid(given: Given) -> Answer:
    row = given.row("residue")
    stays = words.spared(given, str(row["key"]))
    lift, others = residue(row), [residue(one) for one in stays]
    shelf = _shelf(given, stays)
    choices = ranked(
        [solvent(one) for one in shelf.rows],
        lift,
        others,
        most=int(given.choice("most")),
        step=0.1 if given.choice("measure") == "tenths" else 0.05,
        apart=pairs(shelf.rows, "parts", "may part", lookup=given.lookup),
    )
    named = {str(one["key"]): one for one in shelf.rows}
    found = offer(choices, named)
    best, mix = found.first, offer_words.mixed(found.first, shelf.rows)
    shown = _shown(found)
    return Answer(
        results=offer_words.results(found, named, given.number("volume")),
        working=(
            *offer_words.how(found, shelf.rows, lift, others, len(choices)),
            *words.evaporation_words(mix, lift, others),
        ),
        sources=words.sources_of([row, *stays, *mix.rows], words.against(given, mix.rows, stays)),
        cautions=words.cautions_of(_used(shown, shelf.rows)),
        says=offer_words.verdict(found),
        limits=(
            *(f"Left out: {key}. {reason}" for key, reason in shelf.left_out),
            *(words.told(one) for one in words.against(given, mix.rows, stays)),
            *words.unsure_of_mixing(given, mix.rows),
            *words.notes_on([row, *stays]),
            *words.LIMITS,
        ),
        plots=_plots(mix, lift, others) or _pair_plot(given, (best, *shown), shelf.rows, lift, others),
        table=offer_words.ranking(shown, named),
    )


def _shown(found: Offer) -> list[Choice]:
    """Those worth showing: the first ones, the better one among them, and nothing that is sure not to lift."""
    wanted = [one for one in found.order if one.lifted.red < SPARES_FROM] or [found.first]
    if found.better is None or found.better in wanted[:SHOWN]:
        return wanted[:SHOWN]
    return [*wanted[: SHOWN - 1], found.better]


def _shelf(given: Given, stays: Sequence[Row]) -> _Shelf:
    kept, left_out = [], []
    for row in given.rows("liquids"):
        reason = _reason_against(given, row, stays)
        if reason:
            left_out.append((str(row["key"]), reason))
        else:
            kept.append(row)
    if not kept:
        raise BadInput(
            "No liquid on the list may be offered: " + " ".join(f"{key}: {reason}" for key, reason in left_out),
            "Put others on the list, or lift a restriction.",
        )
    return _Shelf(tuple(kept), tuple(left_out))


def _reason_against(given: Given, row: Row, stays: Sequence[Row]) -> str:
    """Why a liquid is left out before anything is reckoned; "" when it is not."""
    never = [dont for dont in words.against(given, [row], stays) if dont.never]
    reasons = [f"Keep it off {dont.material}: {dont.reason}" for dont in never[:1]]
    if not given.flag("asked_for") and (held := held_back(str(row["key"]))):
        reasons.append(held)
    if row.get("hansen_d") is None:
        reasons.append("It has no solubility parameters: it works by reaction.")
    return " ".join([*reasons, *_too_risky(given, row)])


def _too_risky(given: Given, row: Row) -> list[str]:
    """Flash point and limit in air against what was asked for. What is not known counts as not fulfilled."""
    liquid, reasons = from_row(row), []
    flash, limit = given.maybe("flash_above"), given.maybe("limit_above")
    if flash is not None and not liquid.incombustible and (liquid.flash is None or liquid.flash < flash):
        reasons.append("Its flash point is " + ("not known." if liquid.flash is None else f"{liquid.flash:.3g} °C."))
    lowest = lowest_limit(liquid)
    if limit is not None and not liquid.incombustible and (lowest is None or lowest.ppm < limit):
        reasons.append(
            "Its limit in air is " + ("not known." if lowest is None else f"{lowest.ppm:.4g} ppm ({lowest.of}).")
        )
    return reasons


def _used(choices: Sequence[Choice], rows: Sequence[Row]) -> list[Row]:
    named = {str(row["key"]): row for row in rows}
    return [named[key] for choice in choices for key, _ in choice.parts]


WILL_IT_LIFT = Working(
    name="will-it-lift",
    family="solubility",
    title="Will it lift",
    asks="Does this liquid, or this blend, lift what is to come off, and does it spare what must stay?",
    inputs=(
        Asked("liquids", "Liquid, or the two or three of a blend", kind="row list", table="liquids"),
        Asked("shares", "Share of each by volume", kind="numbers", needed=False, help="Such as 3; 1. Empty: equal parts."),
        _LIFT,
        _SPARE,
        _NEARBY,
    ),
    work=_will_it_lift,
    example={"liquids": "ethanol; white spirit", "shares": "9; 1", "residue": "shellac", "spare": "alkyd 188", "nearby": "tannin wood"},
)  # fmt: skip

WHICH_LIQUID = Working(
    name="which-liquid",
    family="solubility",
    title="Which liquid",
    asks="Which of these liquids lifts what is to come off and spares what must stay, and is least harmful?",
    inputs=(
        _LIFT,
        _SPARE,
        _NEARBY,
        Asked("liquids", "Liquids to choose from", kind="row list", table="liquids", default=SHELF),
        Asked("most", "Liquids in a blend at most", kind="choice", choices=(("1", "one"), ("2", "two"), ("3", "three")), default="2"),
        Asked("measure", "Measured out in", kind="choice", choices=(("tenths", "tenths"), ("twentieths", "twentieths")), default="tenths"),
        Asked("volume", "Volume to mix", "ml", 1, 100_000, 100.0),
        Asked("flash_above", "Flash point not below", "°C", -50, 200, needed=False, help="Liquids whose flash point is not known are left out."),
        Asked("limit_above", "Limit in air not below", "ppm", 0, 10_000, needed=False, help="The lowest 8-hour limit of any list; not known is left out."),
        Asked("asked_for", "Offer dichloromethane, NMP and methanol too, if on the list", kind="flag", default="no"),
    ),
    work=_which_liquid,
    example={"residue": "grease", "spare": "shellac; nitrocellulose 222", "nearby": "veneer on hide glue"},
)  # fmt: skip

SUMS = (WILL_IT_LIFT, WHICH_LIQUID)
