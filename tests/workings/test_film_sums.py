"""Coats as they are asked: words, figures and refusals of spreading rate, thickness, litres, cans and areas."""

from __future__ import annotations

from decimal import Decimal

import pytest
from tests.workings.answers import answered, got, value

from tallboy.errors import BadInput, TallboyError
from tallboy.tables.rows import Rows
from tallboy.workings.asking import ask
from tallboy.workings.known import working
from tallboy.workings.telling import lines


def test_spreading_rate_of_an_alkyd_primer() -> None:
    """A maker's sheet: 42 % at 35 µm covers 12 m²/l; a cup gun leaves 28 % of it on the wood."""
    found = answered("spreading-rate", volume_solids="42", dry_film="35", method="cup gun")
    assert value(found, "rate") == pytest.approx(12.0)
    assert value(found, "practical") == pytest.approx(12 * 0.28)
    assert found.cautions == ("wet-coat", "spray")
    with pytest.raises(BadInput, match="would cover"):
        answered("spreading-rate", volume_solids="100", dry_film="5")


def test_thickness_from_each_of_three() -> None:
    """8 mil wet at 35 % is 2.8 mil dry (published); the same found from the dry film and from the rate."""
    wet = answered("film-thickness", volume_solids="35", wet="8 mil")
    assert value(wet, "dry") / 25.4 == pytest.approx(2.8)
    dry = answered("film-thickness", volume_solids="35", dry="2.8 mil")
    assert value(dry, "wet") == pytest.approx(value(wet, "wet"))
    rate = answered("film-thickness", volume_solids="35", rate=f"{value(wet, 'rate')}")
    assert value(rate, "dry") == pytest.approx(value(wet, "dry"))


def test_a_share_of_the_mix_is_more_than_of_the_paint() -> None:
    """15 % of the mix is 17.65 % of the paint, and leaves a thinner film."""
    mix = answered("film-thickness", volume_solids="40", wet="100", thinned="15", thinned_as="mix")
    paint = answered("film-thickness", volume_solids="40", wet="100", thinned="15", thinned_as="paint")
    assert value(mix, "thinned") == pytest.approx(0.1765, abs=0.0001)
    assert value(paint, "dry") == pytest.approx(34.78, abs=0.01)
    assert value(mix, "dry") < value(paint, "dry")
    assert "open-flame" in mix.cautions


@pytest.mark.parametrize("typed", [{}, {"wet": "100", "dry": "30"}])
def test_thickness_wants_just_one(typed: dict[str, str]) -> None:
    """None or two: which is told."""
    with pytest.raises(BadInput, match="Give one of"):
        answered("film-thickness", volume_solids="40", **typed)


def test_litres_say_what_to_have_ready() -> None:
    """6 m² at 10 m²/l, three coats on bare open grain by brush: 6 * 3.5 / 9.5; the high end is what to have."""
    found = answered("litres", area="6", coats="3", rate="10", method="brush", surface="bare open grain")
    assert value(found, "litres") == pytest.approx(6 * 3.5 / 9.5)
    high = got(found, "litres").high
    assert high is not None
    assert found.says.startswith(f"Have {high:.1f} l ready")
    assert value(found, "first_coat") == pytest.approx(1.5 * value(found, "each_coat"))
    assert found.table is not None
    assert [row[0] for row in found.table.rows][-1] == "cup gun"


def test_two_rates_of_a_label_widen_the_spread() -> None:
    """From and to, in either order, with the middle between."""
    one, two = (answered("litres", area="6", rate=a, rate_to=b) for a, b in (("8", "12"), ("12", "8")))
    assert one.results == two.results
    assert value(one, "litres") == pytest.approx(value(answered("litres", area="6", rate="10"), "litres"))
    narrow, wide = got(answered("litres", area="6", rate="10"), "litres").high, got(one, "litres").high
    assert narrow is not None
    assert wide is not None
    assert wide > narrow


def test_wiping_warns_of_cloths() -> None:
    """Cloths with drying oil catch fire by themselves."""
    assert "oily-rags" in answered("litres", area="2", method="wiped on and off").cautions


def test_the_shop_s_own_way_counts_too() -> None:
    """An own row stands in the comparison, and can be chosen."""
    own = {"key": "my old brush", "words": "my old brush", "low": 0.1, "middle": 0.2, "high": 0.3, "evidence": "own"}
    found = ask(working("litres"), {"area": "8", "coats": "1", "method": "my old brush"}, Rows({"losses": (own,)}))
    assert value(found, "litres") == pytest.approx(8 / 10 / 0.8)
    assert found.table is not None
    assert "my old brush" in [row[0] for row in found.table.rows]


def test_cans_are_bought_at_least_cost() -> None:
    """1.4 l less 150 ml on the shelf: two of 750 ml cost less than one of 2.5 l; prices keep their hundredths."""
    found = answered("cans", needed="1.4 l", cans="375 ml = 9.40; 750 ml = 14.90; 2.5 l = 36", on_shelf="150 ml")
    assert got(found, "buy").value == "2 × 750 ml"
    assert got(found, "cost").value == Decimal("29.80")
    assert "29.80" in found.says
    assert got(found, "left_over").value == "250 ml"
    assert got(found, "left_over_worth").value == Decimal("4.97")
    assert found.table is not None
    assert found.table.rows[0][0] == "2 × 750 ml"


def test_with_enough_on_the_shelf_nothing_is_bought() -> None:
    """And nothing costs anything."""
    found = answered("cans", needed="300 ml", cans="750 ml = 14.90", on_shelf="1 l")
    assert found.says == "There is enough on the shelf: buy nothing."
    assert [one.name for one in found.results] == ["buy", "cost", "left_over"]


def test_areas_of_the_dresser() -> None:
    """As reckoned by hand in the tests of the sum, a tenth to either side; drawers inside and out as well."""
    found = ask(working("areas"), working("areas").example)
    assert value(found, "front_frame") == pytest.approx(0.215)
    assert got(found, "total").high == pytest.approx(1.1 * value(found, "total"))
    assert value(found, "drawers_inside") > 0
    assert any("front frame = 1000 × 800 less" in line for line in found.working)
    bare = answered("areas", width="600", height="400", depth="300")
    assert value(bare, "total") == pytest.approx(0.18 + 3 * 0.24)
    assert "drawers_inside" not in {one.name for one in bare.results}


def test_a_turned_leg_and_its_girth() -> None:
    """A plain cylinder is the same by both; a leg with beads is short by girth."""
    plain = answered("turned-leg", profile="0 = 40; 700 = 40", count="4")
    assert value(plain, "all") == pytest.approx(4 * 0.0879646, rel=1e-5)
    assert "is the same" in plain.says
    beads = answered("turned-leg", profile="\n".join(f"{10 * i} = {60 if i % 2 else 30}" for i in range(40)), count="1")
    assert "short of that" in beads.says
    assert "and 27 more in the same way" in beads.working[12]
    with pytest.raises(BadInput, match="no length"):
        answered("turned-leg", profile="10 = 40; 10 = 60")


def test_a_moulding_by_girth_or_outline() -> None:
    """One of them, not both and not neither."""
    assert value(answered("moulding", run="2.4 m", girth="60 mm"), "area") == pytest.approx(0.144)
    by_outline = answered("moulding", run="1 m", outline="0 = 0; 30 = 0; 30 = 40")
    assert value(by_outline, "girth") == pytest.approx(70)
    for typed in ({}, {"girth": "60", "outline": "0 = 0; 30 = 0"}):
        with pytest.raises(TallboyError):
            answered("moulding", run="1 m", **typed)


def test_an_imperial_shop_is_answered_in_square_feet() -> None:
    """The total in ft²; a label's ft²/gal is read."""
    areas = working("areas")
    assert any("ft²" in line for line in lines(areas, ask(areas, areas.example), "imperial"))
    found = answered("litres", area="100 ft²", rate="400 ft²/gal", coats="1", method="brush")
    assert value(found, "litres") == pytest.approx(3.785411784 / 4 / 0.95, rel=1e-4)
