"""Vapour from a jar or a tray in this room, with the lid and without, as it is asked at the bench."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from tallboy.sums.evaporation import Rate, film_rate, jar_rate, lid_rate, open_rate
from tallboy.sums.room_air import Source, concentration, steady_concentration
from tallboy.sums.vapour import Limit, Liquid, parts_per_million, ppm_from_milligrams
from tallboy.workings import vapour_words as words
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Grid, Plot, Working
from tallboy.workings.telling import rounded
from tallboy.workings.vapour_words import Room

POINTS = 121
AIRED = 5.0
"""Changes of air an hour with windows open on two sides; common practice, no source."""
DAY_HOURS = 8.0
SOURCES = (
    "stefan-tube", "epa-chemsteer", "kawamura-mackay-1987", "mackay-wesenbeeck-2014", "flat-plate", "fuller-1966", *words.SOURCES,
)  # fmt: skip
LIMITS = (
    words.FIRST,
    "The published models differ by a factor of about five; go by the high end. A liquid cools as it evaporates, so strong ones are told rather too high.",
    "A lid is reckoned as an even gap; one that tilts or is lifted often leaks more, a screwed one less.",
    words.IN_THE_SUN,
    *words.ROOM_LIMITS,
)


@dataclass(frozen=True)
class _Jar:
    """Jars of one kind as they stand: mouth and freeboard [mm], draught [m/s], the lid's gap and overlap [mm], how many."""

    diameter: float
    freeboard: float
    air_speed: float
    gap: float
    path: float
    count: int


@dataclass(frozen=True)
class _Scene:
    """What stands where, for how long."""

    liquid: Liquid
    celsius: float
    jar: _Jar
    room: Room
    hours: float

    def open(self) -> Rate:
        """All the jars without lids [g/h], the spread of the pressure included."""
        jar, shape = self.jar, (words.spreads_at(self.liquid, self.celsius), self.jar.diameter, self.jar.freeboard)
        low, likely, high = (
            jar_rate(self.liquid.molar_mass, p, *shape, jar.air_speed, self.celsius)
            for p in words.pressures(self.liquid, self.celsius)
        )
        return Rate(jar.count * low.low, jar.count * likely.likely, jar.count * high.high)

    def lidded(self) -> Rate:
        """The same with the lids on: through the gap, and never more than from open jars."""
        jar, brim = self.jar, self.open()
        d, rim = words.spreads_at(self.liquid, self.celsius), math.pi * jar.diameter
        low, likely, high = (
            jar.count * lid_rate(self.liquid.molar_mass, p, d, rim, jar.gap, jar.path, self.celsius)
            for p in words.pressures(self.liquid, self.celsius)
        )
        return Rate(min(0.9 * low, brim.low), min(likely, brim.likely), min(1.2 * high, brim.high))

    def end(self, rate: Rate) -> Rate:
        """What the room holds at the end [ppm]."""
        return words.parts(rate, self._after_one_gram(), self.liquid, self.celsius)

    def average(self, rate: Rate) -> Rate:
        """Average over the working day [ppm]: these hours in the room, the rest in clean air. What was carried off tells it."""
        carried_off = 1000 * self.hours - self._after_one_gram() * self.room.volume
        mean = carried_off * self.room.mixing / (self.room.fresh_air * self.hours)
        return words.parts(rate, mean * min(self.hours, DAY_HOURS) / DAY_HOURS, self.liquid, self.celsius)

    def _after_one_gram(self) -> float:
        """What one gram an hour comes to at the end [mg/m³]."""
        room = self.room
        return float(concentration(self.hours * 60, [Source(1.0)], room.volume, room.fresh_air, room.mixing))


def _jar_vapour(given: Given) -> Answer:
    scene = _scene(given)
    liquid, row, room = scene.liquid, given.row("liquid"), scene.room
    limit, short = words.limit_of(given, liquid), words.short_limit_of(given, liquid)
    rate, lid = scene.open(), scene.lidded()
    end, average = scene.end(rate), scene.average(rate)
    lower, tenth = words.lower_ppm(liquid), words.lower_ppm(liquid, 0.1)
    ppm = limit.ppm if limit else None
    return Answer(
        results=(
            words.spread("open", "Leaves without a lid", rate, "g/h"),
            words.spread("lidded", "Leaves with the lid on", lid, "g/h"),
            words.spread("air", f"In the room's air after {scene.hours:g} h, open", end, "ppm"),
            words.spread("lidded_air", f"after {scene.hours:g} h, with the lid", scene.end(lid), "ppm"),
            words.spread("average", "Average over an 8-hour day, open", average, "ppm"),
            words.shares("limit_share", "Share of the limit for 8 hours", average, ppm),
            words.shares("short_share", "Share of the limit for a short time", end, short.ppm if short else None),
            words.shares("burning_share", "Share of the lower limit of burning", end, lower),
            words.fresh_air_got(
                "fresh_air", "Fresh air that keeps the room at the limit", rate, ppm, liquid, scene.celsius, room.mixing
            ),
            words.fresh_air_got(
                "fresh_air_burning", "Fresh air for a tenth of the lower limit of burning", rate, tenth, liquid,
                scene.celsius, room.mixing,
            ),
        ),
        working=(*_jar_lines(scene, rate, lid), *_room_lines(scene, rate, end), *words.limit_lines(limit, short, liquid)),
        sources=words.sources_of([row], *SOURCES),
        cautions=words.cautions_of([row]),
        says=_says(scene, rate, lid, limit) + words.beyond(end, short, liquid, scene.celsius),
        limits=(*LIMITS, *words.notes_on(liquid, row)),
        plots=(_evening(scene, rate, lid, ppm),),
        table=_changes(scene, ppm),
    )  # fmt: skip


def _scene(given: Given) -> _Scene:
    jar = _Jar(
        diameter=given.number("diameter"),
        freeboard=given.number("freeboard"),
        air_speed=given.number("air_speed"),
        gap=given.number("gap"),
        path=given.number("path"),
        count=given.whole("jars"),
    )
    return _Scene(words.liquid_of(given), given.number("celsius"), jar, words.room_of(given), given.number("hours"))


def _jar_lines(scene: _Scene, rate: Rate, lid: Rate) -> tuple[str, ...]:
    liquid, celsius, jar = scene.liquid, scene.celsius, scene.jar
    p, d = words.pressures(liquid, celsius)[1], words.spreads_at(liquid, celsius)
    mouth = math.pi / 4 * (jar.diameter / 1000) ** 2
    brim = open_rate(liquid.molar_mass, p, d, mouth, jar.diameter, jar.air_speed, celsius)
    return (
        f"Vapour pressure of {liquid.name} at {celsius:g} °C = {p:.0f} Pa (sources differ by {liquid.spread:g} %)",
        f"Saturated air = {p:.0f} / 101325 Pa = {rounded(parts_per_million(p) / 1e4)} % vapour",
        f"Diffusivity by Fuller's equation D = {d:.4f} cm²/s",
        f"Mouth A = π/4 * ({jar.diameter:g} mm)² = {rounded(mouth * 1e4)} cm²; draught {jar.air_speed:g} m/s",
        f"Full to the brim, low, likely and high of five models: {words.told(brim, 'g/h')}",
        *_neck_lines(scene, p, d, mouth),
        f"Without a lid, {jar.count} together, spread of the pressure included: {words.told(rate, 'g/h')}",
        f"Under the lid, a slit of π * {jar.diameter:g} * {jar.gap:g} mm, {jar.path:g} mm long, by the same diffusion: {words.told(lid, 'g/h')}",
    )


def _neck_lines(scene: _Scene, p: float, d: float, mouth: float) -> tuple[str, ...]:
    """The still air in the neck, where there is any."""
    free = scene.jar.freeboard
    if free < 1:
        return ()
    still = film_rate(scene.liquid.molar_mass, p, d, mouth, free, scene.celsius)
    return (
        f"Neck: M D P / (R T L) ln(P / (P - p)) A, L = {free:g} mm = {rounded(still)} g/h (low 0.9 of it; high 1.2 of it with half of L)",
        "Neck and mouth one after the other: 1 / (1/neck + 1/mouth), for each end",
    )


def _room_lines(scene: _Scene, rate: Rate, end: Rate) -> tuple[str, ...]:
    room = scene.room
    steady = steady_concentration(rate.likely, room.fresh_air, room.mixing)
    turns = 60 * room.volume * room.mixing / room.fresh_air
    return (
        f"Would settle at 1000 K G / Q = 1000 * {room.mixing:g} * {rounded(rate.likely)} / {rounded(room.fresh_air)} = {rounded(steady)} mg/m³",
        f"On the way there 1 - e^(-t / {rounded(turns)} min): after {scene.hours:g} h {words.told(end, 'ppm')}",
    )


def _says(scene: _Scene, rate: Rate, lid: Rate, limit: Limit | None) -> str:
    count, end = scene.jar.count, scene.end(rate)
    vessel = "The open jar gives" if count == 1 else f"{count} open jars give"
    kept = f" The lid keeps about {rounded(100 * (1 - lid.likely / rate.likely), 2)} % of it in." if rate.likely else ""
    return (
        f"{vessel} off about {words.told(rate, 'g')} of {scene.liquid.name} an hour; after {scene.hours:g} h the room holds about "
        f"{words.told(end, 'ppm')}. {words.against(scene.average(rate), limit)}{kept}"
    )


def _changes(scene: _Scene, ppm: float | None) -> Grid:
    """What each change would do, by the high end."""
    jar, room = scene.jar, scene.room
    aired = replace(scene, room=replace(room, fresh_air=max(room.fresh_air, AIRED * room.volume)))
    lower = replace(scene, jar=replace(jar, freeboard=min(1000.0, max(2 * jar.freeboard, 50.0))))
    narrow = replace(scene, jar=replace(jar, diameter=max(5.0, jar.diameter / 2)))
    cases = (
        ("as it stands", scene, scene.open()),
        ("lid on", scene, scene.lidded()),
        (f"freeboard {lower.jar.freeboard:g} mm", lower, lower.open()),
        ("half as wide", narrow, narrow.open()),
        (f"windows open, {AIRED:g} changes an hour", aired, aired.open()),
        ("lid on and windows open", aired, aired.lidded()),
    )
    rows = tuple((name, *_case(one, rate, ppm)) for name, one, rate in cases)
    headings = ("What to change", "g/h", f"ppm after {scene.hours:g} h", "Share of the limit")
    return Grid(headings, rows, "By the high end of each estimate")


def _case(scene: _Scene, rate: Rate, ppm: float | None) -> tuple[str, str, str]:
    share = words.UNKNOWN if ppm is None else f"{rounded(100 * scene.average(rate).high / ppm, 2)} %"
    return rounded(rate.high, 2), rounded(scene.end(rate).high, 2), share


def _evening(scene: _Scene, rate: Rate, lid: Rate, ppm: float | None) -> Plot:
    room = scene.room
    minutes = np.linspace(0, scene.hours * 60, POINTS)
    unit = np.asarray(concentration(minutes, [Source(1.0)], room.volume, room.fresh_air, room.mixing))
    hours = tuple(float(m) / 60 for m in minutes)
    per_gram = [ppm_from_milligrams(float(mg), scene.liquid.molar_mass, scene.celsius) for mg in unit]
    curves = [_curve("open", hours, per_gram, rate), _curve("lid on", hours, per_gram, lid)]
    if ppm is not None and ppm <= 20 * curves[0].high[-1]:
        curves.append(Curve("limit for 8 hours", (hours[0], hours[-1]), (ppm, ppm), dashed=True))
    says = f"Open, the air comes to {rounded(curves[0].y[-1], 2)} ppm in {scene.hours:g} h; with the lid on to {rounded(curves[1].y[-1], 2)} ppm."
    title = f"{scene.liquid.name.capitalize()} in the room"
    return Plot(title, "Time", "h", "Vapour", "ppm", tuple(curves), says=says)


def _curve(label: str, hours: tuple[float, ...], per_gram: list[float], rate: Rate) -> Curve:
    low, likely, high = (tuple(one * ppm for ppm in per_gram) for one in (rate.low, rate.likely, rate.high))
    return Curve(label, hours, likely, low=low, high=high)


_INPUTS = (
    words.LIQUID,
    words.CELSIUS,
    Asked("diameter", "Width of the mouth", "mm", 5, 2000, 80.0),
    Asked("freeboard", "From the liquid up to the rim", "mm", 0, 1000, 50.0, help="0 for a tray that is full to the brim."),
    Asked("jars", "How many", kind="whole", low=1, high=100, default=1),
    Asked("air_speed", "Draught over it", "m/s", 0.02, 2, 0.1, help="0.1 in a quiet room, 0.3 where you feel it, 0.5 and more before a fan."),
    Asked("gap", "Gap under the lid", "mm", 0, 20, 0.5, help="How high the slit is all round when the lid lies on."),
    Asked("path", "Overlap of the lid", "mm", 0.5, 200, 10.0),
    words.ROOM,
    words.CHANGES,
    words.MIXING,
    Asked("hours", "For how long", "h", 0.1, 24, 4.0),
    words.LIST,
)  # fmt: skip

SUMS = (
    Working(
        name="jar-vapour",
        family="vapour",
        title="Vapour from a jar or tray",
        asks="How much vapour leaves this jar, and what does the room's air come to?",
        inputs=_INPUTS,
        work=_jar_vapour,
        example={
            "liquid": "acetone",
            "diameter": "80 mm",
            "freeboard": "50 mm",
            "room": "40",
            "changes": "0.5",
            "hours": "4",
        },
    ),
)
