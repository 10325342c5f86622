"""Screws and doors as they are asked: words, figures and refusals."""

from __future__ import annotations

import pytest
from tests.workings.answers import answered, got, value

from tallboy.errors import NotFound, TallboyError


def test_a_screw_in_walnut() -> None:
    """Equation 8-10 with the table's 0.55: 136.5 N a millimetre for No. 8 (computed apart), and a fifth to either side twice."""
    found = answered("screw-holding", wood="black walnut", screw="8", thread="20 mm")
    assert value(found, "out") == pytest.approx(20 * 136.5, rel=1e-3)
    assert got(found, "out").low == pytest.approx(0.6 * value(found, "out"))
    assert value(found, "allowed") < value(found, "out") / 4
    assert not any(one.name == "margin" for one in found.results)


def test_end_grain_is_warned_of() -> None:
    """Three quarters, and no code lets anything hang from it."""
    side = answered("screw-holding", wood="black walnut", screw="8", thread="20")
    end = answered("screw-holding", wood="black walnut", screw="8", thread="20", grain="end")
    assert value(end, "out") == pytest.approx(0.75 * value(side, "out"))
    assert value(end, "allowed") == 0
    assert "End grain is erratic" in end.limits[0]
    assert "a building code lets nothing hang from it" in end.says
    assert "a building code lets nothing" not in side.says
    assert "A building code lets only" in side.says


def test_what_was_typed_is_what_is_told() -> None:
    """A specific gravity that was typed stands in the sentence, not a wood it does not belong to; sideways is told with its angle."""
    found = answered("screw-holding", gravity="0.45", thread="20", load="15", count="3", angle="0")
    assert "in wood of specific gravity 0.45 holds" in found.says
    assert "pine" not in found.says
    assert "At 0° from the surface it holds about 350 N." in found.says
    assert "For a load of 15 N 3 of them are ample" in found.says


def test_a_screw_without_a_gauge() -> None:
    """Measured across its shank: metric or hand-made. As thick as a No. 8 it holds as much; its drills come from its own size."""
    eight = answered("screw-holding", wood="European oak", screw="8", thread="20")
    same = answered("screw-holding", wood="European oak", across="4.17 mm", thread="20")
    assert value(same, "out") == pytest.approx(value(eight, "out"))
    assert same.says.startswith("A screw 4.2 mm across with 20 mm of thread in European oak")
    assert any("hand-made" in line for line in same.limits)
    drills = answered("pilot-holes", across="4 mm", wood="European oak")
    assert value(drills, "pilot") == pytest.approx(0.9 * 2 / 3 * 4)
    assert value(answered("door-on-hinges", mass="4", width="450", hinges="60; 560", across="3 mm"), "screw_holds") > 0


def test_a_load_gets_a_verdict() -> None:
    """Ample, enough at rest, not enough; straight out and at an angle."""
    words = {
        load: answered("screw-holding", wood="black walnut", screw="8", thread="20", load=load).says
        for load in ("100", "1000", "2500")
    }
    assert "ample" in words["100"]
    assert "enough at rest" in words["1000"]
    assert "not enough" in words["2500"]
    slanting = answered("screw-holding", wood="black walnut", screw="8", thread="20", load="100", angle="45")
    assert any("P Q / (P sin²" in line for line in slanting.working)


def test_a_wood_beyond_the_table_is_told_straight_out_only() -> None:
    """Sideways the classes end at 0.74: nothing is made up."""
    found = answered(
        "screw-holding", wood="black walnut", gravity="1.1", screw="8", thread="20", load="100", angle="10"
    )
    assert "not known" in str(got(found, "sideways").value)
    assert "is not known" in found.says


def test_your_own_gravity_comes_first() -> None:
    """What was typed takes the place of the table's."""
    typed = answered("screw-holding", wood="black walnut", gravity="0.35", screw="8", thread="1")
    assert value(typed, "out") == pytest.approx(55.3, abs=0.1)


def test_pilots_are_a_range_by_kind_of_wood() -> None:
    """Softwood below hardwood, in millimetres and in 64ths; all gauges stand in the table."""
    hard, soft = (answered("pilot-holes", screw="8", wood=wood) for wood in ("white oak", "eastern white pine"))
    assert value(soft, "pilot") < value(hard, "pilot")
    assert got(hard, "pilot_inches").value == "3/32 in to 1/8 in"
    assert hard.table is not None
    assert len(hard.table.rows) == 12
    assert any("no hole at all" in line for line in soft.working)


def test_a_stripped_hole_is_rescued_in_order() -> None:
    """Sliver first; then the first way that fits and holds amply, here the longer screw; with thin wood the dowel or nothing."""
    found = answered("stripped-hole", wood="eastern white pine", screw="6", thread="12", thickness="22", load="20")
    assert got(found, "first").value == "a sliver of wood with hide glue"
    assert got(found, "firm").value == "a longer screw of the same gauge"
    assert found.table is not None
    assert [row[2] for row in found.table.rows] == ["yes", "yes", "yes", "yes", "no"]
    heavy = answered("stripped-hole", wood="eastern white pine", screw="6", thread="12", thickness="22", load="400")
    assert got(heavy, "firm").value == "none of these will do"
    assert "patch the wood" in heavy.says
    thin = answered("stripped-hole", wood="eastern white pine", screw="6", thread="12", thickness="12")
    assert got(thin, "firm").value == "a glued dowel"


def test_a_hinge_that_takes_the_next_gauge() -> None:
    """Measured hole and countersink are used; the thickest screw has no next."""
    roomy = answered(
        "stripped-hole", wood="black walnut", screw="6", thread="12", hinge_hole="4.5 mm", countersink="9 mm"
    )
    assert roomy.table is not None
    assert roomy.table.rows[-1][2] == "yes"
    with pytest.raises(NotFound, match="no screw thicker"):
        answered("stripped-hole", wood="black walnut", screw="14", thread="12")


def test_a_door_on_two_hinges() -> None:
    """4 kg, 450 mm wide, hinges 500 mm apart: 17.65 N (computed apart), shared by three screws."""
    found = answered(
        "door-on-hinges", mass="4 kg", width="450 mm", hinges="60; 560", wood="black walnut", screw="6", thread="14"
    )
    assert value(found, "pull") == pytest.approx(17.65, abs=0.005)
    assert value(found, "screw_pull") == pytest.approx(17.65 / 3, abs=0.005)
    assert "ample" in found.says
    assert "less than 4 diameters" in found.limits[0]
    assert found.table is None


def test_a_third_hinge_gets_a_table() -> None:
    """From the top down, with what is pulled out and what pushed in; a heavy door brings its caution."""
    found = answered(
        "door-on-hinges", mass="20 kg", width="700 mm", hinges="100; 900; 1700", wood="white oak", gravity="0.68", thread="30",
    )  # fmt: skip
    assert found.table is not None
    assert [row[0] for row in found.table.rows] == ["1700 mm", "900 mm", "100 mm"]
    assert found.table.rows[0][1].endswith("out")
    assert found.table.rows[2][1].endswith("in")
    assert found.cautions == ("heavy-lift",)


def test_a_door_in_a_wood_beyond_the_table() -> None:
    """The pull alone is judged, and that is said."""
    found = answered(
        "door-on-hinges", mass="4 kg", width="450", hinges="60; 560", wood="black walnut", gravity="1.2", thread="14"
    )
    assert "against the pull" in found.says


@pytest.mark.parametrize("hinges", ["60", "60; 60", ""])
def test_a_door_needs_two_hinges_apart(hinges: str) -> None:
    """One, two at one height, none."""
    with pytest.raises(TallboyError):
        answered("door-on-hinges", mass="4", width="450", hinges=hinges, wood="black walnut")


def test_an_end_grain_door_is_warned_of() -> None:
    """Screws into the end of a rail."""
    found = answered("door-on-hinges", mass="4", width="450", hinges="60; 560", wood="black walnut", grain="end")
    assert "End grain is erratic" in found.limits[0]


def test_a_door_without_weight_has_an_endless_margin() -> None:
    """Nothing in it but air: ample."""
    found = answered("door-on-hinges", mass="0.01", width="10", hinges="0; 5000", wood="black walnut")
    assert "ample" in found.says
