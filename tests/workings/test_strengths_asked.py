"""Cuts and thinning as they are asked: words, figures, cautions."""

from __future__ import annotations

import pytest
from tests.workings.answers import answered, value

from tallboy.errors import BadInput


def test_a_two_pound_cut() -> None:
    """Half a litre of spirit wants 120 g; the other cuts stand beside it; flames are warned of."""
    found = answered("shellac-cut", volume="500 ml", cut="2")
    assert value(found, "flakes") == pytest.approx(119.83, abs=0.01)
    assert found.says == "Dissolve 120 g of flakes in 500 ml of spirit for a 2 lb cut; it makes about 600 ml."
    assert found.table is not None
    assert ("1 lb", "59.9 g", "120 g") in found.table.rows
    assert "open-flame" in found.cautions


def test_a_cut_is_thinned() -> None:
    """1.2 l of a two-pound cut hold a litre of spirit; a litre more makes one pound of it. It cannot be made stronger so."""
    found = answered("shellac-cut", volume="1.2 l", cut_now="2", cut="1")
    assert value(found, "added") == pytest.approx(1000)
    assert value(found, "cut") == pytest.approx(1)
    with pytest.raises(BadInput, match="weaker"):
        answered("shellac-cut", volume="500 ml", cut_now="1", cut="2")


def test_a_weaker_mix() -> None:
    """A litre at 5 % from 25 %: one part to four, the strong into the weak; nothing of nothing is refused."""
    found = answered("weaker-mix", volume="1 l", strong="25", wanted="5")
    assert (value(found, "strong"), value(found, "thinner")) == (200.0, 800.0)
    assert found.says.startswith("Pour 200 ml of the strong one into 800 ml of what thins it, 1 to 4.0,")
    assert "acid" in found.cautions
    with pytest.raises(BadInput, match="nothing"):
        answered("weaker-mix", volume="1 l", strong="25", wanted="0")
