"""Vapour in a room: what comes in goes out or stays, sources add up, it settles where it must; exposure over a day.

Published worked examples are in checks/vapour.toml.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import exposure, room_air
from tallboy.sums.room_air import Source

rates = st.floats(0.1, 1000)
volumes = st.floats(5, 500)
airs = st.floats(1, 2000)
mixings = st.floats(1, 10)
sources = st.builds(
    Source,
    grams_per_hour=rates,
    start=st.floats(0, 60),
    end=st.one_of(st.just(math.inf), st.floats(61, 300)),
    decay_minutes=st.one_of(st.just(math.inf), st.floats(1, 200)),
)


def at(
    minutes: float, given: list[Source], volume: float, air: float, mixing: float = 1.0, start: float = 0.0
) -> float:
    """The room's air [mg/m³] at one moment."""
    return float(room_air.concentration(minutes, given, volume, air, mixing, start))


@given(st.lists(sources, max_size=3), volumes, airs, mixings, st.floats(0, 5000))
def test_what_comes_in_goes_out_or_stays(
    given: list[Source], volume: float, air: float, mixing: float, start: float
) -> None:
    """What the sources gave off and what was there is carried off by the fresh air, or still in the room: added up finely."""
    minutes = np.linspace(0, 240, 24_001)
    held = np.asarray(room_air.concentration(minutes, given, volume, air, mixing, start))
    removed = np.trapezoid(held, minutes) / 60 * air / mixing
    came = 1000 * sum(room_air.released(source, 240) for source in given) + start * volume
    assert removed + held[-1] * volume == pytest.approx(came, rel=2e-3, abs=1e-6)


@given(rates, volumes, st.floats(10, 2000), mixings)
def test_it_settles(rate: float, volume: float, air: float, mixing: float) -> None:
    """After many turns of the air the room stands at K G / Q, never above, and rises all the way."""
    steady = room_air.steady_concentration(rate, air, mixing)
    turn = 60 * volume * mixing / air
    minutes = np.linspace(0, 30 * turn, 60)
    held = np.asarray(room_air.concentration(minutes, [Source(rate)], volume, air, mixing))
    assert np.all(np.diff(held) >= -1e-9 * steady)
    assert held[-1] == pytest.approx(steady, rel=1e-9)
    assert room_air.fresh_air_for(rate, steady, mixing) == pytest.approx(air)


@given(sources, sources, volumes, airs, st.floats(0, 300))
def test_sources_add_up(one: Source, other: Source, volume: float, air: float, minutes: float) -> None:
    """Two together give the sum of each."""
    apart = at(minutes, [one], volume, air) + at(minutes, [other], volume, air)
    assert at(minutes, [one, other], volume, air) == pytest.approx(apart)


@pytest.mark.parametrize("decay", [math.inf, 30.0, 60 * 40 / 80])
def test_against_a_numerical_solution(decay: float) -> None:
    """The closed form beside scipy's solver; the third decays exactly as fast as the air changes."""
    source = Source(100.0, 10.0, 90.0, decay)

    def slope(minute: float, held: np.ndarray) -> np.ndarray:
        on = 10 <= minute < 90
        strength = 1000 / 60 * source.grams_per_hour * math.exp(-(minute - 10) / decay) if on else 0.0
        return np.array([strength / 40 - held[0] * 80 / 40 / 60])

    solved = solve_ivp(slope, (0, 200), [50.0], t_eval=[5, 30, 90, 200], max_step=0.5, rtol=1e-8)
    found = np.asarray(room_air.concentration(np.array([5.0, 30, 90, 200]), [source], 40, 80, 1, 50))
    assert found == pytest.approx(solved.y[0], rel=2e-3)


@given(rates, volumes, airs, mixings, st.floats(0.05, 0.95))
def test_when_a_limit_is_reached(rate: float, volume: float, air: float, mixing: float, part: float) -> None:
    """At that minute the room is at the limit; above where it settles it never gets there."""
    steady = room_air.steady_concentration(rate, air, mixing)
    minutes = room_air.minutes_to_reach(part * steady, rate, volume, air, mixing)
    assert minutes is not None
    if minutes <= 1e6:
        assert at(minutes, [Source(rate)], volume, air, mixing) == pytest.approx(part * steady, rel=1e-6)
    assert room_air.minutes_to_reach(1.01 * steady, rate, volume, air, mixing) is None
    assert room_air.minutes_to_reach(part * steady, rate, volume, air, mixing, steady) == 0


@given(st.floats(1, 1e5), st.floats(0.001, 0.9), volumes, airs, mixings)
def test_how_a_room_clears(now: float, part: float, volume: float, air: float, mixing: float) -> None:
    """After that time the wanted amount is left; poor mixing takes in proportion longer."""
    minutes = room_air.minutes_to_clear(now, part * now, volume, air, mixing)
    if minutes <= 1e6:
        assert at(minutes, [], volume, air, mixing, now) == pytest.approx(part * now, rel=1e-6)
    assert minutes == pytest.approx(mixing * room_air.minutes_to_clear(now, part * now, volume, air))
    assert room_air.minutes_to_clear(now, 1.1 * now, volume, air) == 0


@given(st.floats(0.1, 1000), st.floats(1, 1000))
def test_a_coat_gives_off_what_it_holds(grams: float, dry: float) -> None:
    """95 % when dry to the touch, all in the end."""
    source = room_air.coat_source(grams, dry)
    assert room_air.released(source, dry) == pytest.approx(0.95 * grams)
    assert room_air.released(source, 30 * dry) == pytest.approx(grams)
    assert room_air.released(source, 0) == 0


def test_a_source_that_cannot_be() -> None:
    """An end before its start, a rate below nought, no number."""
    for wrong in ({"end": 5.0, "start": 10.0}, {"grams_per_hour": -1.0}, {"decay_minutes": 0.0}, {"start": math.nan}):
        with pytest.raises(OutOfRange):
            Source(**{"grams_per_hour": 1.0, **wrong})


@given(st.lists(st.tuples(st.floats(0, 1000), st.floats(0, 120)), min_size=1, max_size=4))
def test_a_day_lies_between_its_tasks(tasks: list[tuple[float, float]]) -> None:
    """Never above the highest; a day of one amount is that amount."""
    ppm, minutes = [task[0] for task in tasks], [task[1] for task in tasks]
    assert exposure.daily_exposure(ppm, minutes) <= max(ppm) + 1e-9
    assert exposure.daily_exposure([ppm[0]], [480]) == pytest.approx(ppm[0])


def test_several_vapours_with_an_unknown_one() -> None:
    """Unknown is never counted as fine: only where the others alone are too much is there an answer."""
    unknown = exposure.mixture_share([100, 50], [200, None])
    assert (unknown.share, unknown.unknown, unknown.within_limit) == (0.5, (1,), None)
    assert exposure.mixture_share([300, 50], [200, None]).within_limit is False
    assert exposure.mixture_share([100, 0], [200, None]).within_limit is True
    assert exposure.mixture_share([100], [100]).within_limit is True


def test_lists_that_do_not_fit() -> None:
    """As many limits as vapours, as many times as amounts, and no more than a day."""
    with pytest.raises(BadInput):
        exposure.mixture_share([1, 2], [3])
    with pytest.raises(BadInput):
        exposure.daily_exposure([1], [1, 2])
    with pytest.raises(OutOfRange, match="Sum of the durations"):
        exposure.daily_exposure([1, 1], [1000, 1000])
