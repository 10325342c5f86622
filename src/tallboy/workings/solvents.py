"""About the liquids themselves, as it is asked at the bench: where a blend stands, whether it mixes, what evaporates, the list of don'ts."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from tallboy.errors import BadInput
from tallboy.sums.lifting import LIQUID_ERROR
from tallboy.sums.mixing import left_over
from tallboy.sums.solubility import hildebrand, teas_fractions, total
from tallboy.sums.spreads import carried_spread
from tallboy.tables import load
from tallboy.tables.avoid import OTHER_FAMILIES, Dont, donts, how_mix, mixing_number
from tallboy.tables.rows import Row
from tallboy.workings import lifting_words as words
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Grid, Plot, Working
from tallboy.workings.telling import listed, rounded

MOST_TO_MIX = 6
UNKNOWN_SPREAD = 20.0
"""Of a vapour pressure whose row tells none [%]."""

_LIQUIDS = Asked("liquids", "Liquid, or the two or three of a blend", kind="row list", table="liquids")
_SHARES = Asked(
    "shares", "Share of each by volume", kind="numbers", needed=False, help="Such as 3; 1. Empty: equal parts."
)
_FAMILIES = tuple(
    dict.fromkeys([*(str(row["group"]) for row in load("mixing")["mixing"]), *OTHER_FAMILIES])
)  # fmt: skip


def _parameters(given: Given) -> Answer:
    mix = words.mixture(given)
    three, teas = mix.hansen, teas_fractions(mix.hansen)
    whole = three.d + three.p + three.h
    return Answer(
        results=(
            _about("d", "δD, dispersion", three.d),
            _about("p", "δP, polar", three.p),
            _about("h", "δH, hydrogen bonding", three.h),
            _about("total", "Total (Hildebrand)", total(three)),
            Got("teas_d", "Share fd", teas.d, "%"),
            Got("teas_p", "Share fp", teas.p, "%"),
            Got("teas_h", "Share fh", teas.h, "%"),
        ),
        working=(
            *words.blend_lines(mix),
            f"total = √(δD² + δP² + δH²) = √({three.d:.2f}² + {three.p:.2f}² + {three.h:.2f}²) = {total(three):.2f} MPa^0.5",
            f"fd = 100 δD / (δD + δP + δH) = 100 × {three.d:.2f} / {whole:.2f} = {teas.d:.1f} %, fp and fh likewise",
        ),
        sources=(*words.sources_of(mix.rows, about_lifting=False), "teas-burke"),
        cautions=words.cautions_of(mix.rows),
        says=f"{mix.name[0].upper()}{mix.name[1:]} has δD {three.d:.1f}, δP {three.p:.1f}, δH {three.h:.1f} MPa^0.5, the three parameters of what it dissolves.",
        limits=(
            "The shares belong to these parameters. Old printed three-cornered charts rest on other ones: never mix the two.",
            "Published parameters of one liquid differ by about 0.3 to 1 MPa^0.5.",
        ),
    )


def _about(name: str, label: str, value: float) -> Got:
    """A parameter of a liquid with its usual error."""
    return Got(name, label, value, "MPa^0.5", max(value - LIQUID_ERROR, 0), value + LIQUID_ERROR)


TOGETHER = {"mixes": "one layer", "may part": "may part", "parts": "two layers", "not known": "not known"}


def _do_they_mix(given: Given) -> Answer:
    rows = given.rows("liquids")
    if not 2 <= len(rows) <= MOST_TO_MIX:
        raise BadInput(f"There are {len(rows)} liquids.", f"Name two to {MOST_TO_MIX}.")
    found = [(one, other, how_mix(one, other, given.lookup)) for one, other in combinations(rows, 2)]
    order = ("parts", "not known", "may part", "mixes")
    worst = min((how for _, _, how in found), key=order.index)
    return Answer(
        results=(Got("together", "The worst pair", worst),),
        working=tuple(_mixing_line(given, one, other, how) for one, other, how in found),
        sources=("godfrey-miscibility", "memory"),
        cautions=words.cautions_of(rows),
        says=_mixing_verdict(worst, [f"{one['key']} and {other['key']}" for one, other, how in found if how == worst]),
        limits=(
            "The numbers hold for pure, dry liquids at 15 °C. Water in one of them makes many pairs part.",
            "Two that part can be brought into one layer by a third; that is not looked at here.",
        ),
        table=Grid(
            ("One", "The other", "Together"),
            tuple((str(one["key"]), str(other["key"]), TOGETHER[how]) for one, other, how in found),
            "Each pair",
        ),
    )


def _mixing_line(given: Given, one: Row, other: Row, how: str) -> str:
    first, second = mixing_number(str(one["key"]), given.lookup), mixing_number(str(other["key"]), given.lookup)
    if first is None or second is None:
        return f"{one['key']} and {other['key']}: {how} (no number on the scale for one of them)"
    gap = max(first.high - second.low, second.high - first.low)
    return (
        f"{one['key']} and {other['key']}: gap = the larger of {first.high:g} - {second.low:g} and {second.high:g} - {first.low:g}"
        f" = {gap:g}; up to 15 mixes, 16 may part, 17 and more parts: {how}"
    )


def _mixing_verdict(worst: str, pairs: Sequence[str]) -> str:
    which = ", ".join(pairs)
    which = f"{which[0].upper()}{which[1:]}"
    return {
        "mixes": "They stay in one layer in every share.",
        "may part": f"{which} may part: shake a little in a closed jar first.",
        "not known": f"{which} are not known to mix: shake a little in a closed jar first.",
        "parts": f"{which} do not stay in one layer: use them one after the other.",
    }[worst]


def _what_is_left(given: Given) -> Answer:
    mix = words.mixture(given)
    gone = given.number("evaporated")
    left = words.left_when(mix, 1 - gone / 100)
    known = words.pressures(mix.rows)
    if left is None or known is None:
        raise BadInput(
            "It cannot be told what is left.",
            "Name two or three liquids whose vapour pressure at 20 °C is in the table.",
        )
    fractions, three = left
    keys = [str(row["key"]) for row in mix.rows]
    return Answer(
        results=(
            *(_share(mix, known, gone, place, share) for place, share in enumerate(fractions)),
            _about("d", "δD of what is left", three.d),
            _about("p", "δP of what is left", three.p),
            _about("h", "δH of what is left", three.h),
        ),
        working=(
            *(
                f"Vapour pressure of {key} at 20 °C = {rounded(pressure, 4)} Pa"
                for key, pressure in zip(keys, known, strict=True)
            ),
            "Volume left of each: V = φ exp(-P τ), τ such that together "
            f"{1 - gone / 100:.3g} of the volume is left; fractions left = V / Σ V",
        ),
        sources=(*words.sources_of(mix.rows, about_lifting=False), "definition"),
        cautions=words.cautions_of(mix.rows),
        says=f"When {gone:.3g} % has evaporated, about this is left: {words.blend_words(zip(keys, fractions, strict=True))}.",
        limits=(
            "It takes ideal mixing and moving air. Some blends evaporate together without changing, alcohols with hydrocarbons above all.",
            "In a thin film on wood what soaks in does not evaporate.",
        ),
        plots=(_left_plot(mix, keys),),
    )


def _share(mix: words.Mixture, known: Sequence[float], gone: float, place: int, share: float) -> Got:
    """The share of one liquid in what is left, with what the spread of the vapour pressures does to it."""
    spreads = [
        pressure * float(row.get("pressure_spread", UNKNOWN_SPREAD)) / 100
        for pressure, row in zip(known, mix.rows, strict=True)
    ]

    def left(*pressures: float) -> float:
        return 100 * left_over(mix.fractions, pressures, 1 - gone / 100)[place]

    spread = carried_spread(left, known, spreads)
    low, high = max(100 * share - spread, 0), min(100 * share + spread, 100)
    return Got(f"share_{place + 1}", f"Share of {mix.rows[place]['key']}", 100 * share, "%", low, high)


def _left_plot(mix: words.Mixture, keys: Sequence[str]) -> Plot:
    gone = [index * 2.5 for index in range(39)]
    left = [found[0] for share in gone if (found := words.left_when(mix, 1 - share / 100))]
    curves = tuple(
        Curve(key, tuple(gone), tuple(100 * fractions[place] for fractions in left)) for place, key in enumerate(keys)
    )
    return Plot(
        "What is left of the blend", "Evaporated", "%", "Share of what is left", "%", curves,
        says="Share of each liquid in what is left, as the blend evaporates: the quick one goes, the slow one stays.",
    )  # fmt: skip


def _may_it_touch(given: Given) -> Answer:
    family = given.choice("liquid")
    rows = given.rows("residues")
    materials = [str(row.get("group", "")) for row in rows] + [str(row["key"]) for row in given.rows("nearby")]
    if not materials:
        raise BadInput("Nothing is named that it could touch.", "Name what must stay, or what lies close by.")
    found = donts(family, materials, family, given.lookup)
    verdict = "keep it off" if any(one.never for one in found) else "take care" if found else "nothing known"
    return Answer(
        results=(Got("verdict", "The list says", verdict), Got("reasons", "Reasons found", len(found))),
        working=(f"Looked up: {family} on {', '.join(materials)}.", *(words.told(one) for one in found)),
        sources=tuple(dict.fromkeys([*(one.source for one in found), "common-practice"])),
        cautions=_family_cautions(family),
        says=_keep_off(family, found)
        or f"The list has nothing against {family} there. That is no yes: test a spot out of sight.",
        limits=(
            "The list is short and much of it is common practice without a source.",
            "What a solvent dissolves is reckoned apart: ask “will it lift”. For metals, ask the sums of metals.",
        ),
        table=Grid(
            ("Material", "Level", "What happens"),
            tuple((one.material, "leave out" if one.never else "take care", one.reason) for one in found),
            "What it does",
        )
        if found
        else None,
    )


def _keep_off(family: str, found: Sequence[Dont]) -> str:
    """What must not meet it, and what it is used on with care; the reasons stand in the table."""
    never, care = (listed([one.material for one in found if one.never is which]) for which in (True, False))
    return " ".join(
        filter(
            None,
            (f"Keep {family} off {never}." if never else "", f"Take care with {family} on {care}." if care else ""),
        )
    )


def _family_cautions(family: str) -> tuple[str, ...]:
    own = {"caustic": ("caustic",), "ammonia": ("mixing",), "acid": ("acid", "mixing"), "oxalic acid": ("acid", "mixing"),
           "bleach": ("mixing",), "water": (), "chlorinated": ("stripper", "solvent-vapour")}  # fmt: skip
    return own.get(family, ("solvent-vapour", "open-flame"))


def _from_heat(given: Given) -> Answer:
    heat, volume, celsius = given.number("heat"), given.number("molar_volume"), given.number("celsius")
    found = hildebrand(1000 * heat, volume, celsius)
    return Answer(
        results=(Got("total", "Total parameter", found, "MPa^0.5"),),
        working=(
            f"δ = √((ΔHv - R T) / Vm) = √(({1000 * heat:.0f} - 8.3145 × {celsius + 273.15:.2f}) / {volume:.4g}) = {found:.2f} MPa^0.5",
        ),
        sources=("chemicals-1.5.2",),
        says=f"The total solubility parameter is {found:.1f} MPa^0.5.",
        limits=(
            "It does not tell how much of it is dispersion, polar or hydrogen bonding.",
            "Acetic acid and other liquids whose vapour pairs up come out low.",
        ),
    )


SUMS = (
    Working(
        name="blend-parameters", family="solubility", title="Parameters of a blend",
        asks="What are the solubility parameters of this liquid or blend?",
        inputs=(_LIQUIDS, _SHARES), work=_parameters, example={"liquids": "toluene; ethanol", "shares": "1; 1"},
    ),
    Working(
        name="do-they-mix", family="solubility", title="Do they mix",
        asks="Do these liquids stay in one layer?",
        inputs=(Asked("liquids", "Two to six liquids", kind="row list", table="liquids"),), work=_do_they_mix,
        example={"liquids": "ethanol; white spirit; water"},
    ),
    Working(
        name="what-is-left", family="solubility", title="What is left of a blend",
        asks="What is left of a blend when part of it has evaporated?",
        inputs=(_LIQUIDS, _SHARES, Asked("evaporated", "Evaporated", "%", 0, 99, 50.0)), work=_what_is_left,
        example={"liquids": "acetone; butyl acetate", "shares": "1; 1", "evaporated": "50 %"},
    ),
    Working(
        name="may-it-touch", family="solubility", title="May it touch",
        asks="Is there a known reason to keep this off that, whatever it dissolves?",
        inputs=(
            Asked("liquid", "Kind of liquid", kind="choice", choices=tuple((name, name) for name in _FAMILIES)),
            Asked("residues", "What must stay", kind="row list", table="residues", needed=False),
            Asked("nearby", "What lies close by", kind="row list", table="nearby", needed=False),
        ),
        work=_may_it_touch, example={"liquid": "caustic", "residues": "shellac", "nearby": "tannin wood; veneer on hide glue"},
    ),
    Working(
        name="parameter-from-heat", family="solubility", title="Solubility parameter from heat",
        asks="What is a liquid's total solubility parameter, from its heat of vaporisation?",
        inputs=(
            Asked("heat", "Heat of vaporisation", "kJ/mol", 5, 200),
            Asked("molar_volume", "Molar volume", "cm³/mol", 10, 1000),
            Asked("celsius", "Temperature", "°C", -50, 150, 25.0),
        ),
        work=_from_heat, example={"heat": "26.4033", "molar_volume": "116.055", "celsius": "25.05 °C"},
    ),
)  # fmt: skip
