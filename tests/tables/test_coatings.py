"""The tables of coatings and of sources: whole, resolved, plausible; and the label that stands in where a can is silent.

The figures themselves are statements about single products, common practice or memory, as each row says.
"""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime
from typing import Any

import pytest

from tallboy.errors import NotFound
from tallboy.sums.air_series import steady
from tallboy.sums.drying import dry_after
from tallboy.sums.rates import Law
from tallboy.tables import load
from tallboy.tables.coatings import coating, label_for
from tallboy.tables.load import NAMES

ROWS: list[dict[str, Any]] = load("coatings")["coatings"]
SOURCES: dict[str, dict[str, Any]] = {row["key"]: row for row in load("sources")["sources"]}
EVIDENCE = {"read", "transcription", "computed", "memory", "common practice"}
CLASSES = (
    "shellac", "acrylic primer", "acrylic paint", "alkyd primer", "alkyd paint", "oil varnish", "oil polyurethane",
    "waterborne varnish", "nitrocellulose lacquer", "boiled linseed oil", "raw oil", "chalk paint", "milk paint", "wax", "hide glue",
    "pva glue", "epoxy", "filler",
)  # fmt: skip


def test_the_classes_are_complete() -> None:
    """Eighteen, each once; a lost or doubled row shows."""
    assert tuple(row["key"] for row in ROWS) == CLASSES


def test_the_figures_were_not_changed_by_accident() -> None:
    """Column sums over the rows; they detect change and prove nothing."""
    sums = {
        name: round(sum(row.get(name, 0) for row in ROWS), 1)
        for name in (
            "touch_minutes",
            "recoat_from_minutes",
            "cure_minutes",
            "minimum_celsius",
            "spreading_rate",
            "volume_solids",
        )
    }
    assert sums == {
        "touch_minutes": 7360,
        "recoat_from_minutes": 15240,
        "cure_minutes": 342_720,
        "minimum_celsius": 174,
        "spreading_rate": 171.8,
        "volume_solids": 837.4,
    }


@pytest.mark.parametrize("row", ROWS, ids=CLASSES)
def test_a_class_is_plausible(row: dict[str, Any]) -> None:
    """Stages in their order, temperatures a workshop has, rates and solids a liquid has."""
    stages = [
        row[name]
        for name in ("touch_minutes", "recoat_from_minutes", "recoat_until_minutes", "cure_minutes")
        if name in row
    ]
    assert stages == sorted(stages)
    assert len(set(stages)) == len(stages)
    assert Law(row["law"])
    assert 20 <= row["celsius"] <= 25
    assert row["relative_humidity"] == 50
    assert 2 <= row["minimum_celsius"] <= 15
    assert 2 <= row["spreading_rate"] <= 30
    assert 10 <= row["volume_solids"] <= 100
    assert row["note"].endswith(".")


@pytest.mark.parametrize("row", ROWS, ids=CLASSES)
def test_film_and_spreading_rate_go_together(row: dict[str, Any]) -> None:
    """Solids over rate give a dry film of a few to a few hundred micrometres, the way a film is laid."""
    dry = 10 * row["volume_solids"] / row["spreading_rate"]
    assert 8 <= dry <= 320


@pytest.mark.parametrize("row", ROWS, ids=CLASSES)
def test_a_class_brings_the_cautions_its_steps_show(row: dict[str, Any]) -> None:
    """Each is one of the table of cautions; what burns forbids the flame, what dries by oxygen warns of rags."""
    assert set(row["cautions"]) <= {caution["key"] for caution in load("cautions")["cautions"]}
    assert not row["flammable"] or {"open-flame", "solvent-vapour"} & set(row["cautions"])
    assert (row["law"] == "oxidising") is ("oily-rags" in row["cautions"])
    assert (row["law"] == "two-part") is ("two-part-resin" in row["cautions"])


@pytest.mark.parametrize("name", NAMES)
def test_every_row_names_a_source_that_is_known(name: str) -> None:
    """In every table, also for the parts of a row that have a source of their own."""
    for table, rows in load(name).items():
        if table in ("about", "sources", "columns") or not isinstance(rows, list):
            continue
        for row in rows:
            keys = [value for key, value in row.items() if key == "source" or key.endswith("_source")]
            assert keys
            assert set(keys) <= set(SOURCES), row["key"]


@pytest.mark.parametrize("row", ROWS, ids=CLASSES)
def test_every_figure_says_how_it_was_seen(row: dict[str, Any]) -> None:
    """A figure is never said to be better seen than its source was."""
    for part in ("", "minimum_", "film_"):
        assert row[f"{part}evidence"] in EVIDENCE
        assert row[f"{part}evidence"] == SOURCES[row[f"{part}source"]]["evidence"]


@pytest.mark.parametrize("row", SOURCES.values(), ids=list(SOURCES))
def test_a_source_can_be_looked_up(row: dict[str, Any]) -> None:
    """Title, how it was seen, and what to keep in mind; each key once."""
    assert row["title"]
    assert row["evidence"] in EVIDENCE
    assert row["note"].endswith(".")
    assert Counter(source["key"] for source in load("sources")["sources"])[row["key"]] == 1


@pytest.mark.parametrize("name", NAMES)
def test_every_table_says_what_it_is(name: str) -> None:
    """A title and what stands behind it."""
    about = load(name)["about"]
    assert about["title"]
    assert about["evidence"]


def test_an_unknown_table_or_class_names_what_there_is() -> None:
    """No path can be smuggled in either."""
    with pytest.raises(NotFound, match="coatings"):
        load("../pyproject")
    with pytest.raises(NotFound, match="shellac, acrylic primer"):
        coating("distemper")


@pytest.mark.parametrize("key", CLASSES)
def test_a_class_alone_makes_a_label(key: str) -> None:
    """With its own air, and every figure marked as usual; in that air the coat dries in just that time."""
    label = label_for(key)
    assert label.law is Law(coating(key)["law"])
    assert label.celsius == coating(key)["celsius"]
    assert "recoat" in label.usual
    start = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
    found = dry_after(label, "recoat", start, steady(label.celsius, 50, start, 200))
    assert found.minutes == pytest.approx(coating(key)["recoat_from_minutes"])
    assert found.source.startswith(f"usual for {key} (")


def test_the_can_wins_and_the_class_fills_in() -> None:
    """Figures given are kept as they are; those left out are the class's, within the can's own order."""
    label = label_for("alkyd paint", recoat_from_minutes=240, celsius=20, minimum_celsius=None)
    assert label.recoat_from_minutes == 240
    assert label.touch_minutes == 240  # usually 300, but never after the next coat
    assert label.cure_minutes == 30240
    assert label.celsius == 20
    assert label.minimum_celsius == 4
    assert label.usual == ("touch", "cure")
    assert label_for("shellac", recoat_from_minutes=2880).cure_minutes == 2880
    late = label_for("shellac", touch_minutes=180)
    assert (late.touch_minutes, late.recoat_from_minutes, late.cure_minutes) == (180, 180, 1440)
    assert label_for("oil varnish", cure_minutes=600).recoat_from_minutes == 600


def test_a_window_is_not_made_up_of_two_cans() -> None:
    """The class's end of the window holds with the class's beginning only."""
    assert label_for("epoxy").recoat_until_minutes == 4320
    assert label_for("epoxy", recoat_from_minutes=5000).recoat_until_minutes is None
    assert label_for("epoxy", recoat_from_minutes=300, recoat_until_minutes=900).recoat_until_minutes == 900
    assert label_for("epoxy", cure_minutes=5000).recoat_until_minutes == 4320


def test_a_cold_label_lowers_the_usual_minimum() -> None:
    """A can whose figures hold at 10 °C dries at 10 °C."""
    assert label_for("oil polyurethane", touch_minutes=600, celsius=10).minimum_celsius == 10


def test_only_the_stage_that_is_the_can_s_own_is_said_to_be() -> None:
    """The working tells one from the other."""
    label = label_for("shellac", recoat_from_minutes=90)
    start = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
    air = steady(20, 55, start, 100)
    assert dry_after(label, "recoat", start, air).working[0].startswith("The label: 1 h 30 to the next coat")
    assert dry_after(label, "touch", start, air).working[0].startswith("Usual for shellac (US Army Technical Manual")
