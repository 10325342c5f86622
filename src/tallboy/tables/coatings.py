"""From what a can says, and what is usual for its class where it is silent, to a label that drying can be worked out with."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tallboy.errors import NotFound
from tallboy.sums.rates import Label, Law
from tallboy.tables.load import load

_STAGES = {
    "touch_minutes": "touch",
    "recoat_from_minutes": "recoat",
    "recoat_until_minutes": "until",
    "cure_minutes": "cure",
}

UNKNOWN_CLASS_CAUTIONS = ("solvent-vapour", "open-flame", "oily-rags")
"""Cautions of a material of no class in the table: what is not known is taken for the worse."""

_IN_ORDER = ("touch_minutes", "recoat_from_minutes", "cure_minutes")


def coating(key: str) -> Mapping[str, Any]:
    """The row of one class, such as "shellac"; NotFound names the classes there are."""
    rows = {row["key"]: row for row in load("coatings")["coatings"]}
    if key not in rows:
        raise NotFound(f"There is no kind of coating called “{key}”.", f"There are: {', '.join(rows)}.")
    found: Mapping[str, Any] = rows[key]
    return found


def cautions_for(key: str) -> tuple[str, ...]:
    """Keys of the cautions that a material of this class brings to any step it is used in."""
    rows = {row["key"]: row["cautions"] for row in load("coatings")["coatings"]}
    return tuple(rows.get(key, UNKNOWN_CLASS_CAUTIONS))


def gives_off_vapour(key: str) -> bool:
    """Whether a material of this class fills the air with a vapour that burns; of no class known, it is taken for one that does.

    Nothing is said of no class at all (""): a stripper or a cleaner, of which the route itself says what it is.
    """
    rows = {row["key"]: row["flammable"] for row in load("coatings")["coatings"]}
    return bool(key) and bool(rows.get(key, True))


def label_for(
    class_key: str,
    *,
    source: str = "the label",
    touch_minutes: float | None = None,
    recoat_from_minutes: float | None = None,
    recoat_until_minutes: float | None = None,
    cure_minutes: float | None = None,
    celsius: float | None = None,
    relative_humidity: float | None = None,
    minimum_celsius: float | None = None,
) -> Label:
    """The label of a product: its own figures where it gives them, the class's usual ones elsewhere.

    Figures are those of `Label`; None counts as not given. Which stages are only usual stands in `Label.usual`. Usual times give way
    to the label's own order: touch never after the next coat, cure never before it. When the label gives no time at all, the class's
    own air holds too; a window's end is taken from the class only together with its beginning.
    """
    row = coating(class_key)
    values = {
        "touch_minutes": touch_minutes,
        "recoat_from_minutes": recoat_from_minutes,
        "recoat_until_minutes": recoat_until_minutes,
        "cure_minutes": cure_minutes,
        "celsius": celsius,
        "relative_humidity": relative_humidity,
        "minimum_celsius": minimum_celsius,
    }
    own = {name: value for name, value in values.items() if value is not None}
    minutes = _minutes(row, own)
    given = [name for name in _STAGES if name in own]
    air = {name: own.get(name, row[name]) if given else row[name] for name in ("celsius", "relative_humidity")}
    return Label(
        law=Law(row["law"]),
        touch_minutes=minutes["touch_minutes"],
        recoat_from_minutes=minutes["recoat_from_minutes"],
        recoat_until_minutes=minutes["recoat_until_minutes"],
        cure_minutes=minutes["cure_minutes"],
        celsius=air["celsius"],
        relative_humidity=air["relative_humidity"],
        minimum_celsius=own.get("minimum_celsius", min(row["minimum_celsius"], air["celsius"])),
        source=source,
        usual=tuple(stage for name, stage in _STAGES.items() if name not in own and minutes[name] is not None),
        usual_source=f"usual for {class_key} ({_source_words(row)})",
    )


def _source_words(row: Mapping[str, Any]) -> str:
    """The title of the row's source, and how it was seen when it was not simply read there."""
    title: str = next(source["title"] for source in load("sources")["sources"] if source["key"] == row["source"])
    plain = row["evidence"] == "read" or row["source"] in ("common-practice", "memory")
    return title if plain else f"{title}, {row['evidence']}"


def _minutes(row: Mapping[str, Any], own: Mapping[str, float]) -> dict[str, float | None]:
    """The four times, the label's own first; a usual one is moved to where the label's own leave room for it."""
    found: dict[str, float | None] = {name: own.get(name, row.get(name)) for name in _STAGES}
    if "recoat_from_minutes" in own and "recoat_until_minutes" not in own:
        found["recoat_until_minutes"] = None
    for place, name in enumerate(_IN_ORDER):
        usual = found[name]
        if name not in own and usual is not None:
            least = max([0.0, *(own[before] for before in _IN_ORDER[:place] if before in own)])
            most = min([usual, *(own[after] for after in _IN_ORDER[place + 1 :] if after in own)])
            found[name] = max(least, most)
    return found
