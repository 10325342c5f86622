"""What is asked about wood: the words and figures of each sum."""

from __future__ import annotations

import pytest
from tests.workings.answers import got

from tallboy.errors import BadInput, OutOfRange, TallboyError
from tallboy.tables.rows import Row, Rows
from tallboy.workings.asking import ask
from tallboy.workings.kinds import Answer
from tallboy.workings.known import working

OWN: Row = {"key": "quay elm", "radial_shrinkage": 5.0, "tangential_shrinkage": 9.0, "gravity_12": 0.55}


def _asked(name: str, **typed: str) -> Answer:
    return ask(working(name), typed, Rows({"woods": (OWN,)}))


def test_wood_in_this_air() -> None:
    """20 °C and 65 %: 12.0 % by the table's form, 12.5 by the newer one; both are drawn."""
    answer = _asked("wood-moisture", celsius="20 °C", humidity="65 %")
    assert got(answer, "moisture").value == pytest.approx(11.996, abs=0.005)
    assert got(answer, "newer").value == pytest.approx(12.476, abs=0.001)
    assert len(answer.plots[0].curves) == 2
    assert "12.0 %" in answer.says


def test_air_for_this_wood() -> None:
    """The other way round; wood wetter than any air is refused."""
    assert got(_asked("humidity-for-wood", celsius="20", moisture="11.996"), "humidity").value == pytest.approx(
        65, abs=0.01
    )
    with pytest.raises(OutOfRange, match="Moisture"):
        _asked("humidity-for-wood", celsius="60", moisture="28")


def test_weighing() -> None:
    """110 g that were 100 g dry held 10 %; the oven has its caution."""
    answer = _asked("oven-dry", wet="110 g", dry="100 g")
    assert got(answer, "moisture").value == pytest.approx(10)
    assert got(answer, "moisture").high == pytest.approx(10.149, abs=0.001)
    assert "heat" in answer.cautions
    with pytest.raises(OutOfRange, match="Wet mass"):
        _asked("oven-dry", wet="90 g", dry="100 g")


def test_weight_of_a_board() -> None:
    """A cubic decimetre of walnut at 12 % weighs 0.55 · 1.12 kg; a heavy one has its caution."""
    size = {"length": "100 mm", "width": "100 mm", "thickness": "100 mm"}
    answer = _asked("wood-weight", wood="black walnut", moisture="12", **size)
    assert got(answer, "mass").value == pytest.approx(0.616, abs=1e-6)
    assert answer.cautions == ()
    table_top = {"length": "2 m", "width": "1 m", "thickness": "30 mm"}
    assert _asked("wood-weight", wood="American beech", **table_top).cautions == ("heavy-lift",)
    with pytest.raises(BadInput, match="specific gravity for willow"):
        _asked("wood-weight", wood="willow", **size)


def test_weight_of_the_woods_on_the_bench() -> None:
    """A cubic decimetre at 12 % weighs what the page on that wood prints: 0.70 kg of oak, 0.52 of pine; it is named."""
    size = {"length": "100 mm", "width": "100 mm", "thickness": "100 mm"}
    for wood, kg in {"European oak": 0.702, "Scots pine": 0.520, "European beech": 0.712, "lime": 0.490}.items():
        answer = _asked("wood-weight", wood=wood, moisture="12", **size)
        assert got(answer, "mass").value == pytest.approx(kg, abs=0.001)
        assert "european-wood-pages" in answer.sources or "merchant-wood-pages" in answer.sources


def test_which_wood_weighs_so_much() -> None:
    """A board as heavy as basswood is near basswood; an own wood is among them; lead is no wood."""
    size = {"length": "300 mm", "width": "100 mm", "thickness": "20 mm", "moisture": "12"}
    answer = _asked("which-wood", mass="248.6 g", **size)
    assert answer.table is not None
    assert answer.table.rows[0][0] == "American basswood"
    own = _asked("which-wood", mass="369.6 g", **size)
    assert "quay elm" in own.says
    with pytest.raises(TallboyError):
        _asked("which-wood", mass="6 kg", **size)
    light = _asked("which-wood", mass="120 g", **size)
    assert "No wood of the table" in light.says


def test_facts_of_a_wood() -> None:
    """What is known with its sources; where nothing was read it says so."""
    oak = _asked("wood-facts", wood="european oak")
    assert got(oak, "tannin").value == "yes"
    assert got(oak, "acid").value == "high"
    assert "getty-panel-paintings" in oak.sources
    maple = _asked("wood-facts", wood="sugar maple")
    assert got(maple, "tannin").value == "nothing read"
    assert "the shop's own figures" in _asked("wood-facts", wood="quay elm").working


def test_movement_by_the_short_form() -> None:
    """The whole chain from two airs: 450 mm of cherry swell 6.46 mm."""
    answer = _asked(
        "wood-movement",
        wood="black cherry",
        size="450 mm",
        celsius_now="21",
        humidity_now="30",
        celsius_then="21",
        humidity_then="65",
    )
    assert got(answer, "change").value == pytest.approx(6.462, abs=0.002)
    assert any("eq. 13-2" in line for line in answer.working)
    assert "swells by about 6.5 mm" in answer.says


def test_movement_from_measured_moisture_outside_the_range() -> None:
    """A meter's reading comes before the air; from 18 % the straight line is carried on, and says so."""
    answer = _asked(
        "wood-movement", wood="mahogany", cut="quarter", size="300 mm", moisture_now="18", moisture_then="8"
    )
    assert float(str(got(answer, "change").value)) == pytest.approx(300 * (1 - 2 * 0.00172) / (1 + 8 * 0.00172) - 300)
    assert any("outside 6 to 14 %" in line for line in answer.working)
    assert "shrinks" in answer.says
    still = _asked("wood-movement", wood="mahogany", size="300 mm", moisture_now="9", moisture_then="9")
    assert still.says == "It stays as it is."


def test_wood_that_is_sold_as_a_group() -> None:
    """Northern red oak has no coefficient: the group is named; from green its shrinkage serves."""
    with pytest.raises(BadInput, match="group"):
        _asked("wood-movement", wood="northern red oak", size="300 mm")
    answer = _asked("wood-shrinkage", wood="northern red oak", size="200 mm", moisture_now="30", moisture_then="0")
    assert got(answer, "change").value == pytest.approx(-17.2)
    with pytest.raises(BadInput, match="no tangential shrinkage for red oak"):
        _asked("wood-shrinkage", wood="red oak", size="200 mm")


DRAWER = {"wood": "Scots pine", "size": "180 mm", "celsius_now": "20", "humidity_now": "55"}


def test_the_gap_to_leave_and_what_becomes_of_it() -> None:
    """Left as told, it keeps its clearance; quarter-sawn wood needs less."""
    flat = _asked("seasonal-gap", **DRAWER)
    assert flat.says.startswith("Leave 2.2 mm now")
    assert float(str(got(flat, "narrowest").value)) > 0.5
    quarter = _asked("seasonal-gap", cut="quarter", **DRAWER)
    assert float(str(got(quarter, "leave").value)) < float(str(got(flat, "leave").value))
    assert [mark.label for mark in flat.plots[0].marks] == ["driest", "dampest"]


@pytest.mark.parametrize(
    ("gap", "widest", "words"),
    [
        ("0.3 mm", "", "It will bind in the dampest time: the gap is 0.6 mm short"),
        ("1 mm", "", "It should just clear in the dampest time, and may bind"),
        ("3 mm", "", "It will not bind: about 2.1 mm are left"),
        ("3 mm", "4 mm", "gapes more than 4 mm"),
    ],
)
def test_a_gap_that_is_there(gap: str, widest: str, words: str) -> None:
    """Too small, doubtful, enough, and wider than will do."""
    assert words in _asked("seasonal-gap", gap_now=gap, widest=widest, **DRAWER).says


def test_the_plot_of_the_year_ends_where_the_figures_do() -> None:
    """Driest at both ends, dampest in the middle."""
    answer = _asked("seasonal-gap", gap_now="2 mm", **DRAWER)
    gap = answer.plots[0].curves[0].y
    assert gap[0] == pytest.approx(gap[-1]) == pytest.approx(got(answer, "widest").value)
    assert gap[24] == pytest.approx(got(answer, "narrowest").value)
    assert min(gap) == gap[24]


def test_a_year_the_wrong_way_round() -> None:
    """A driest month damper than the dampest."""
    with pytest.raises(BadInput, match="Change the two round"):
        _asked("seasonal-gap", humidity_dry="70", humidity_damp="40", **DRAWER)


def test_a_panel_in_its_grooves() -> None:
    """It enters by more than the hold even when shrunk; a deeper hold needs a wider panel and deeper grooves."""
    panel = {"wood": "European oak", "cut": "quarter", "sight": "320 mm"}
    answer = _asked("panel-groove", **panel)
    assert float(str(got(answer, "enters_driest").value)) > 6
    assert float(str(got(answer, "groove").value)) > float(str(got(answer, "enters_dampest").value))
    assert "335 mm wide and the grooves 9.5 mm deep" in answer.says
    deeper = _asked("panel-groove", hold="10 mm", **panel)
    assert float(str(got(deeper, "panel").value)) == pytest.approx(float(str(got(answer, "panel").value)) + 8, abs=0.2)


def test_an_own_wood_moves_like_any_other() -> None:
    """From its two shrinkages."""
    answer = _asked("wood-movement", wood="Quay Elm", size="300 mm", moisture_now="8", moisture_then="12")
    assert got(answer, "change").value == pytest.approx(300 * 9 / (3000 - 180) * 4)
