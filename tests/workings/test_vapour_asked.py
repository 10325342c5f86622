"""Vapours as they are asked at the bench: figures of the reference pages, unknown never told as fine, cautions always there."""

from __future__ import annotations

import pytest
from tests.workings.answers import from_example, got, value

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.vapour import ppm_from_milligrams
from tallboy.tables import load
from tallboy.tables.rows import Rows
from tallboy.workings.asking import ask
from tallboy.workings.known import working

VAPOUR = (
    "jar-vapour", "coat-vapour", "head-space", "fresh-air", "room-fills", "room-clears", "spill", "flammable-class", "stored-liquids",
    "mixture-limit", "day-exposure", "vapour-units",
)  # fmt: skip
NO_LIMIT = ("limonene", "benzyl alcohol", "dimethyl sulfoxide")


@pytest.mark.parametrize("name", VAPOUR)
def test_each_tells_its_cautions_first_of_all(name: str) -> None:
    """A caution beside every sum of vapours, and that label, sheet and local rules come first."""
    answer = from_example(name)
    assert answer.cautions
    assert name == "vapour-units" or "Follow the label, the safety data sheet and local rules" in answer.limits[0]


def test_an_open_jar_of_acetone() -> None:
    """The reference jar: 2.5 g/h through the neck alone, of which the mouth takes a little; the lid keeps most of it in."""
    answer = from_example("jar-vapour", diameter="80", freeboard="50", gap="0.5", path="10")
    rate, lid = got(answer, "open"), got(answer, "lidded")
    assert rate.value == pytest.approx(2.27, abs=0.02)
    assert rate.low == pytest.approx(1.74, abs=0.03)
    assert rate.high == pytest.approx(5.5, abs=0.1)
    assert lid.value == pytest.approx(0.3136, abs=0.001)
    assert lid.high is not None
    assert rate.low is not None
    assert lid.high < rate.low
    assert "lid keeps about 86 %" in answer.says


def test_a_tray_of_acetone() -> None:
    """Full to the brim at 0.1 m/s, the reference tray: the conservative screen gives 335 g/h, the pool model 106."""
    rate = got(from_example("jar-vapour", diameter="300", freeboard="0"), "open")
    assert rate.low == pytest.approx(106 * 0.97, rel=0.01)
    assert rate.high == pytest.approx(335 * 1.03, rel=0.01)


def test_what_the_room_comes_to() -> None:
    """Mass is kept: the average over the hours times the fresh air, and what is left in the room, make up what left the jar."""
    answer = from_example("jar-vapour", room="40", changes="2", mixing="1", hours="4")
    rate, end, average = (float(value(answer, name)) for name in ("open", "air", "average"))
    per_ppm = 1 / ppm_from_milligrams(1.0, 58.079, 20.0)
    carried = average * per_ppm * 8 / 4 * 80 * 4 / 1000
    assert carried + end * per_ppm * 40 / 1000 == pytest.approx(rate * 4, rel=1e-6)


def test_more_jars_more_vapour_and_more_air_less() -> None:
    """Three jars give three times as much; open windows thin it, as the table of changes says."""
    one, three = from_example("jar-vapour"), from_example("jar-vapour", jars="3")
    assert value(three, "open") == pytest.approx(3 * float(value(one, "open")))
    assert one.table is not None
    ppm = {row[0]: float(row[2]) for row in one.table.rows}
    assert ppm["lid on and windows open"] < ppm["lid on"] < ppm["as it stands"]
    assert ppm["windows open, 5 changes an hour"] < ppm["as it stands"]
    assert ppm["freeboard 100 mm"] < ppm["as it stands"]


def test_the_list_of_limits_is_named() -> None:
    """The lowest unless another list is chosen; what that list does not have is unknown."""
    assert "20 ppm (Ontario)" in from_example("jar-vapour", liquid="toluene").says
    assert "200 ppm (OSHA)" in from_example("jar-vapour", liquid="toluene", list="OSHA").says
    assert "2 ppm (EPA)" in from_example("jar-vapour", liquid="dichloromethane").says
    none = from_example("jar-vapour", liquid="toluene", list="EPA")
    assert value(none, "limit_share") == value(none, "fresh_air") == "unknown"
    assert "cannot be told" in none.says


def test_dichloromethane_is_far_above_and_says_so() -> None:
    """One open jar passes the limit many times over; the caution speaks of supplied air, not of a filter mask."""
    answer = from_example("jar-vapour", liquid="dichloromethane")
    assert "above the limit of 2 ppm" in answer.says
    assert "passes the limit of 16 ppm for 15 minutes" in answer.says
    assert "dichloromethane" in answer.cautions
    assert "solvent-vapour" not in answer.cautions


@pytest.mark.parametrize("liquid", NO_LIMIT)
def test_an_unknown_limit_is_never_fine(liquid: str) -> None:
    """The share is unknown, the sentence says so, and the working asks for more air."""
    for name in ("jar-vapour", "coat-vapour"):
        answer = (
            from_example(name, liquid=liquid, solvent="50 %")
            if name == "coat-vapour"
            else from_example(name, liquid=liquid)
        )
        assert value(answer, "limit_share") == "unknown"
        assert "within" not in answer.says
        assert "more fresh air" in answer.says
    assert value(from_example("fresh-air", liquid=liquid), "limit") == "unknown"


def test_an_unknown_limit_of_burning_is_never_fine() -> None:
    """N-methylpyrrolidone: the head-space, the spill and its share are unknown."""
    head = from_example("head-space", liquid="n-methylpyrrolidone")
    assert value(head, "head_space") == "unknown"
    assert "treat it as if it could" in head.says
    spill = from_example("spill", liquid="n-methylpyrrolidone")
    assert value(spill, "ml_25") == value(spill, "share") == "unknown"
    assert value(from_example("flammable-class", liquid="dichloromethane"), "category") == "unknown"


def test_a_liquid_whose_pressure_is_not_known() -> None:
    """Ammonia: asked for a jar, a plain refusal that names the way on; its limits serve elsewhere."""
    with pytest.raises(BadInput, match="ammonia"):
        from_example("jar-vapour", liquid="ammonia")
    assert float(value(from_example("fresh-air", liquid="ammonia", list="OSHA"), "limit")) > 0


@pytest.mark.parametrize(
    ("liquid", "word"),
    [("acetone", "too rich"), ("toluene", "can catch fire"), ("limonene", "too lean"), ("water", "does not burn")],
)
def test_closed_jars(liquid: str, word: str) -> None:
    """At 20 °C, as the reference pages tell them."""
    assert value(from_example("head-space", liquid=liquid), "head_space") == word


def test_a_doubtful_closed_jar_can_catch_fire() -> None:
    """Butyl acetate at 20 °C stands at its lower limit: within the spread of its pressure the worse is told."""
    answer = from_example("head-space", liquid="butyl acetate")
    assert value(answer, "head_space") == "can catch fire"
    assert "solvent-vapour" in answer.cautions


def test_a_coat_of_shellac() -> None:
    """2 m² of 100 µm with 80 % ethanol hold 160 ml: 126 g; in a closed room that is above the short-time limit."""
    answer = from_example("coat-vapour")
    assert value(answer, "solvent") == pytest.approx(126.4, abs=0.2)
    assert "passes the limit of 1000 ppm for 15 minutes (Ontario)" in answer.says
    slow = got(answer, "peak")
    assert slow.low is not None
    assert slow.high is not None
    assert slow.low < float(slow.value) < slow.high


def test_a_coat_that_the_air_cannot_hold() -> None:
    """Benzyl alcohol hardly evaporates: the sum says that the air would be full long before."""
    assert "The air can hold no more than" in from_example("coat-vapour", liquid="benzyl alcohol").says
    with pytest.raises(BadInput, match="more ethanol than the room has space for"):
        from_example("coat-vapour", area="100", room="1")


def test_fresh_air_for_the_reference_case() -> None:
    """Half a litre of acetone an hour, K 6, 500 ppm at 20 °C: 1964 m³/h (own arithmetic of the reference pages)."""
    answer = from_example("fresh-air", grams="395.15", mixing="6", list="Ontario")
    assert value(answer, "limit") == pytest.approx(1964, abs=3)
    assert float(value(answer, "quarter")) < float(value(answer, "tenth")) < float(value(answer, "limit"))


def test_how_a_room_clears() -> None:
    """1000 to 100 ppm in 40 m³ with 80 m³/h: 69.1 minutes."""
    assert value(from_example("room-clears"), "minutes") == pytest.approx(69.08, abs=0.05)


def test_how_a_room_fills() -> None:
    """Toluene reaches its limit in minutes, and a tenth of what burns never; that is told in words."""
    answer = from_example("room-fills")
    assert isinstance(value(answer, "limit"), float)
    assert value(answer, "tenth") == "never, with this fresh air"
    assert "settle" in answer.says


def test_a_spill() -> None:
    """Acetone in 40 m³ at 20 °C: 306 ml to a tenth, 764 ml to a quarter (density 790; here 792)."""
    answer = from_example("spill", liquid="acetone", room="40")
    assert value(answer, "ml_10") == pytest.approx(306, abs=1.5)
    assert value(answer, "ml_25") == pytest.approx(764, abs=2.5)
    with pytest.raises(BadInput, match="space"):
        from_example("spill", liquid="acetone", spilt="100 l", room="1")


def test_a_category_from_the_label_comes_before_the_table() -> None:
    """Butyl acetate is category 2 by the table; a label that says 27 °C makes it 3."""
    assert value(from_example("flammable-class", liquid="butyl acetate"), "category") == "2"
    labelled = from_example("flammable-class", liquid="butyl acetate", flash="27 °C")
    assert value(labelled, "category") == "3"
    assert any("label decides" in limit for limit in labelled.limits)


def test_what_may_be_kept() -> None:
    """130 gallons of category 2 outside a cabinet are too many; an unknown one counts as the worst."""
    assert value(from_example("stored-liquids", category_2="492 l", category_3="0"), "allowed") is False
    assert value(from_example("stored-liquids", category_unknown="100 l"), "allowed") is False
    assert value(from_example("stored-liquids"), "allowed") is True


def test_several_vapours() -> None:
    """A worked sum as in 1910.1000(d)(2); with an unknown one there is no verdict."""
    answer = from_example(
        "mixture-limit", liquids="acetone; methyl ethyl ketone; toluene", ppm="500; 45; 40", list="OSHA"
    )
    assert value(answer, "share") == pytest.approx(92.5)
    assert value(answer, "within") is True
    doubtful = from_example("mixture-limit", liquids="acetone; limonene", ppm="500; 45", list="OSHA")
    assert value(doubtful, "within") == "unknown"
    assert "limonene" in doubtful.says
    with pytest.raises(BadInput, match="do not fit"):
        from_example("mixture-limit", liquids="acetone; toluene", ppm="500")


def test_a_day() -> None:
    """The published day: 81.25 ppm, within 200; above Ontario's 20."""
    assert value(from_example("day-exposure"), "average") == pytest.approx(81.25)
    assert "within the limit of 200 ppm (OSHA)" in from_example("day-exposure").says
    assert "above the limit of 20 ppm (Ontario)" in from_example("day-exposure", list="lowest").says


def test_one_unit_for_another() -> None:
    """1000 ppm of acetone are 2374 mg/m³ at 25 °C, and back; both or neither is refused."""
    assert value(from_example("vapour-units", ppm="1000"), "mg") == pytest.approx(2373.9, abs=0.5)
    assert value(from_example("vapour-units", ppm="", mg="2373.9"), "ppm") == pytest.approx(1000, abs=0.2)
    for typed in ({"ppm": "1", "mg": "1"}, {"ppm": "", "mg": ""}):
        with pytest.raises(BadInput, match="either"):
            from_example("vapour-units", **typed)


def test_a_thinner_of_the_shop() -> None:
    """A row from a data sheet: pressure at 20 °C and boiling point make a jar; its missing limits stay unknown."""
    own = {
        "key": "quay thinner",
        "molar_mass": 95.0,
        "pressure_20": 3000.0,
        "boiling": 105.0,
        "density": 820.0,
        "note": "From its sheet.",
    }
    answer = ask(working("jar-vapour"), {"liquid": "quay thinner"}, Rows({"liquids": (own,)}))
    assert float(value(answer, "open")) > 0
    assert value(answer, "burning_share") == "unknown"
    assert {"solvent-vapour", "open-flame"} <= set(answer.cautions)
    assert any("guessed" in limit for limit in answer.limits)


def test_out_of_a_liquids_range() -> None:
    """Limonene's pressure is not known below 5 °C; ether about to boil is refused with a way on."""
    with pytest.raises(OutOfRange, match="Temperature of the liquid"):
        from_example("jar-vapour", liquid="limonene", celsius="1 °C")
    with pytest.raises(BadInput, match="about to boil"):
        from_example("jar-vapour", liquid="diethyl ether", celsius="34 °C")


@pytest.mark.parametrize("key", [row["key"] for row in load("liquids")["liquids"] if row["key"] != "ammonia"])
def test_every_liquid_can_stand_in_a_jar(key: str) -> None:
    """At 20 °C: figures in order, the plots carry both jars, sources told."""
    answer = from_example("jar-vapour", liquid=key)
    rate = got(answer, "open")
    assert rate.low is not None
    assert rate.high is not None
    assert 0 <= rate.low <= float(rate.value) <= rate.high
    assert {curve.label for curve in answer.plots[0].curves} >= {"open", "lid on"}
    assert len(answer.sources) >= 5
