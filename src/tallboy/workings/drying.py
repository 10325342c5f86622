"""When a coat is dry, as it is asked at the bench: in steady air, with cold nights, when its window closes, what touches have taught."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np

from tallboy.sums import drying, learning
from tallboy.sums.air_series import AirSeries, steady
from tallboy.sums.drying import Estimate, Factor, Label, Reading
from tallboy.sums.drying_progress import by_the_minute, progress
from tallboy.sums.learning import Observed
from tallboy.tables import load
from tallboy.tables.coatings import cautions_for, coating, label_for
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Mark, Plot, Working
from tallboy.workings.telling import said, span

DAYS = 60
POINTS = 90
MONDAY = datetime(2001, 1, 1, tzinfo=UTC)
"""Any day: only the hours of the day matter here."""
STAGES = (("touch", "touch dry"), ("recoat", "ready for the next coat"), ("cure", "cured"))
LIMITS = (
    "A thin film on smooth, dry wood. Thick coats, oily or resinous wood and still, stuffy air take longer: the finger decides.",
    "Below its lowest temperature a coat may feel dry and have formed no film. Wait for warmth, whatever the finger says.",
)

_COATING = Asked(
    "coating", "What it is", kind="choice", choices=tuple((row["key"], row["key"]) for row in load("coatings")["coatings"]),
)  # fmt: skip
_STAGE = Asked("stage", "Until it is", kind="choice", choices=STAGES, default="recoat")
_SAYS = Asked(
    "label", "The can says", "min", 0.5, 5_270_400, needed=False, help="Left empty: what is usual for its kind."
)
_AT = (
    Asked(
        "label_celsius",
        "At a temperature of",
        "°C",
        0,
        50,
        needed=False,
        help="Left empty: 23 °C, or what is usual for its kind.",
    ),
    Asked("label_humidity", "And a humidity of", "%", 0, 90, needed=False, help="Left empty: 50 %."),
    Asked("minimum", "Not below", "°C", -30, 50, needed=False),
)
_FACTOR = Asked(
    "factor", "Your shop's factor for this can", "", 0.05, 20, needed=False, help="Left empty: the label as it is."
)
_SURE = (
    Asked("celsius_spread", "The temperature is known to", "K", 0, 20, default=1.0),
    Asked("humidity_spread", "The humidity is known to", "%", 0, 50, default=5.0),
)


@dataclass(frozen=True)
class Asks:
    """What is common to these sums: the label, the stage and the shop's factor."""

    label: Label
    stage: str
    factor: Factor | None
    sources: tuple[str, ...]
    cautions: tuple[str, ...]


def _asks(given: Given, stage: str) -> Asks:
    key = given.choice("coating")
    said = given.maybe("label")
    row = coating(key)
    label = label_for(
        key,
        touch_minutes=said if stage == "touch" else None,
        recoat_from_minutes=said if stage == "recoat" else None,
        cure_minutes=said if stage == "cure" else None,
        celsius=given.maybe("label_celsius"),
        relative_humidity=given.maybe("label_humidity"),
        minimum_celsius=given.maybe("minimum"),
    )
    sources = dict.fromkeys(["common-practice", "definition"] if said is not None else [row["source"], "definition"])
    return Asks(label, stage, _factor(given, label), tuple(sources), cautions_for(key))


def _factor(given: Given, label: Label) -> Factor | None:
    """A factor that was typed: nothing is known of its spread, so all of the doubt is left."""
    value = given.maybe("factor")
    if value is None:
        return None
    prior = learning.prior_spread(label)
    return Factor(value, value * math.exp(-prior), value * math.exp(prior), prior, prior)


def _steady_air(given: Given) -> AirSeries:
    sure = given.number("celsius_spread"), given.number("humidity_spread")
    return steady(given.number("celsius"), given.number("humidity"), MONDAY, DAYS * 24, sure)


def _wait(given: Given) -> Answer:
    asks = _asks(given, given.choice("stage"))
    air = _steady_air(given)
    found = drying.dry_after(asks.label, asks.stage, MONDAY, air, asks.factor)
    words = dict(STAGES)[asks.stage]
    return Answer(
        results=_times(found),
        working=_lines(found),
        sources=asks.sources,
        cautions=asks.cautions,
        says=f"It is {words} after {span(found.minutes)}, give or take: between {span(found.low)} and {span(found.high)}.",
        limits=LIMITS,
        plots=(_plot(asks, air, 0.0, found, f"Progress at {said(given, given.number('celsius'), '°C', None)}"),),
    )


def _times(found: Estimate) -> tuple[Got, ...]:
    return (
        Got("wait", "It takes", found.minutes, "min", found.low, found.high),
        Got("still", "Of it nothing dries for", found.stalled_minutes, "min"),
    )


def _lines(found: Estimate) -> tuple[str, ...]:
    """The working without the line on dates and measured hours: here the air is given, not measured."""
    return tuple(line for line in found.working if not line.startswith(("Laid ", "The known air ends")))


def _plot(asks: Asks, air: AirSeries, laid: float, found: Estimate, title: str) -> Plot:
    """The label's time gone by over the hours, with the quick and the slow reading as a band."""
    length = min(found.minutes * 1.3, (air.hours - 2) * 60 - laid)
    celsius, humidity = by_the_minute(air.part(0, min(air.hours - 1, int((laid + length) // 60) + 2)))
    at = np.linspace(laid, laid + length, POINTS)
    wanted = _wanted(asks)

    def share(reading: Reading) -> tuple[float, ...]:
        done = progress(asks.label, celsius, humidity, reading)
        gone = np.interp(at, np.arange(len(done)), done) - np.interp(laid, np.arange(len(done)), done)
        return tuple((100 * gone / wanted).tolist())

    middle, slow, quick = share(Reading.MIDDLE), share(Reading.SLOW), share(Reading.QUICK)
    hours = tuple(((at - laid) / 60).tolist())
    dry = found.minutes / 60
    marks = (Mark(dry, 100.0, span(found.minutes)),) if found.minutes <= length else ()
    return Plot(
        title, "time since laying", "h", "share of its time gone by", "%",
        (Curve("middle reading, band from slow to quick", hours, middle, low=slow, high=quick),),
        marks,
        f"The coat has come all the way after {span(found.minutes)}. Where the line runs level nothing dries.",
    )  # fmt: skip


def _wanted(asks: Asks) -> float:
    label = asks.label
    times = {"touch": label.touch_minutes, "recoat": label.recoat_from_minutes, "cure": label.cure_minutes}
    return (times[asks.stage] or math.inf) * (asks.factor.value if asks.factor else 1.0)


def _nights(given: Given) -> Answer:
    asks = _asks(given, given.choice("stage"))
    air, laid = _days_and_nights(given), given.number("laid") * 60
    found = drying.dry_after(asks.label, asks.stage, MONDAY + timedelta(minutes=laid), air, asks.factor)
    at, low, high = (_moment(laid + minutes) for minutes in (found.minutes, found.low, found.high))
    return Answer(
        results=(
            *_times(found),
            Got("at", "That is at", at),
            Got("early", "At the earliest", low),
            Got("late", "At the latest", high),
        ),
        working=_lines(found),
        sources=asks.sources,
        cautions=asks.cautions,
        says=f"Laid at {_clock(laid)} it is {dict(STAGES)[asks.stage]} at about {at}, give or take: between {_short(low, at)} and {_short(high, at)}.",
        limits=LIMITS,
        plots=(_plot(asks, air, laid, found, "Progress through days and nights"),),
    )


def _moment(minutes: float) -> str:
    """A moment by the minutes since midnight, to five of them: "10:35 the next day"."""
    days, rest = divmod(5 * round(minutes / 5), 1440)
    day = "the same day" if not days else "the next day" if days == 1 else f"{days} days later"
    return f"{_clock(rest)} {day}"


def _short(moment: str, beside: str) -> str:
    """A moment without its day where the one beside it has the same."""
    clock, _, day = moment.partition(" ")
    return clock if beside.endswith(f" {day}") else moment


def _clock(minutes: float) -> str:
    return f"{int(minutes // 60):02d}:{int(minutes % 60):02d}"


def _days_and_nights(given: Given) -> AirSeries:
    """Warm while the stove is lit, cold otherwise, with an hour between the two."""
    base = steady(given.number("celsius"), given.number("humidity"), MONDAY, DAYS * 24, (1.0, 5.0))
    hours = np.arange(base.hours) % 24
    lit, out = given.number("warm_from"), given.number("warm_until")
    warm = (hours >= lit) & (hours <= out) if lit <= out else (hours >= lit) | (hours <= out)
    cold, damp = given.number("night_celsius"), given.number("night_humidity")
    return replace(
        base,
        celsius=np.where(warm, base.celsius, cold),
        relative_humidity=np.where(warm, base.relative_humidity, damp),
    )


def _window(given: Given) -> Answer:
    asks = _asks(given, "recoat")
    label = replace(asks.label, recoat_until_minutes=given.number("until"))
    air = _steady_air(given)
    opens = drying.dry_after(label, "recoat", MONDAY, air, asks.factor)
    closes = drying.window_closes(label, MONDAY, air, asks.factor)
    assert closes is not None
    safe = max(closes.low - opens.high, 0.0)
    return Answer(
        results=(
            Got("opens", "The next coat from", opens.minutes, "min", opens.low, opens.high),
            Got("closes", "The next coat until", closes.minutes, "min", closes.low, closes.high),
            Got("sure", "Surely open for", safe, "min"),
        ),
        working=(*_lines(opens), *_lines(closes)),
        sources=asks.sources,
        cautions=asks.cautions,
        says=_window_says(opens, closes, safe),
        limits=("A window that cold air keeps open longer is not to be counted on: rub down when in doubt.", *LIMITS),
    )


def _window_says(opens: Estimate, closes: Estimate, safe: float) -> str:
    if not safe:
        return (
            "There is no time at which the window is surely open: it may close before it has opened for certain. "
            "Warm the shop, or let the coat harden and rub it down."
        )
    return f"Lay the next coat after {span(opens.high)} and before {span(closes.low)}: then the window is surely open."


def _taught(given: Given) -> Answer:
    label = _asks(given, "recoat").label
    observed = [
        Observed(after or None, by or None, name=f"Coat {number}")
        for number, (after, by) in enumerate(given.pairs("coats"), start=1)
        if after or by
    ]
    found = learning.learned(observed, learning.prior_spread(label))
    wide = math.hypot(found.spread, learning.COAT_SCATTER)
    low, high = found.value * math.exp(-wide), found.value * math.exp(wide)
    return Answer(
        results=(
            Got("factor", "The label's minutes times", found.value, "", found.low, found.high),
            Got("next", "The next coat, times", found.value, "", low, high),
            Got("share", "Doubt that is left", 100 * found.share, "%"),
            Got("touches", "From touches", found.touches),
        ),
        working=(
            *found.working,
            f"next coat: spread = √({found.spread:.3f}² + {learning.COAT_SCATTER:.3f}²) = {wide:.3f}",
        ),
        sources=("common-practice", "conjugate-normal"),
        says=f"In your shop this can takes about {found.value:.2f} times what it says ({found.low:.2f} to {found.high:.2f}).",
        limits=(
            "“Dry enough” is an upper bound and “not yet” a lower one: a touch the morning after says little.",
            "Touches in air that was never measured, or below the lowest temperature, should not be counted.",
        ),
    )


SUMS = (
    Working(
        "coat-wait", "drying", "Wait for a coat", "How long does a coat take in this air?",
        (
            _COATING, _STAGE, _SAYS, *_AT, Asked("celsius", "Air temperature", "°C", -40, 60),
            Asked("humidity", "Relative humidity", "%", 0, 100), *_SURE, _FACTOR,
        ),
        _wait, {"coating": "oil varnish", "stage": "recoat", "label": "12 h", "celsius": "15 °C", "humidity": "65 %"},
    ),
    Working(
        "coat-nights", "drying", "Wait through cold nights", "When is a coat dry in a shop that cools at night?",
        (
            _COATING, _STAGE, _SAYS, *_AT, Asked("celsius", "Warm hours: temperature", "°C", -40, 60),
            Asked("humidity", "Warm hours: humidity", "%", 0, 100), Asked("night_celsius", "Other hours: temperature", "°C", -40, 60),
            Asked("night_humidity", "Other hours: humidity", "%", 0, 100, default=75.0),
            Asked("warm_from", "Warm from hour", "", 0, 23, default=8.0), Asked("warm_until", "Warm until hour", "", 0, 23, default=18.0),
            Asked("laid", "Laid at hour", "", 0, 23.99, default=16.0, help="16.5 is half past four."), _FACTOR,
        ),
        _nights,
        {
            "coating": "waterborne varnish", "stage": "recoat", "celsius": "18 °C", "humidity": "60 %", "night_celsius": "7 °C", "laid": "16.5",
        },
    ),
    Working(
        "recoat-window", "drying", "Recoat window", "When does the window for the next coat open and close in this air?",
        (
            _COATING, _SAYS, Asked("until", "The window closes after", "min", 0.5, 5_270_400), *_AT,
            Asked("celsius", "Air temperature", "°C", -40, 60), Asked("humidity", "Relative humidity", "%", 0, 100), *_SURE, _FACTOR,
        ),
        _window, {"coating": "oil polyurethane", "label": "6 h", "until": "24 h", "celsius": "18 °C", "humidity": "55 %"},
    ),
    Working(
        "can-factor", "drying", "A can's own factor", "By how much do your touches say a label is off in your shop?",
        (
            _COATING, _SAYS,
            Asked(
                "coats", "Coats: not yet at, dry enough at", kind="pairs", units=("", ""),
                help="As shares of the label's time, such as 0.9 = 1.3; 0 where nobody touched.",
            ),
        ),
        _taught, {"coating": "oil varnish", "label": "12 h", "coats": "0.9 = 1.3; 1.1 = 1.4; 0 = 1.2"},
    ),
)  # fmt: skip
