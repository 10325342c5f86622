"""Wheels and feet as they are asked: the figures of the pages against hand sums, and the words that go with them."""

from __future__ import annotations

import pytest
from tests.workings.answers import answered, value

from tallboy.errors import BadInput, TallboyError


def test_a_circle_through_points() -> None:
    """3, 4, 5: centre (5, 5), radius 5; three points alone leave no spread."""
    found = answered("circle-fit", points="10 = 5; 5 = 10; 0 = 5; 8 = 9")
    assert value(found, "diameter") == pytest.approx(10)
    assert value(found, "x") == pytest.approx(5)
    assert "three points" in answered("circle-fit", points="10 = 5; 5 = 10; 0 = 5").says
    assert "90° only" not in " ".join(found.limits)
    arc = answered("circle-fit", points="40 = 20; 38.5 = 27.6; 34.1 = 34.2; 27.7 = 38.4", scatter="0.05 mm")
    assert "ten times less sure" in arc.limits[0]


def test_callipers_say_what_they_cannot_see() -> None:
    """An oval by half the range; three equal diameters still may hide three corners."""
    found = answered("wheel-roundness", diameters="40.2; 40; 39.8; 40", scatter="0")
    assert value(found, "roundness") == pytest.approx(0.2)
    blind = answered("wheel-roundness", diameters="40; 40; 40")
    assert value(blind, "roundness") == 0
    assert value(blind, "hidden") == pytest.approx(40 * 0.154701, rel=1e-5)
    assert "Three or five lobes callipers cannot see." in blind.says
    assert "an oval" in found.says
    assert "an oval" not in blind.says
    assert any("radii from the axle instead" in limit for limit in blind.limits)


def test_radii_see_three_lobes() -> None:
    """r = 20 + 0.5 cos 3t at twelve angles: 1 mm, and the table names it."""
    found = answered(
        "wheel-roundness", radii="20.5; 20; 19.5; 20; 20.5; 20; 19.5; 20; 20.5; 20; 19.5; 20", scatter="0.01 mm"
    )
    assert value(found, "zone") == pytest.approx(1.0)
    assert found.table is not None
    assert ("three lobes", "1.000 mm") in found.table.rows


def test_nothing_to_judge_by() -> None:
    """Neither diameters nor radii; too few radii."""
    with pytest.raises(BadInput, match="nothing to judge"):
        answered("wheel-roundness")
    with pytest.raises(BadInput, match="six or more"):
        answered("wheel-rolling", radii="20; 20; 20")


@pytest.mark.parametrize(
    ("radii", "word", "bumps"),
    [
        ("25; 25; 25; 25; 25; 25; 25; 25", "keep", 0),
        ("26; 25.5; 25; 24.5; 24; 24.5; 25; 25.5", "true up", 1),
        ("29; 27.8; 25; 22.2; 21; 22.2; 25; 27.8", "replace", 1),
        ("25.11; 25; 24.89; 25; 25.11; 25; 24.89; 25", "measure again", 2),
    ],
)
def test_a_wheel_is_judged(radii: str, word: str, bumps: int) -> None:
    """Round, off centre, far off centre, a little oval and not known well enough."""
    found = answered("wheel-rolling", radii=radii, scatter="0.04 mm")
    assert value(found, "verdict") == word
    assert value(found, "bumps") == bumps
    begins = {
        "keep": "Keep it: ",
        "true up": "True it up: ",
        "replace": "Replace it: ",
        "measure again": "Measure again: ",
    }
    assert found.says.startswith(begins[word])
    assert ("machines" in found.cautions) == (word == "true up")


def test_a_cracked_wheel_is_replaced() -> None:
    """However round it is."""
    found = answered("wheel-rolling", radii="25; 25; 25; 25; 25; 25; 25; 25", cracked="yes")
    assert value(found, "verdict") == "replace"
    assert any("cracked" in line for line in found.working)


def test_a_flat_by_length_or_depth() -> None:
    """Radius 25, chord 10: 0.505 mm; the same back; words from harmless to hopeless."""
    found = answered("flat-spot", radius="25", chord="10")
    assert value(found, "depth") == pytest.approx(0.505, abs=0.0005)
    assert value(answered("flat-spot", radius="25", depth="0.50510257"), "chord") == pytest.approx(10, abs=1e-5)
    assert "hardly be felt" in answered("flat-spot", radius="25", chord="2").says
    assert "keep it or turn it out" in answered("flat-spot", radius="100", chord="15").says
    assert "knocks" in found.says
    assert "replace" in answered("flat-spot", radius="25", chord="30").says
    with pytest.raises(BadInput, match="neither"):
        answered("flat-spot", radius="25")


def test_over_a_step() -> None:
    """300 N over 10 cm with 25 cm: 400 N level, 240 N at the least."""
    found = answered("step", radius="250 mm", step="100 mm", load=f"{300 / 9.80665} kg")
    assert value(found, "level") == pytest.approx(400)
    assert value(found, "least") == pytest.approx(240)
    with pytest.raises(TallboyError, match="step"):
        answered("step", radius="25", step="25", load="10")


def test_on_the_level() -> None:
    """Lever 1.52 mm over 30 mm; a wheel smaller than the lever is refused."""
    found = answered("rolling-pull", pair="wood on wood", radius="30", load="60")
    assert value(found, "pull") == pytest.approx(60 * 9.80665 * 1.52 / 30)
    with pytest.raises(BadInput, match="would not roll"):
        answered("rolling-pull", pair="iron on wood", radius="5", load="60")


def test_load_on_each_wheel() -> None:
    """The trade's own example, 60 kg; pressure only when the tread is told; dents on oak, none told on stone."""
    bare = answered("wheel-load", empty="30", load="150")
    assert value(bare, "need") == pytest.approx(60)
    assert len(bare.results) == 3
    oak = answered("wheel-load", empty="30", load="150", tread="steel", floor="oak floor", width="20", radius="25")
    assert "leave dents" in oak.says
    rubber = answered(
        "wheel-load", empty="5", load="5", tread="hard rubber", floor="oak floor", width="30", radius="40"
    )
    assert "no dent" in rubber.says
    stone = answered(
        "wheel-load", empty="30", load="150", tread="steel", floor="stone or concrete floor", width="20", radius="25"
    )
    assert "at its peak" in stone.says


def test_a_piece_that_rocks() -> None:
    """One leg 3 mm short wants 3 mm; within the spread it is told to measure again; even legs stand firm."""
    found = answered("rock", legs="700; 700; 700; 697")
    assert value(found, "pack") == pytest.approx(3)
    assert value(found, "pack_foot") == "back left"
    assert "pack 3.0 mm under back left, or 1.5 mm under that and under front right" in found.says
    assert "measure again" in answered("rock", legs="700; 700; 700; 699.5").says
    assert answered("rock", legs="700; 700; 700; 700").says == "It stands firm."
    assert value(answered("rock", legs="700; 700; 700; 700", floor="0; 0; 0; 4"), "gap") == pytest.approx(4)
    with pytest.raises(BadInput, match="Give four"):
        answered("rock", legs="700; 700; 700")


def test_which_three_carry() -> None:
    """By the corner that the weight leans to; over the diagonal it rocks; even legs all touch."""
    feet = "0 = 0 = 700; 600 = 0 = 698; 600 = 400 = 700; 0 = 400 = 698"
    leaning = answered("which-three", feet=feet, centre_x="340", centre_y="200", weight="32")
    assert value(leaning, "carriers") == "1, 2, 3"
    assert value(leaning, "gap") == pytest.approx(4)
    rocking = answered("which-three", feet=feet, centre_x="300", centre_y="200", weight="32")
    assert value(rocking, "rocks") is True
    assert "4.0 mm under the foot in the air" in rocking.says
    even = answered("which-three", feet=feet.replace("698", "700"), centre_x="300", centre_y="200", weight="32")
    assert even.says == "All feet touch; it tips only when the centre of mass moves 200 mm."


@pytest.mark.parametrize("count", [361, 721, 2000])
def test_as_many_radii_as_the_sums_take(count: int) -> None:
    """A gauge that reads at every degree and finer: the answer, and nothing about samples that nobody asked for."""
    radii = "; ".join(f"{25 + 0.01 * (k % 3)}" for k in range(count))
    assert answered("wheel-roundness", radii=radii, scatter="0").says
    assert answered("wheel-rolling", radii=radii, scatter="0").says
