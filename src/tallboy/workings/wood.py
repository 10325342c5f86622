"""Water in wood, and what wood weighs, as it is asked about at the bench."""

from __future__ import annotations

import numpy as np

from tallboy.sums import wood
from tallboy.sums.air_series import MEASURED_SPREAD
from tallboy.sums.spreads import carried_spread
from tallboy.tables import woods
from tallboy.tables.rows import Row
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Grid, Lead, Mark, Plot, Working
from tallboy.workings.telling import said

GRAVITY_SPREAD = 0.10
"""[1] one standard deviation of a single board's specific gravity about its species, as a share; Wood Handbook, from memory."""
SHOWN = 8

_CELSIUS = Asked("celsius", "Air temperature", "°C", 0, 60)
_HUMIDITY = Asked("humidity", "Relative humidity", "%", 1, 99)
_WOOD = Asked("wood", "Wood", kind="row", table="woods")
_MOISTURE = Asked(
    "moisture", "Moisture content", "%", 0, 30, default=10.0, help="Of the oven-dry mass; indoors 6 to 12 %."
)
_BOARD = (
    Asked("length", "Length", "mm", 1, 10_000),
    Asked("width", "Width", "mm", 1, 3000),
    Asked("thickness", "Thickness", "mm", 0.5, 500),
)
_LATE = "Wood follows the air late: a thin drawer side in weeks, a thick top in months, under a finish later still."


def _settles(given: Given) -> Answer:
    t, h = given.number("celsius"), given.number("humidity")
    moisture, newer = wood.equilibrium_moisture(t, h), wood.equilibrium_moisture_2021(t, h)
    sure = (given.number("celsius_spread"), given.number("humidity_spread"))
    spread = carried_spread(wood.equilibrium_moisture, (t, h), sure)
    return Answer(
        results=(
            Got("moisture", "Wood settles at", moisture, "%", max(0.0, moisture - spread), moisture + spread),
            Got("newer", "By the handbook's newer form", newer, "%"),
            Got("between", "The two forms are apart by", abs(newer - moisture), "%", digits=2),
        ),
        working=(
            f"eq. 4-5 with T = {t:g} °C, h = {h / 100:g}: M = 1800/W (K h/(1 - K h) + (K1 K h + 2 K1 K2 K² h²)/(1 + K1 K h + K1 K2 K² h²))",
            f"M = {moisture:.2f} %",
            f"eq. 4-6: M = 100 (A T (1 - T/Tc)^B ln(1 - h))^(C T^D), T in kelvin = {newer:.2f} %",
            f"spread = what {sure[0]:g} °C and {sure[1]:g} % do to eq. 4-5, as squares = {spread:.2f} %",
        ),
        sources=("wood-handbook-2010", "wood-handbook-2021"),
        says=f"Left long in this air, wood settles at about {moisture:.1f} %, give or take {max(spread, 0.5):.1f}.",
        limits=(_LATE, "Species differ by a percent or so, most in damp air; wood that dries stays a little damper than wood that takes up."),
        leads=tuple(
            Lead(name, {"celsius_now": f"{t:g} °C", "humidity_now": f"{h:g} %"}) for name in ("wood-movement", "seasonal-gap")
        ),
        plots=(_settling_plot(given, t, h, moisture),),
    )  # fmt: skip


def _settling_plot(given: Given, t: float, h: float, moisture: float) -> Plot:
    humid = np.linspace(0, 95, 96)
    warm = np.full(96, t)
    older, newer = wood.equilibrium_moisture(warm, humid), wood.equilibrium_moisture_2021(warm, humid)
    return Plot(
        "Moisture of wood over humidity", "relative humidity", "%", "moisture content", "%",
        (
            Curve("eq. 4-5, of the handbook's table", tuple(humid.tolist()), tuple(older.tolist())),
            Curve("eq. 4-6, the newer form", tuple(humid.tolist()), tuple(newer.tolist()), dashed=True),
        ),
        (Mark(h, moisture, f"{moisture:.1f} %"),),
        f"At {said(given, t, '°C', None)} wood holds more the damper the air, and much more from 80 % on; at {h:g} % it holds {moisture:.1f} %.",
    )  # fmt: skip


def _humidity_for(given: Given) -> Answer:
    t, moisture = given.number("celsius"), given.number("moisture")
    humidity = wood.humidity_for_moisture(t, moisture)
    newer = wood.humidity_for_moisture_2021(t, moisture)
    spread = carried_spread(wood.humidity_for_moisture, (t, moisture), (0.0, given.number("spread")))
    low, high = max(0.0, humidity - spread), min(100.0, humidity + spread)
    return Answer(
        results=(
            Got("humidity", "Relative humidity that keeps it there", humidity, "%", low, high),
            Got("newer", "By the handbook's newer form", newer, "%"),
        ),
        working=(
            f"eq. 4-5 turned round by halving: the RH at which it gives {moisture:g} % at {t:g} °C = {humidity:.1f} %",
            f"eq. 4-7: h = 1 - exp((M/100)^(1/(C T^D)) / (A T (1 - T/Tc)^B)) = {newer:.1f} %",
            f"spread = what {given.number('spread'):g} % of moisture does = {spread:.1f} %",
        ),
        sources=("wood-handbook-2010", "wood-handbook-2021"),
        says=f"Wood at {moisture:g} % stays there in air of about {humidity:.0f} %; in drier air it shrinks, in damper it swells.",
        limits=(_LATE,),
    )


def _oven(given: Given) -> Answer:
    wet, dry, balance = given.number("wet"), given.number("dry"), given.number("balance")
    moisture = wood.moisture_content(wet, dry)
    spread = carried_spread(wood.moisture_content, (wet, dry), (balance, min(balance, dry / 4)))
    return Answer(
        results=(
            Got("moisture", "Moisture content", moisture, "%", max(0.0, moisture - spread), moisture + spread),
            Got("water", "Water in it", wet - dry, "g"),
        ),
        working=(
            f"M = 100 (wet - dry) / dry = 100 · ({wet:g} - {dry:g}) / {dry:g} = {moisture:.2f} %",
            f"spread = what {balance:g} g on each weighing does = {spread:.2f} %",
        ),
        sources=("wood-handbook-2021",),
        cautions=("heat",),
        says=f"The wood held {moisture:.1f} % of its dry mass in water.",
        limits=(
            "Weigh at once after cutting; dry at about 103 °C until two weighings an hour apart agree. Resin and finish boil off too.",
        ),
    )


def _weight(given: Given) -> Answer:
    row, moisture = given.row("wood"), given.number("moisture")
    basic = woods.gravity_basic(row)
    gravity = wood.gravity_at(basic, moisture)
    density = wood.density_at(gravity, moisture)
    size = (given.number("length"), given.number("width"), given.number("thickness"))
    grams = wood.board_mass(*size, density)
    kg, spread = grams / 1000, grams / 1000 * GRAVITY_SPREAD
    return Answer(
        results=(
            Got("mass", "Mass", kg, "kg", kg - spread, kg + spread),
            Got("density", "A cubic metre of it", density, "kg/m³", density * (1 - GRAVITY_SPREAD), density * (1 + GRAVITY_SPREAD)),
            Got("gravity", f"Specific gravity at {moisture:g} %", gravity),
        ),
        working=(
            f"basic specific gravity of {row['key']} = {basic:.3f}",
            f"G = Gb / (1 - 0.265 Gb (1 - M/30)) = {basic:.3f} / (1 - 0.265 · {basic:.3f} · (1 - {moisture:g}/30)) = {gravity:.3f}",
            f"density = 1000 G (1 + M/100) = 1000 · {gravity:.3f} · {1 + moisture / 100:.3f} = {density:.0f} kg/m³",
            f"mass = {size[0]:g} · {size[1]:g} · {size[2]:g} mm³ · {density:.0f} kg/m³ = {kg:.2f} kg",
            "spread = a tenth: one board about its species, from memory of the Wood Handbook",
        ),
        sources=tuple(
            dict.fromkeys((str(row.get("gravity_source", row.get("source", "memory"))), "wood-handbook-2021", "memory"))
        ),
        cautions=("heavy-lift",) if kg > 25 else (),
        says=f"Such a board of {row['key']} weighs about {said(given, kg, 'kg')}, give or take {said(given, spread, 'kg')}.",
        limits=("Boards of one species differ by a tenth and more; knots, resin and worm holes are left out.",),
    )  # fmt: skip


def _which(given: Given) -> Answer:
    moisture = given.number("moisture")
    size = (given.number("length"), given.number("width"), given.number("thickness"))
    cubic_mm = size[0] * size[1] * size[2]
    density = given.number("mass") / cubic_mm * 1e6
    gravity = density / 1000 / (1 + moisture / 100)
    basic = wood.basic_gravity(gravity, moisture)
    known = [(row, woods.gravity_basic(row)) for row in given.table("woods") if woods.has_gravity(row)]
    near = sorted(known, key=lambda pair: abs(pair[1] - basic))[:SHOWN]
    likely = [str(row["key"]) for row, own in known if abs(own - basic) <= GRAVITY_SPREAD * own]
    return Answer(
        results=(
            Got("density", "A cubic metre of it", density, "kg/m³"),
            Got("gravity", "Specific gravity, dry mass over green volume", basic),
            Got("likely", "Woods within a tenth of it", len(likely)),
        ),
        working=(
            f"density = mass / volume = {given.number('mass'):g} g / {cubic_mm / 1000:.0f} cm³ = {density:.0f} kg/m³",
            f"G = density / 1000 / (1 + M/100) = {gravity:.3f}",
            f"Gb = G / (1 + 0.265 G (1 - M/30)) = {basic:.3f}",
        ),
        sources=("wood-handbook-2021", "wood-handbook-2010"),
        says=_likely_words(likely),
        limits=(
            "Weight never names a wood: it rules some out. Grain, rays, pores, colour and smell decide.",
            "Woods of the table without a specific gravity are not compared.",
        ),
        table=Grid(
            ("Wood", "Specific gravity", "Against yours"),
            tuple((str(row["key"]), f"{own:.2f}", f"{100 * (own / basic - 1):+.0f} %") for row, own in near),
            "The nearest by weight; dry mass over green volume.",
        ),
    )


def _likely_words(likely: list[str]) -> str:
    if not likely:
        return "No wood of the table weighs as much or as little: look at the sizes again."
    return f"By its weight it could be: {', '.join(likely)}."


def _facts(given: Given) -> Answer:
    row = given.row("wood")
    results = [Got("botanical", "Botanical name", str(row.get("botanical", "not given")))]
    results += [Got(name, label, float(row[name]), unit) for name, label, unit in _FACTS if name in row]
    if woods.has_gravity(row):
        results.append(Got("density", "A cubic metre of it at 12 %", 1120 * woods.gravity_12(row), "kg/m³"))
    results.append(Got("tannin", "Turns blue-black with iron", "yes" if row.get("tannin") else "nothing read"))
    results.append(Got("acid", "Acid vapour", str(row.get("acid", "nothing read"))))
    keys = [str(row[name]) for name in row if name.endswith("_source")]
    return Answer(
        results=tuple(results),
        working=tuple(_fact_lines(row)),
        sources=tuple(dict.fromkeys([*keys, str(row.get("source", "memory"))])),
        says=_fact_words(row),
        limits=(str(row["note"]),) if row.get("note") else (),
    )


_FACTS = (
    ("radial_coefficient", "Movement across the rings, each percent", ""),
    ("tangential_coefficient", "Movement along the rings, each percent", ""),
    ("radial_shrinkage", "Shrinkage across the rings, green to oven-dry", "%"),
    ("tangential_shrinkage", "Shrinkage along the rings, green to oven-dry", "%"),
    ("volume_shrinkage", "Shrinkage in volume", "%"),
    ("gravity_12", "Specific gravity at 12 %", ""),
    ("basic_gravity", "Specific gravity, dry mass over green volume", ""),
)
_PARTS = (
    ("coefficients", "movement"),
    ("shrinkage", "shrinkage"),
    ("gravity", "specific gravity"),
    ("tannin", "stain with iron"),
    ("acid", "acid vapour"),
)


def _fact_lines(row: Row) -> list[str]:
    """How each group of columns was obtained."""
    lines = [f"{words}: {row[f'{part}_evidence']}" for part, words in _PARTS if f"{part}_evidence" in row]
    return lines or ["the shop's own figures"]


def _fact_words(row: Row) -> str:
    words = [f"{str(row['key'])[0].upper()}{str(row['key'])[1:]}"]
    words.append("moves with its water, more along the rings than across them;")
    words.append(
        "keep iron and water apart on it and take brass or stainless screws."
        if row.get("tannin")
        else "of iron stain nothing was read."
    )
    return " ".join(words)


SUMS = (
    Working(
        "wood-moisture", "wood", "Moisture of wood in this air", "At what moisture does wood settle in this air?",
        (
            _CELSIUS, _HUMIDITY,
            Asked("celsius_spread", "The thermometer is good to", "K", 0, 5, default=MEASURED_SPREAD[0]),
            Asked("humidity_spread", "The hygrometer is good to", "%", 0, 20, default=MEASURED_SPREAD[1]),
        ),
        _settles, {"celsius": "20 °C", "humidity": "55 %"},
    ),
    Working(
        "humidity-for-wood", "wood", "Humidity that keeps wood as it is", "In what air does wood stay at this moisture?",
        (
            _CELSIUS, Asked("moisture", "Moisture content", "%", 1, 28),
            Asked("spread", "The moisture is good to", "%", 0, 5, default=1.0),
        ),
        _humidity_for, {"celsius": "20 °C", "moisture": "9 %"},
    ),
    Working(
        "oven-dry", "wood", "Moisture by weighing", "How much water was in this piece of wood?",
        (
            Asked("wet", "Mass as it is", "g", 0.1, 100_000), Asked("dry", "Mass after the oven", "g", 0.1, 100_000),
            Asked("balance", "The balance is good to", "g", 0, 100, default=0.1),
        ),
        _oven, {"wet": "112.4 g", "dry": "101.9 g"},
    ),
    Working(
        "wood-weight", "wood", "Weight of a board", "What does this board weigh?",
        (_WOOD, *_BOARD, _MOISTURE), _weight,
        {"wood": "black walnut", "length": "1.4 m", "width": "520 mm", "thickness": "22 mm", "moisture": "9 %"},
    ),
    Working(
        "which-wood", "wood", "Which wood weighs so much", "Which woods weigh what this board weighs?",
        (Asked("mass", "Mass", "g", 1, 1_000_000), *_BOARD, _MOISTURE), _which,
        {"mass": "412 g", "length": "300 mm", "width": "100 mm", "thickness": "20 mm", "moisture": "10 %"},
    ),
    Working("wood-facts", "wood", "What is known of a wood", "How does this wood move, weigh and stain?", (_WOOD,), _facts, {"wood": "red oak"}),
)  # fmt: skip
