"""What lifts what, as it is asked: figures, words, refusals, and what is left out with its reason."""

from __future__ import annotations

import pytest
from tests.workings.answers import answered, got

from tallboy.errors import BadInput, TallboyError
from tallboy.tables import load
from tallboy.tables.rows import Rows
from tallboy.workings.asking import ask
from tallboy.workings.solubility import SUMS as ABOUT_LIFTING
from tallboy.workings.solvents import SUMS as ABOUT_LIQUIDS

SOURCES = {row["key"] for row in load("sources")["sources"]}
BY_NAME = {one.name: one for one in (*ABOUT_LIFTING, *ABOUT_LIQUIDS)}


def test_alcohol_on_shellac() -> None:
    """RED 0.841 with its spread; it lifts; the working carries the numbers; the sources resolve."""
    found = answered("will-it-lift", liquids="ethanol", residue="shellac")
    red = got(found, "red")
    assert red.value == pytest.approx(0.841, abs=0.0005)
    assert red.low is not None
    assert red.high is not None
    assert red.low < 0.8
    assert red.high > 0.9
    assert got(found, "word").value == "lifts"
    assert found.says.startswith("Ethanol lifts shellac (RED 0.84).")
    assert "up to 0.9 lifts" in found.says
    assert any("15.8 - 19.7" in line and "9.00 MPa^0.5" in line for line in found.working)
    assert set(found.sources) <= SOURCES
    assert found.plots == ()


def test_a_blend_that_lifts_what_neither_does() -> None:
    """Ether and alcohol on cellulose nitrate: 0.867; two plots, over the shares and as it evaporates; what is left when half is gone."""
    found = answered("will-it-lift", liquids="ethanol; diethyl ether", residue="nitrocellulose 222")
    assert got(found, "red").value == pytest.approx(0.867, abs=0.0005)
    shares, evaporating = found.plots
    lifted = shares.curves[0]
    assert min(lifted.y) < 0.9 < lifted.y[0]
    assert lifted.y[-1] > 0.9
    assert evaporating.curves[0].y[0] == pytest.approx(0.867, abs=0.0005)
    assert any(line.startswith("Half evaporated") for line in found.working)


def test_shares_are_parts() -> None:
    """3; 1 is three quarters; none are equal parts; δ of the blend stands in the working."""
    found = answered("will-it-lift", liquids="toluene; ethanol", shares="3; 1", residue="acrylic 66")
    assert found.says.startswith("75 % toluene with 25 % ethanol")
    assert any("0.75 × 18 + 0.25 × 15.8 = 17.45" in line for line in found.working)


def test_toluene_on_acrylic_is_never_said_to_spare() -> None:
    """RED 1.25: uncertain; and the list of don'ts keeps it off where acrylic must stay."""
    assert got(answered("will-it-lift", liquids="toluene", residue="acrylic 66"), "word").value == "uncertain"
    found = answered("will-it-lift", liquids="toluene", residue="grease", spare="acrylic 66")
    assert "Keep toluene off acrylic" in found.says


def test_both_entries_of_a_material_are_shown() -> None:
    """PMMA 66 and 208: RED by the other one stands beside it."""
    found = answered("will-it-lift", liquids="acetone", residue="acrylic 66", spare="shellac")
    assert found.table is not None
    assert [row[0] for row in found.table.rows] == ["acrylic 66", "shellac"]
    by_other = found.table.rows[0][found.table.headings.index("By the other entry")]
    assert float(by_other) == pytest.approx(((2 * 2.6) ** 2 + 0.1**2 + 1.9**2) ** 0.5 / 9.5, abs=0.006)


def test_weak_and_standing_in_is_said() -> None:
    """Polyethylene for wax: not a wax value, and uncertain whatever RED is."""
    found = answered("will-it-lift", liquids="turpentine", residue="polyethylene")
    assert got(found, "word").value == "uncertain"
    assert any("not a wax value" in line for line in found.limits)


def test_what_lies_close_by_is_looked_up() -> None:
    """Water on veneer: the reason stands in the verdict, its source among the sources."""
    found = answered("will-it-lift", liquids="water", residue="grease", nearby="veneer on hide glue; tannin wood")
    assert "Keep water off veneer on hide glue" in found.says
    assert "Take care with water on tannin wood" in found.says
    assert "hide-glue-trade-pages" in found.sources


def test_a_blend_that_parts_is_refused() -> None:
    """Water with white spirit; methanol with heptane."""
    for liquids in ("water; white spirit", "methanol; heptane"):
        with pytest.raises(BadInput, match="one layer"):
            answered("will-it-lift", liquids=liquids, residue="grease")


def test_a_blend_that_is_not_known_to_mix_is_flagged() -> None:
    """Dioxolane has no number on the scale; benzyl alcohol and white spirit may part."""
    for liquids, words in (("dioxolane; acetone", "not known to mix"), ("benzyl alcohol; white spirit", "may part")):
        found = answered("will-it-lift", liquids=liquids, residue="shellac")
        assert any(words in line for line in found.limits)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"liquids": "ammonia", "residue": "shellac"}, "no solubility parameters"),
        ({"liquids": "ethanol; acetone", "shares": "1; 2; 3", "residue": "shellac"}, "2 liquids and 3 shares"),
        ({"liquids": "ethanol; acetone", "shares": "0; 0", "residue": "shellac"}, "shares"),
        ({"liquids": "ethanol; acetone; xylene; toluene", "residue": "shellac"}, "4 liquids"),
        ({"liquids": "ethanol", "residue": "shellac", "spare": "shellac"}, "both come off and stay"),
        ({"liquids": "", "residue": "shellac"}, "missing"),
    ],
)
def test_what_cannot_be_asked(typed: dict[str, str], words: str) -> None:
    """By reaction only, shares that do not fit, too many, the same on both sides, none."""
    with pytest.raises(BadInput, match=words):
        answered("will-it-lift", **typed)


def test_a_residue_that_is_not_there() -> None:
    """The error names those there are; of wax it says that no figures were read, and what is done at the bench."""
    with pytest.raises(TallboyError, match="shellac"):
        answered("will-it-lift", liquids="ethanol", residue="driftwood")
    with pytest.raises(TallboyError, match="white spirit takes off soft wax"):
        answered("which-liquid", residue="old wax", spare="shellac")


def test_a_residue_of_the_shops_own() -> None:
    """Needs only its sphere; its cautions and words come as for the printed ones."""
    own = {"key": "brown varnish", "hansen_d": 18.0, "hansen_p": 5.0, "hansen_h": 7.0, "radius": 8.0}
    typed = {"liquids": "ethyl acetate", "residue": "brown varnish"}
    found = ask(BY_NAME["will-it-lift"], typed, Rows({"residues": (own,)}))
    assert got(found, "red").value == pytest.approx(((2 * 2.2) ** 2 + 0.3**2 + 0.2**2) ** 0.5 / 8, abs=1e-6)
    assert "solvent-vapour" in found.cautions


def test_the_usual_choice_for_shellac_over_varnish() -> None:
    """Alcohol first, in a sentence; those in doubt follow; a plot though one liquid stands first."""
    found = answered("which-liquid", residue="shellac", spare="alkyd 188")
    assert got(found, "best").value == "ethanol"
    assert got(found, "measure_out").value == "100 ml ethanol"
    assert got(found, "margin").value == pytest.approx(0.9 - 0.841, abs=0.001)
    assert found.says.startswith("Try ethanol first: it lifts shellac (RED 0.84) and spares alkyd 188 (RED 1.38).")
    assert found.table is not None
    assert found.table.rows[0][0] == "ethanol"
    assert found.plots


def test_the_plainest_comes_before_a_blend() -> None:
    """White spirit by itself lifts grease off shellac: it is offered first, and the blend that is stronger only beside it."""
    found = answered("which-liquid", residue="grease", spare="shellac")
    assert got(found, "best").value == "white spirit"
    assert got(found, "limit").value == "100 ppm (Ontario)"
    assert got(found, "flash").value == pytest.approx(43.3)
    assert got(found, "better").value == "50 % white spirit, 50 % xylene"
    assert "When that is too slow, 50 % white spirit with 50 % xylene lifts better" in found.says
    assert found.table is not None
    assert [row[0] for row in found.table.rows[:5]] == ["white spirit", "xylene", "turpentine", "limonene", "heptane"]


def test_the_milder_of_two_that_do_it() -> None:
    """Ethanol and isopropanol lift shellac alike: the one with the higher limit in air comes first, and no blend is urged."""
    found = answered("which-liquid", residue="shellac")
    assert [got(found, name).value for name in ("best", "second")] == ["ethanol", "isopropanol"]
    assert not [one for one in found.results if one.name == "better"]
    assert any("58 times the limit of 1000 ppm" in line for line in found.working)


def test_a_blend_where_it_is_needed() -> None:
    """No single liquid lifts dried oil and spares shellac: a blend is first, and says that the figures are weak."""
    found = answered("which-liquid", residue="dried oil", spare="shellac")
    assert "%" in str(got(found, "best").value)
    assert "from weak figures" in found.says


def test_nothing_that_is_sure() -> None:
    """Lacquer off shellac: the nearest is named as that, and nobody is told to try it first."""
    found = answered("which-liquid", residue="nitrocellulose 222", spare="shellac")
    assert found.says.startswith("Nothing on this list is sure to lift nitrocellulose 222 and to spare shellac.")
    assert "may or may not harm shellac" in found.says
    assert "Try" not in found.says


def test_nothing_without_harm() -> None:
    """Acetone alone lifts both lacquers: said so."""
    typed = {"residue": "nitrocellulose 222", "spare": "nitrocellulose 48", "liquids": "acetone"}
    found = answered("which-liquid", **typed)
    assert found.says.startswith("Nothing on this list lifts nitrocellulose 222 without harm to nitrocellulose 48.")


def test_a_liquid_of_the_shops_own_is_not_taken_for_harmless() -> None:
    """Without flash point, limit or vapour pressure it comes after those whose harm is known."""
    own = {"key": "quay thinner", "molar_mass": 128.0, "hansen_d": 16.5, "hansen_p": 1.0, "hansen_h": 2.0}
    typed = {"residue": "grease", "spare": "shellac", "liquids": "quay thinner; white spirit; heptane", "most": "1"}
    found = ask(BY_NAME["which-liquid"], typed, Rows({"liquids": (own,)}))
    assert found.table is not None
    assert [row[0] for row in found.table.rows] == ["white spirit", "heptane", "quay thinner"]
    assert found.table.rows[-1][-2:] == ("not known", "not known")


def test_a_blend_is_measured_out_in_tenths() -> None:
    """The shares are whole tenths and the volumes add up."""
    found = answered("which-liquid", residue="grease", spare="shellac", volume="250 ml")
    millilitres = [float(part.split()[0]) for part in str(got(found, "better_measure").value).split(";")]
    assert len(millilitres) == 2
    assert sum(millilitres) == pytest.approx(250)
    assert all(volume % 25 == pytest.approx(0) for volume in millilitres)


def test_finer_measure_is_never_worse() -> None:
    """Twentieths hold every tenth: the largest margin of the ranking does not fall."""

    def largest(**typed: str) -> float:
        found = answered("which-liquid", residue="nitrocellulose 48", spare="shellac", **typed)
        assert found.table is not None
        place = found.table.headings.index("Margin")
        return max(float(row[place]) for row in found.table.rows)

    assert largest(measure="twentieths") >= largest() - 1e-9


def test_liquids_are_left_out_with_their_reason() -> None:
    """Alcohol where shellac must stay; dichloromethane unless asked for; ammonia, that has no parameters."""
    liquids = "ethanol; xylene; dichloromethane; ammonia; white spirit"
    found = answered("which-liquid", residue="asphalt", spare="shellac", liquids=liquids)
    left_out = [line for line in found.limits if line.startswith("Left out")]
    assert [line.split(".")[0] for line in left_out] == [
        f"Left out: {key}" for key in ("ethanol", "dichloromethane", "ammonia")
    ]
    asked = answered("which-liquid", residue="asphalt", spare="shellac", liquids=liquids, asked_for="yes")
    assert not any("Left out: dichloromethane" in line for line in asked.limits)


def test_flash_point_and_limit_in_air() -> None:
    """Only what is known to fulfil them stays; what is not known is left out and says so."""
    liquids = "white spirit; acetone; turpentine; benzyl alcohol; limonene"
    found = answered("which-liquid", residue="grease", liquids=liquids, flash_above="30 °C")
    assert any("acetone" in line and "-20 °C" in line for line in found.limits)
    assert any("benzyl alcohol" in line and "not known" in line for line in found.limits)
    limited = answered("which-liquid", residue="grease", liquids=liquids, limit_above="50")
    assert any("turpentine" in line and "20 ppm (Ontario)" in line for line in limited.limits)
    assert any("limonene" in line and "not known" in line for line in limited.limits)


def test_nothing_left_on_the_list() -> None:
    """The error says why each was left out."""
    with pytest.raises(BadInput, match="hide glue"):
        answered("which-liquid", residue="grease", liquids="water", nearby="veneer on hide glue")


def test_nothing_that_lifts() -> None:
    """Says so, and names the nearest."""
    found = answered("which-liquid", residue="shellac", liquids="heptane; white spirit")
    assert found.says.startswith("Nothing on this list is likely to lift shellac")


def test_water_is_never_blended_with_white_spirit() -> None:
    """Neither stands in one row of the ranking with the other."""
    found = answered("which-liquid", residue="dark rosin", liquids="water; white spirit; ethanol", most="3")
    assert found.table is not None
    assert not any("water" in row[0] and "white spirit" in row[0] for row in found.table.rows)


def test_parameters_of_a_blend() -> None:
    """The mean by volume; shares of their sum; acetone alone 47.1, 31.6, 21.3 %."""
    found = answered("blend-parameters", liquids="toluene; ethanol")
    assert [got(found, name).value for name in ("d", "p", "h")] == pytest.approx([16.9, 5.1, 10.7])
    acetone = answered("blend-parameters", liquids="acetone")
    assert [got(acetone, f"teas_{name}").value for name in "dph"] == pytest.approx([47.1, 31.6, 21.3], abs=0.05)


@pytest.mark.parametrize(
    ("liquids", "word"),
    [("ethanol; white spirit", "mixes"), ("ethanol; white spirit; water", "parts"), ("benzyl alcohol; naphtha", "may part"), ("dioxolane; water; acetone", "not known")],
)  # fmt: skip
def test_do_they_mix(liquids: str, word: str) -> None:
    """The worst of all pairs."""
    found = answered("do-they-mix", liquids=liquids)
    assert got(found, "together").value == word


def test_the_two_that_part_are_named() -> None:
    """Of three, the sentence says which."""
    found = answered("do-they-mix", liquids="acetone; white spirit; water")
    assert found.says == "White spirit and water do not stay in one layer: use them one after the other."


@pytest.mark.parametrize("liquids", ["ethanol", "ethanol; water; acetone; toluene; xylene; heptane; turpentine"])
def test_one_liquid_does_not_mix(liquids: str) -> None:
    """Two to six can be asked about."""
    with pytest.raises(BadInput, match="two to 6"):
        answered("do-they-mix", liquids=liquids)


def test_what_is_left_of_a_thinner() -> None:
    """Acetone leaves butyl acetate behind; the shares add up and each has its spread."""
    found = answered("what-is-left", liquids="acetone; butyl acetate")
    acetone, acetate = got(found, "share_1"), got(found, "share_2")
    assert float(acetone.value) < 20
    assert float(acetone.value) + float(acetate.value) == pytest.approx(100)
    assert acetone.low is not None
    assert acetone.high is not None
    assert acetone.low < float(acetone.value) < acetone.high
    with pytest.raises(BadInput, match="cannot be told"):
        answered("what-is-left", liquids="acetone")


def test_may_it_touch() -> None:
    """Caustic on shellac and oak: keep it off, three reasons; white spirit on marble: nothing known, which is no yes."""
    found = answered("may-it-touch", liquid="caustic", residues="shellac", nearby="tannin wood; veneer on hide glue")
    assert got(found, "verdict").value == "keep it off"
    assert got(found, "reasons").value == 3
    assert "caustic" in found.cautions
    assert found.says == "Keep caustic off shellac, veneer on hide glue and tannin wood."
    assert answered("may-it-touch", liquid="water", nearby="tannin wood").says == "Take care with water on tannin wood."
    assert got(answered("may-it-touch", liquid="water", nearby="tannin wood"), "verdict").value == "take care"
    nothing = answered("may-it-touch", liquid="aliphatic", nearby="marble")
    assert got(nothing, "verdict").value == "nothing known"
    assert "no yes" in nothing.says
    with pytest.raises(BadInput, match="Nothing is named"):
        answered("may-it-touch", liquid="water")


def test_parameter_from_heat() -> None:
    """Pentane, the example of the library chemicals 1.5.2: 14.358 MPa^0.5."""
    found = answered("parameter-from-heat", heat="26.4033", molar_volume="116.055", celsius="25.05")
    assert got(found, "total").value == pytest.approx(14.35768, abs=1e-4)


def test_what_the_shop_knows_of_liquids() -> None:
    """An own don't keeps a liquid out, by its name or its family; an own number says whether two stay in one layer."""
    dont = {
        "key": "1", "liquids": ["white spirit"], "material": "shellac", "level": "Leave out", "reason": "It bloomed.",
    }  # fmt: skip
    own = Rows({"avoid": (dont,)})
    typed = {"residue": "grease", "spare": "shellac", "liquids": "white spirit; heptane"}
    found = ask(BY_NAME["which-liquid"], typed, own)
    assert got(found, "best").value == "heptane"
    assert any("It bloomed." in line for line in found.limits)
    thinner = {"key": "quay thinner", "molar_mass": 128.0, "hansen_d": 16.5, "hansen_p": 1.0, "hansen_h": 2.0}
    number = {"key": "quay thinner", "group": "aliphatic", "number_low": 29.0, "number_high": 29.0}
    mixes = Rows({"liquids": (thinner,), "mixing": (number,)})
    asked = ask(BY_NAME["do-they-mix"], {"liquids": "quay thinner; white spirit"}, mixes)
    assert got(asked, "together").value == "mixes"
