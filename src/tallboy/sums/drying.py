"""When a coat is dry in the shop's own air, when its window closes, and how sure that is.

The label's minutes are taken as right in the label's air, or are multiplied by what a shop has learned of the can (`learning`).
The room's air makes each minute count for more or less than one (`rates.rate`); the coat is dry when the minutes that count add
up to the label's. Air is taken minute by minute, straight between the hours of the series; past the end of the series the mean
rate of its last day goes on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from tallboy.errors import BadInput, NeverDries, OutOfRange
from tallboy.sums.air import AirSeries
from tallboy.sums.drying_progress import Gone, by_the_minute, gone_by, last_rate, progress, reached
from tallboy.sums.learning import LEAST_RATIO, MOST_TIMES, Factor
from tallboy.sums.ranges import within
from tallboy.sums.rates import COAT_TO_COAT, Label, Law, Reading, most_for, rate, words_for
from tallboy.sums.units import format_minutes

__all__ = [
    "STAGES",
    "Estimate",
    "Factor",
    "Gone",
    "Label",
    "Law",
    "Reading",
    "dry_after",
    "gone_by",
    "has_stage",
    "progress",
    "rate",
    "wait_table",
    "window_closes",
    "window_table",
]

Array = NDArray[np.float64]
MINUTE = timedelta(minutes=1)
STAGES = ("touch", "recoat", "cure")
LONGEST = 100 * 365.25 * 1440
"""A coat that would take longer than this [min] does not dry; own choice."""
WIDEST = 3.0
"""An estimate is never said to be surer or less sure than a third to three times itself; own caution."""


@dataclass(frozen=True)
class Estimate:
    """How long from laying the coat [min], with a low and a high value one standard deviation off, and how it was worked out.

    `stalled_minutes` of it nothing dries. `working` are lines for people; `source` says where the label's figure comes from.
    """

    minutes: float
    low: float
    high: float
    stalled_minutes: float
    working: tuple[str, ...]
    source: str


def has_stage(label: Label, stage: str) -> bool:
    """Whether the label gives a time for this stage.

    Parameters
    ----------
    label : [Label] what the can says
    stage : [text] "touch", "recoat" or "cure"

    Returns
    -------
    [1] true when it does

    Raises
    ------
    BadInput for another stage.

    Source
    ------
    definition
    """
    return _label_minutes(label, stage) is not None


def dry_after(label: Label, stage: str, laid_at: datetime, air: AirSeries, factor: Factor | None = None) -> Estimate:
    """How long a coat laid at `laid_at` takes to reach a stage.

    Formula: least t with integral of rate from laying to t = label's minutes * factor. Spread: quick and slow reading of the law, and
    air one standard deviation more or less drying, added as squares. What the law's readings differ by beyond the tenth that any two
    coats do shrinks to the share of the doubt that the shop's touches have left.

    Parameters
    ----------
    label : [Label] what the can says
    stage : [text] "touch", "recoat" or "cure"
    laid_at : [aware datetime] when the coat was laid, not before the series begins; the working tells it by its own clock
    air : [°C, %] the shop's air
    factor : [1] what the shop has learned of the can, 0.05 to 20 000; None takes the label as it is

    Returns
    -------
    [min] estimate with its spread and its working

    Raises
    ------
    BadInput when the label has no such stage; OutOfRange when laid before the air begins or the factor is out of range; NeverDries
    when the air stays too cold or too damp.

    Validity
    --------
    An estimate for thin films on smooth wood. Oily, resinous or damp wood takes longer. The finger decides, except below the
    lowest temperature, where a film may feel dry and not have formed. Glue is never counted on to set sooner than its label says,
    whatever the factor.

    Source
    ------
    own derivation from the label's figure and the laws of `rates.rate`
    """
    minutes = _label_minutes(label, stage)
    if minutes is None:
        raise BadInput(f"The label gives no time for {_WORDS[stage]}.", "Enter one, or choose another stage.")
    return _estimate(label, minutes, stage, laid_at, air, factor)


def window_closes(label: Label, laid_at: datetime, air: AirSeries, factor: Factor | None = None) -> Estimate | None:
    """When the window for the next coat closes again, moved by the room's air like the drying itself.

    To be safe lay the next coat before `low`.

    Parameters
    ----------
    label : [Label] what the can says
    laid_at : [aware datetime] when the coat was laid, not before the series begins
    air : [°C, %] the shop's air
    factor : [1] what the shop has learned of the can, 0.05 to 20 000; None takes the label as it is

    Returns
    -------
    [min] estimate; None when the label gives no end

    Raises
    ------
    OutOfRange when laid before the air begins; NeverDries when the air stays too cold or too damp.

    Source
    ------
    own derivation from the label's figure and the laws of `rates.rate`
    """
    if label.recoat_until_minutes is None:
        return None
    return _estimate(label, label.recoat_until_minutes, "until", laid_at, air, factor)


def wait_table(label: Label, stage: str, air: AirSeries, factor: Factor | None = None) -> NDArray[np.int64]:
    """The wait for a coat laid in each hour of the series: the longer of those for its beginning and its end.

    Formula: as `dry_after`, middle reading, for all hours at once

    Parameters
    ----------
    label : [Label] what the can says
    stage : [text] "touch", "recoat" or "cure"
    air : [°C, %] the shop's air
    factor : [1] what the shop has learned of the can, 0.05 to 20 000; None takes the label as it is

    Returns
    -------
    [min] whole minutes, rounded up, one entry an hour

    Raises
    ------
    BadInput when the label has no such stage; NeverDries when no hour of the series dries the coat.

    Source
    ------
    own derivation
    """
    minutes = _label_minutes(label, stage)
    if minutes is None:
        raise BadInput(f"The label gives no time for {_WORDS[stage]}.", "Enter one, or choose another stage.")
    waits = _at_full_hours(label, minutes * _times(label, factor), air)
    waits[:-1] = np.maximum(waits[:-1], waits[1:])
    return np.ceil(waits - 1e-6).astype(np.int64)


def window_table(label: Label, air: AirSeries, factor: Factor | None = None) -> NDArray[np.int64] | None:
    """When the window closes for a coat laid in each hour of the series: the sooner of those for its beginning and its end.

    Formula: as `window_closes`, middle reading, for all hours at once

    Parameters
    ----------
    label : [Label] what the can says
    air : [°C, %] the shop's air
    factor : [1] what the shop has learned of the can, 0.05 to 20 000; None takes the label as it is

    Returns
    -------
    [min] whole minutes, rounded down, one entry an hour; None when the label gives no end

    Raises
    ------
    As `wait_table`.

    Source
    ------
    own derivation from the label's figure and the laws of `rates.rate`
    """
    if label.recoat_until_minutes is None:
        return None
    waits = _at_full_hours(label, label.recoat_until_minutes * _times(label, factor), air)
    waits[:-1] = np.minimum(waits[:-1], waits[1:])
    return np.floor(waits + 1e-6).astype(np.int64)


def _at_full_hours(label: Label, wanted: float, air: AirSeries) -> Array:
    """Minutes until so many of the label's minutes have gone by, for a coat laid at each full hour."""
    done = progress(label, *by_the_minute(air))
    starts = np.arange(air.hours) * 60
    return reached(done, done[starts] + wanted, label) - starts


_WORDS = {"touch": "touch dry", "recoat": "the next coat", "cure": "cured", "until": "the end of the recoat window"}


def _label_minutes(label: Label, stage: str) -> float | None:
    figures = {"touch": label.touch_minutes, "recoat": label.recoat_from_minutes, "cure": label.cure_minutes}
    if stage not in figures:
        raise BadInput(f"There is no stage of drying called “{stage}”.", f"It must be one of: {', '.join(STAGES)}.")
    return figures[stage]


@dataclass(frozen=True)
class _Course:
    """A coat's progress through a stretch of air; `begun` is the minute of the stretch at which it was laid."""

    label: Label
    celsius: Array
    humidity: Array
    done: Array
    begun: float

    def minutes_to(self, wanted: float) -> float:
        """Minutes from laying until so many of the label's minutes have gone by."""
        return float(reached(self.done, np.array([self._at(self.begun) + wanted]), self.label)[0]) - self.begun

    def _at(self, minute: float) -> float:
        last = len(self.done) - 1
        if minute >= last:
            return float(self.done[-1]) + (minute - last) * (last_rate(self.done, self.label) if minute > last else 0.0)
        whole = int(minute)
        return float(self.done[whole] + (minute - whole) * (self.done[whole + 1] - self.done[whole]))

    def during(self, minutes: float) -> slice:
        """The entries of the stretch between laying and so many minutes later, one at the least."""
        first = min(int(self.begun), len(self.done) - 2)
        return slice(first, max(first + 2, min(len(self.done), int(self.begun + minutes) + 1)))


def _course(label: Label, wanted: float, laid_at: datetime, air: AirSeries, reading: Reading, shift: float) -> _Course:
    """The course through a short stretch of air where that is enough, else through all of it."""
    begun = (laid_at - air.start) / MINUTE
    first = int(begun // 60)
    last = first + int(wanted * 4 / 60) + 3
    if last < air.hours:
        course = _through(label, air.part(first, last), begun - first * 60, reading, shift)
        if course.done[-1] > course._at(course.begun) + wanted:
            return course
    return _through(label, air, begun, reading, shift)


def _through(label: Label, air: AirSeries, begun: float, reading: Reading, shift: float) -> _Course:
    celsius, humidity = by_the_minute(air, shift)
    return _Course(label, celsius, humidity, progress(label, celsius, humidity, reading), begun)


def _times(label: Label, factor: Factor | None) -> float:
    """What the label's minutes are multiplied by."""
    if factor is None:
        return 1.0
    value = within("The shop's factor", factor.value, LEAST_RATIO, 2 * MOST_TIMES)
    return max(1.0, value) if label.law is Law.GLUE else value


def _narrowed(minutes: float, other: float, factor: Factor | None) -> float:
    """Another reading's time, drawn in as far as the shop's touches have settled what the law leaves open."""
    if factor is None:
        return other
    apart = math.log(other / minutes)
    any_two_coats = math.copysign(min(abs(apart), math.log(COAT_TO_COAT)), apart)
    return minutes * math.exp(any_two_coats + (apart - any_two_coats) * factor.share)


def _estimate(
    label: Label, labelled: float, stage: str, laid_at: datetime, air: AirSeries, factor: Factor | None
) -> Estimate:
    """The middle time, and its spread from the law and from the air."""
    if laid_at < air.start:
        raise OutOfRange("Time of laying", laid_at, air.start, air.end)
    wanted = labelled * _times(label, factor)
    middle = _course(label, wanted, laid_at, air, Reading.MIDDLE, 0.0)
    minutes = middle.minutes_to(wanted)
    if minutes > LONGEST:
        raise NeverDries(
            "In this air the coat would not dry in a hundred years.",
            f"It needs at least {label.minimum_celsius:g} °C and air that is not saturated.",
        )

    def other(reading: Reading, shift: float) -> float:
        try:
            return _course(label, wanted, laid_at, air, reading, shift).minutes_to(wanted)
        except NeverDries:
            return minutes * WIDEST

    quick, slow = (_narrowed(minutes, other(reading, 0.0), factor) for reading in (Reading.QUICK, Reading.SLOW))
    by_law = (quick, slow)
    by_air = (other(Reading.MIDDLE, 1.0), other(Reading.MIDDLE, -1.0))
    less, more = (float(np.hypot(by_law[i] - minutes, by_air[i] - minutes)) for i in (0, 1))
    stretch = middle.during(minutes)
    stalled = float(np.count_nonzero(np.diff(middle.done[stretch]) == 0))
    source = label.usual_source if stage in label.usual else label.source
    low = max(minutes - less, minutes / WIDEST, wanted / most_for(label.law))
    high = min(minutes + more, minutes * WIDEST)
    found = Estimate(minutes, low, high, stalled, (), source)
    figure = f"{format_minutes(labelled)} to {_WORDS[stage]}"
    lines = _working(label, figure, wanted, laid_at, air, middle, found, (by_law, by_air))
    return replace(found, working=(lines[0], *_learned(label, wanted, factor), *lines[1:]))


def _learned(label: Label, wanted: float, factor: Factor | None) -> tuple[str, ...]:
    """What the shop's own factor does to the label's minutes."""
    if factor is None:
        return ()
    if label.law is Law.GLUE and factor.value < 1:
        return (
            f"The shop's factor {factor.value:.2f} is left out: glue is never counted on to set sooner than it says.",
        )
    times = f"In this shop times {factor.value:.2f} ({factor.low:.2f} to {factor.high:.2f}"
    if not factor.touches:
        return (f"{times}: as unsure as a can that nobody has touched yet) = {format_minutes(wanted)}.",)
    return (
        f"{times}, from {factor.touches} {'touch' if factor.touches == 1 else 'touches'}) = {format_minutes(wanted)}; "
        f"{100 * factor.share:.0f} % of the doubt before any touch is left.",
    )


Pair = tuple[float, float]


def _working(
    label: Label,
    figure: str,
    wanted: float,
    laid_at: datetime,
    air: AirSeries,
    course: _Course,
    found: Estimate,
    bounds: tuple[Pair, Pair],
) -> tuple[str, ...]:
    """The lines that a person opens to see how the time came about."""
    stretch = course.during(found.minutes)
    (law_low, law_high), (air_low, air_high) = bounds
    lines = [
        f"{found.source[:1].upper()}{found.source[1:]}: {figure} at {label.celsius:g} °C and {label.relative_humidity:g} %.",
        f"Laid {laid_at:%Y-%m-%d %H:%M}. Air from then on: mean {course.celsius[stretch].mean():.1f} °C and "
        f"{course.humidity[stretch].mean():.0f} %, {_known(air, laid_at, found.minutes)}.",
        words_for(label.law),
        f"Mean rate {wanted / found.minutes:.2f}; {round(wanted, 1):.10g} min / {wanted / found.minutes:.2f} = {format_minutes(found.minutes)}.",
        f"Spread {_about(found.low)} to {_about(found.high)}: the law alone {_about(law_low)} to {_about(law_high)}, "
        f"the air alone {_about(air_low)} to {_about(air_high)}.",
    ]
    if found.stalled_minutes:
        lines.append(
            f"For {format_minutes(found.stalled_minutes)} of it nothing dries: below {label.minimum_celsius:g} °C or saturated."
        )
    if (laid_at - air.end) / MINUTE + found.minutes > 0:
        lines.append("The known air ends before that; from there the mean rate of its last day goes on.")
    return tuple(lines)


def _about(minutes: float) -> str:
    """A bound of the spread, no finer than it is known: to 5 minutes above two hours, to the hour above two days."""
    step = 1 if minutes < 120 else 5 if minutes < 2880 else 60
    return format_minutes(round(minutes / step) * step)


def _known(air: AirSeries, laid_at: datetime, minutes: float) -> str:
    """How much of the air was measured."""
    first = min(int((laid_at - air.start) / MINUTE // 60), air.hours - 1)
    last = min(first + int(minutes // 60) + 1, air.hours)
    measured = int(np.count_nonzero(air.measured[first:last]))
    return f"measured for {measured} h of {max(last - first, 1)} h, the rest forecast or assumed"
