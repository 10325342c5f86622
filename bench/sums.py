"""How fast the drying sums are: `python -m bench.sums [--quick] [--json]`.

A year of one-minute air is integrated within 50 ms, so that every coat of a busy shop can be worked out anew when a page is
opened. The baseline is the same integral as a plain loop, minute by minute, timed on a short stretch and scaled up.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import partial

import numpy as np

from bench.shared.figures import Figure, options, report
from tallboy.sums.air_forecast import forecast
from tallboy.sums.air_series import AirSeries, hourly, steady
from tallboy.sums.drying import Label, Law, dry_after, progress, wait_table
from tallboy.sums.drying_progress import by_the_minute

START = datetime(2026, 1, 1, tzinfo=UTC)
YEAR_HOURS = 365 * 24
LOOP_MINUTES = 20_000


def _air(hours: int) -> AirSeries:
    """A shop with a daily and a yearly swing; no chance in it."""
    at = np.arange(hours)
    celsius = 16 + 4 * np.sin(at / 24 * 2 * np.pi) + 5 * np.sin(at / YEAR_HOURS * 2 * np.pi)
    humidity = 60 - 12 * np.sin(at / 24 * 2 * np.pi)
    return replace(steady(16, 60, START, hours), celsius=celsius, relative_humidity=humidity)


def best_ms(run: Callable[[], object], times: int) -> float:
    """The quickest of some runs [ms]."""
    found = math.inf
    for _ in range(times):
        began = time.perf_counter()
        run()
        found = min(found, time.perf_counter() - began)
    return found * 1000


def _looped(celsius: Sequence[float], humidity: Sequence[float]) -> float:
    """The waterborne integral as a loop, with the Magnus form for the pressure."""
    at_label = 0.5 * math.exp(17.625 * 23 / (243.04 + 23))
    done = 0.0
    for t, h in zip(celsius, humidity, strict=True):
        done += min(2.0, (1 - h / 100) * math.exp(17.625 * t / (243.04 + t)) / at_label) if t >= 10 else 0.0
    return done


def figures(quick: bool) -> Iterator[Figure]:
    """The figures, one after another."""
    times = 3 if quick else 10
    year, weeks = _air(YEAR_HOURS), _air(6 * 7 * 24)
    celsius, humidity = by_the_minute(year)
    short = celsius[:LOOP_MINUTES].tolist(), humidity[:LOOP_MINUTES].tolist()
    loop = best_ms(lambda: _looped(*short), times) * len(celsius) / LOOP_MINUTES
    for law in Law:
        label = Label(law, 60, 240, 1440, 10080)
        spent = best_ms(partial(progress, label, celsius, humidity), times)
        yield Figure(f"a year by the minute, {law}", spent, loop, 50, "ms", note="baseline: a plain loop, waterborne")
    label = Label(Law.WATERBORNE, 60, 240, 1440, 10080)
    yield Figure(
        "waits for every hour of six weeks", best_ms(lambda: wait_table(label, "recoat", weeks), times), None, 20, "ms"
    )
    laid = START + timedelta(days=3)
    yield Figure(
        "one estimate with its spread, next coat",
        best_ms(lambda: dry_after(label, "recoat", laid, weeks), times),
        None,
        5,
        "ms",
    )
    yield Figure(
        "one estimate with its spread, cure",
        best_ms(lambda: dry_after(label, "cure", laid, weeks), times),
        None,
        30,
        "ms",
    )
    readings = [(START + timedelta(minutes=5 * k), 16.0 + k % 7, 55.0) for k in range(30 * 288)]
    yield Figure(
        "a month of readings to hours, and six weeks ahead",
        best_ms(lambda: forecast(hourly(readings), START + timedelta(days=72)), times),
        None,
        50,
        "ms",
    )


def main(argv: Sequence[str] | None = None) -> int:
    """Measure and report."""
    chosen = options(__doc__).parse_args(argv)
    return report(figures(chosen.quick), argv)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
