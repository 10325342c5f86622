"""Chances against closed forms, and against numerical integration with SciPy, in shops simple enough to have them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from scipy import integrate, optimize, stats
from tests.planner.chance_made import HOUR, MANY, NOW, Times, finish, found, lognormal, shop, step

from tallboy.errors import BadInput, OutOfRange
from tallboy.planner.chance.chances import chances
from tallboy.planner.chance.course import course_of
from tallboy.planner.chance.parts import Course
from tallboy.planner.chance.walk import Chunk, Sample, Walk
from tallboy.planner.network import (
    ByHour,
    Delivery,
    Fixed,
    Link,
    Plan,
)
from tallboy.planner.solve import first_plan


def sum_of(one: Times, other: Times) -> Callable[[float], float]:
    """Distribution function of a sum of two independent times, by numerical convolution."""
    return lambda x: (
        float(integrate.quad(lambda t: one.pdf(t) * other.cdf(x - t), 0, x, limit=200)[0]) if x > 0 else 0.0
    )


def close_to(values: np.ndarray, cdf: Callable[[float], float], points: int = 60) -> None:
    """The largest distance of the sample's distribution function from the true one is what chance allows (Kolmogorov, 0.1 %)."""
    shares = (np.arange(points) + 0.5) / points
    at = np.quantile(values, shares)
    apart = max(abs(float(np.searchsorted(values, x, side="right")) / len(values) - cdf(float(x))) for x in at)
    assert apart < stats.kstwobign.ppf(0.999) / math.sqrt(len(values))


def test_one_step_is_lognormal() -> None:
    """The finish of one step has the lognormal distribution with its minutes as mean and its spread as deviation."""
    true = lognormal(120, 50)
    values = finish(shop(step("rub", 120, 50)))
    assert stats.kstest(values, true.cdf).pvalue > 0.001
    assert values.mean() == pytest.approx(120, abs=4 * 50 / math.sqrt(MANY))


def test_two_steps_in_a_row_add_up() -> None:
    """Mean and variance of two steps of one person are the sums; the distribution is the convolution (SciPy quadrature)."""
    problem = shop(step("rub", 120, 50), step("mend", 60, 30))
    values = finish(problem)
    assert values.mean() == pytest.approx(180, abs=4 * math.hypot(50, 30) / math.sqrt(MANY))
    assert values.std() == pytest.approx(math.hypot(50, 30), rel=0.03)
    cdf = sum_of(lognormal(120, 50), lognormal(60, 30))
    close_to(values, cdf)
    safe = optimize.brentq(lambda x: cdf(x) - 0.8, 100, 400)
    density = (cdf(safe + 1) - cdf(safe - 1)) / 2
    error = math.sqrt(0.8 * 0.2 / MANY) / density
    told = found(problem).pieces["slope"].finish.quantile(0.8)
    assert told is not None
    assert (told - NOW).total_seconds() / 60 == pytest.approx(safe, abs=4 * error + 1)  # told to the whole minute after


def test_two_steps_side_by_side_end_with_the_longer() -> None:
    """Of two people's steps the later end counts: the product of the distribution functions, its mean by SciPy quadrature."""
    one, other = lognormal(120, 50), lognormal(110, 60)
    values = finish(shop(step("rub", 120, 50), step("mend", 110, 60), hands=2))
    assert stats.kstest(values, lambda x: one.cdf(x) * other.cdf(x)).pvalue > 0.001
    mean = integrate.quad(lambda x: 1 - one.cdf(x) * other.cdf(x), 0, 3000, limit=400)[0]
    assert values.mean() == pytest.approx(mean, abs=4 * values.std() / math.sqrt(MANY))


def test_logarithm_of_the_longer_is_clarks() -> None:
    """The logarithm of the longer of two steps is the greater of two normals; its mean and variance are Clark's.

    Formula: C. E. Clark, The Greatest of a Finite Set of Random Variables, Operations Research 9 (1961), first and second moment
    of the greater of two independent normals; from memory.
    """
    (m1, s1), (m2, s2) = ((math.log(row.median()), row.args[0]) for row in (lognormal(120, 50), lognormal(110, 60)))
    a = math.hypot(s1, s2)
    alpha = (m1 - m2) / a
    phi, big = stats.norm.pdf(alpha), stats.norm.cdf(alpha)
    first = m1 * big + m2 * (1 - big) + a * phi
    second = (m1**2 + s1**2) * big + (m2**2 + s2**2) * (1 - big) + (m1 + m2) * a * phi
    logs = np.log(finish(shop(step("rub", 120, 50), step("mend", 110, 60), hands=2)))
    assert logs.mean() == pytest.approx(first, abs=4 * logs.std() / math.sqrt(MANY))
    assert logs.var() == pytest.approx(second - first**2, rel=0.04)


def test_a_wait_has_its_planned_time_in_the_middle() -> None:
    """A wait is the planned one times exp(spread z): its logarithm is normal about that of the plan."""
    problem = shop(step("coat", 30), step("fit", 10), links=[Link("coat", "fit", "drying", Fixed(600), spread=0.4)])
    waits = finish(problem) - 40
    assert stats.kstest(np.log(waits / 600), stats.norm(0, 0.4).cdf).pvalue > 0.001


@pytest.mark.parametrize(("shared", "spread"), [("one can", 0.3 * 2), ("", 0.3 * math.sqrt(2))])
def test_waits_of_one_word_are_long_or_short_together(shared: str, spread: float) -> None:
    """Two equal waits of one can vary like one wait of double length; without the word they are independent."""
    links = [Link(a, b, "drying", Fixed(600), spread=0.3, shared=shared) for a, b in (("one", "two"), ("two", "end"))]
    values = finish(shop(step("one", 10), step("two", 10), step("end", 10), links=links)) - 30
    single = stats.lognorm(0.3, scale=600)
    assert values.std() == pytest.approx(single.std() * spread / 0.3, rel=0.03)
    if shared:
        assert stats.kstest(values, stats.lognorm(0.3, scale=1200).cdf).pvalue > 0.001
    else:
        close_to(values, sum_of(single, single))


def test_what_has_begun_takes_longer_than_it_took_so_far() -> None:
    """What is left of a running step is distributed like the lognormal of those that take longer than the time gone by."""
    begun = step("rub", 120, 50, started=NOW - timedelta(minutes=90))
    problem = shop(begun, working=((NOW - timedelta(days=1), NOW + timedelta(days=400)),))
    true = lognormal(120, 50)
    values = finish(problem)
    assert stats.kstest(values + 90, lambda x: (true.cdf(x) - true.cdf(90)) / true.sf(90)).pvalue > 0.001


def test_a_step_far_over_its_time_still_ends() -> None:
    """Eight times its time is beyond what the distribution can be asked about directly; the rest is finite and positive."""
    begun = step("rub", 30, 3, started=NOW - timedelta(minutes=240))
    values = finish(shop(begun, working=((NOW - timedelta(days=1), NOW + timedelta(days=400)),)), 2000)
    assert np.isfinite(values).all()
    assert values.min() >= 0
    assert 0 < values.mean() < 60


def test_waits_go_by_the_hour_in_which_the_step_really_ends() -> None:
    """A coat that is laid after noon waits long: as often as the work before it takes longer than four hours."""
    wait = ByHour(NOW, (100,) * 4 + (900,) * 200)
    problem = shop(step("coat", 180, 60), step("fit", 10), links=[Link("coat", "fit", "drying", wait)])
    values = finish(problem)
    true = lognormal(180, 60)
    long = float((values >= 240 + 900).mean())
    assert long == pytest.approx(true.sf(240), abs=4 * math.sqrt(0.2 / MANY))
    assert not ((values > 240 + 110) & (values < 240 + 910)).any()


def test_a_step_that_does_not_fit_today_is_done_tomorrow() -> None:
    """The chance of a promise for today is that of the first step ending while the second still fits in before five."""
    hours = tuple((NOW + timedelta(days=k), NOW + timedelta(days=k, hours=9)) for k in range(30))
    by = NOW + timedelta(hours=15)
    steps = (step("rub", 300, 100), step("mend", 120))
    problem = shop(*steps, links=[Link("rub", "mend")], by=by, working=hours)
    told = found(problem).promises[0]
    true = lognormal(300, 100).cdf(7 * HOUR)
    assert told.chance == pytest.approx(true, abs=4 * told.error)
    assert told.error == pytest.approx(math.sqrt(true * (1 - true) / MANY), rel=0.05)


def test_a_split_step_stops_where_the_hours_end() -> None:
    """A step that may be split and runs over goes on the next morning; another is finished in the evening."""
    hours = tuple((NOW + timedelta(days=k), NOW + timedelta(days=k, hours=9)) for k in range(30))
    cut = finish(shop(step("rub", 480, 100, split=True), working=hours))
    whole = finish(shop(step("rub", 480, 100), working=hours))
    assert not ((cut > 540) & (cut <= 1440)).any()
    assert ((cut > 540) == (whole > 540)).all()
    over = (whole > 540) & (whole <= 1080)
    assert cut[over] == pytest.approx(whole[over] + 15 * HOUR)


def test_missed_windows_add_their_scuff() -> None:
    """A window is missed as often as the other work takes too long; then the scuff's minutes come on top."""
    scuff = step("scuff", 25)
    links = [
        Link("coat", "second", "drying", Fixed(60), 360, scuff=scuff),
        Link("coat", "mend"),
        Link("mend", "second"),
    ]
    problem = shop(step("coat", 30), step("mend", 240, 120, piece="other"), step("second", 30), links=links)
    plan = first_plan(problem)
    told = chances(problem, plan, futures=MANY)
    true = lognormal(240, 120).sf(360)
    assert told.windows[0].missed == pytest.approx(true, abs=4 * math.sqrt(true / MANY))
    assert told.windows[0].scuff == "scuff"
    ends = told.pieces["slope"].finish.minutes
    assert float((ends > 30 + 360 + 30 + 25).mean()) == pytest.approx(true, abs=4 * math.sqrt(true / MANY))
    assert not ((ends > 30 + 360 + 30) & (ends < 30 + 360 + 30 + 25)).any()


def test_a_quick_coat_closes_its_window_sooner() -> None:
    """Where a coat dries quicker than thought its window closes sooner too, by the same share."""
    window = Link("coat", "second", "drying", Fixed(60), 360, spread=0.5)
    links = [window, Link("coat", "mend"), Link("mend", "second")]
    problem = shop(step("coat", 30), step("mend", 240, piece="other"), step("second", 30), links=links)
    true = stats.norm.cdf(math.log(240 / 360) / 0.5)
    assert found(problem).windows[0].missed == pytest.approx(true, abs=4 * math.sqrt(true / MANY))


def test_nothing_starts_before_its_delivery_date_or_fit_air() -> None:
    """Deliveries, dates, fit air and quiet hours hold in every future."""
    day = timedelta(days=1)
    fit = tuple((NOW + k * day + timedelta(hours=2), NOW + k * day + timedelta(hours=6)) for k in range(30))
    quiet = tuple((NOW + k * day + timedelta(hours=4), NOW + k * day + timedelta(hours=20)) for k in range(30))
    steps = (
        step("rub", 60, 30, awaits=(Delivery("Wax", NOW + 2 * day + timedelta(hours=1)),)),
        step("coat", 60, 30, fit=fit, fit_minutes=60),
        step("saw", 60, 30, noisy=True),
        step("end", 30, 10, not_before=NOW + 5 * day),
    )
    links = [Link(a.key, b.key) for a, b in itertools.pairwise(steps)]
    problem = shop(*steps, links=links, quiet=quiet)
    walk = Walk(course_of(problem, first_plan(problem)), np.random.default_rng(3).standard_normal((4, 500))).all()
    rub, coat, saw, end = (start / HOUR for start in walk.starts)
    assert (rub >= 49).all()
    assert ((coat % 24 >= 2) & (coat % 24 <= 4)).all()
    assert ((saw % 24 >= 20) | (saw % 24 <= 3)).all()
    assert (end >= 120).all()


def test_the_error_is_as_large_as_it_says() -> None:
    """Of many runs with few futures some 95 % lie within 1.96 standard errors of the true chance."""
    by = NOW + timedelta(minutes=130)
    problem = shop(step("rub", 120, 50), by=by)
    plan, true = first_plan(problem), lognormal(120, 50).cdf(130)
    told = [chances(problem, plan, futures=400, seed=seed).promises[0] for seed in range(300)]
    inside = sum(abs(one.chance - true) <= 1.96 * one.error for one in told)
    assert stats.binom.cdf(inside, 300, 0.95) > 0.001
    assert stats.binom.sf(inside - 1, 300, 0.95) > 0.001


def test_drivers_share_the_spread() -> None:
    """Of three steps in a row with spreads 60, 30 and 10 the shares are as their variances; the certain one is not named."""
    steps = (step("long", 600, 60), step("some", 300, 30), step("least", 100, 10), step("sure", 200))
    drivers = found(shop(*steps)).pieces["slope"].drivers
    assert [(one.kind, one.steps) for one in drivers] == [
        ("work", ("long",)),
        ("work", ("some",)),
        ("work", ("least",)),
    ]
    assert [one.share for one in drivers] == pytest.approx([36 / 46, 9 / 46, 1 / 46], abs=0.03)


def test_a_word_is_one_driver() -> None:
    """The waits after all coats of one can are told as one driver, by their word and their steps."""
    links = [Link(a, b, "drying", Fixed(600), spread=0.3, shared="can 7") for a, b in (("one", "two"), ("two", "end"))]
    (driver,) = found(shop(step("one", 10), step("two", 10), step("end", 10), links=links)).pieces["slope"].drivers
    assert (driver.kind, driver.name, driver.steps) == ("wait", "can 7", ("one", "two"))
    assert driver.share == pytest.approx(1.0, abs=0.01)


def backwards(work: Callable[[Course, Chunk], Sample], course: Course, chunks: list[Chunk]) -> list[Sample]:
    """The chunks as they come from elsewhere: worked out in another order, handed back in their own."""
    return [work(course, chunk) for chunk in reversed(chunks)][::-1]


def test_same_seed_same_numbers_wherever_they_are_worked_out() -> None:
    """The numbers hang on the seed alone, not on the order in which the chunks are worked out; another seed gives others."""
    problem = shop(step("rub", 120, 50), step("mend", 60, 30))
    plan = first_plan(problem)
    here = chances(problem, plan, futures=3500, seed=5).pieces["slope"].finish.minutes
    there = chances(problem, plan, futures=3500, seed=5, each=backwards).pieces["slope"].finish.minutes
    other = chances(problem, plan, futures=3500, seed=6).pieces["slope"].finish.minutes
    assert (here == there).all()
    assert (here != other).any()


@pytest.mark.parametrize("futures", [1, 999, 1000, 1001, 2500])
def test_so_many_futures_as_asked(futures: int) -> None:
    """Any number of futures is worked out, whole chunks or not."""
    told = found(shop(step("rub", 120, 50)), futures)
    assert told.futures == len(told.pieces["slope"].finish.minutes) == futures


@pytest.mark.parametrize("futures", [0, -5, 200_001])
def test_too_few_or_too_many_futures_are_refused(futures: int) -> None:
    """None, or more than fit into the memory, are refused in plain words."""
    with pytest.raises(OutOfRange, match="number of futures"):
        found(shop(step("rub", 120, 50)), futures)


def test_a_plan_of_something_else_is_refused() -> None:
    """The plan must be one of this very problem."""
    plan = first_plan(shop(step("rub", 120)))
    with pytest.raises(BadInput, match="not one of this problem"):
        chances(shop(step("mend", 60)), plan)


def test_what_never_ends_in_the_known_hours_is_told() -> None:
    """Past the last hours their last week goes on for a quarter of a year; what ends later never ends, and no date is safe."""
    hours = tuple((NOW + timedelta(days=k), NOW + timedelta(days=k, hours=2)) for k in range(7))
    problem = shop(
        step("coat", 60),
        step("fit", 60),
        links=[Link("coat", "fit", "drying", Fixed(3 * 1440), spread=2.5)],
        working=hours,
        by=NOW + timedelta(days=7),
    )
    told = found(problem)
    never = stats.norm.sf(math.log(98 / 3) / 2.5)
    assert told.beyond == pytest.approx(never, abs=0.02)
    assert told.pieces["slope"].finish.quantile(0.99) is None
    assert told.promises[0].mean is None
    assert told.promises[0].safe is not None


def test_no_steps_no_chances() -> None:
    """A shop with nothing to do has no promise and no piece."""
    told = chances(shop(), first_plan(shop()))
    assert (told.promises, told.pieces, told.steps) == ((), {}, {})


def test_what_is_done_is_certain() -> None:
    """A piece whose steps are all done keeps its promise or not; no spread is left."""
    done = (NOW - timedelta(hours=3), NOW - timedelta(hours=2))
    problem = shop(step("rub", 60, 30, started=done[0], done=done), by=NOW)
    told = found(problem, 500)
    assert (told.promises[0].chance, told.promises[0].error, told.promises[0].safe) == (1.0, 0.0, done[1])


@pytest.mark.parametrize("seed", range(10))
def test_longer_work_makes_nothing_earlier(seed: int) -> None:
    """With fixed waits and no windows, one step drawn longer makes no step of that future start or end earlier."""
    random = np.random.default_rng(seed)
    steps = tuple(
        step(
            f"s{k}",
            int(random.integers(2, 30)) * 5,
            20,
            piece=f"p{k % 3}",
            place="bench",
            dusty=bool(k % 2),
            wet=None if k % 2 else Fixed(60),
            split=bool(k % 5 == 0),
        )
        for k in range(12)
    )
    links = [
        Link(f"s{k}", f"s{k + 3}", "drying", Fixed(int(random.integers(0, 20)) * 30), spread=0.3) for k in range(9)
    ]
    hours = tuple((NOW + timedelta(days=k), NOW + timedelta(days=k, hours=8)) for k in range(60))
    problem = shop(*steps, links=links, working=hours, hands=2)
    course = course_of(problem, first_plan(problem))
    draws = random.standard_normal((len(course.columns), 200))
    longer = draws.copy()
    longer[int(random.integers(len(draws)))] += np.abs(random.standard_normal(200))
    before, after = Walk(course, draws).all(), Walk(course, longer).all()
    for a, b in zip(before.starts + before.ends, after.starts + after.ends, strict=True):
        assert (b >= a - 1e-6).all()


def test_quantiles_are_in_order_and_hold_what_they_say() -> None:
    """One of ten futures starts by `early`, half by `middle`, nine of ten by `late`."""
    problem = shop(step("rub", 120, 50), step("mend", 60, 30), links=[Link("rub", "mend")])
    told = found(problem)
    start = told.steps["mend"].start
    true = lognormal(120, 50)
    for share, moment in ((0.1, start.early), (0.5, start.middle), (0.9, start.late)):
        assert moment is not None
        reached = true.cdf((moment - NOW).total_seconds() / 60)
        assert reached == pytest.approx(share, abs=0.02)
    assert told.steps["rub"].start.early == told.steps["rub"].start.late == NOW


def plan_without_names(plan: Plan) -> Plan:
    """The plan as one that does not say who does what."""
    return replace(plan, steps={key: replace(one, people=()) for key, one in plan.steps.items()})


def test_a_plan_that_names_nobody_is_shared_out() -> None:
    """Where a plan names nobody, people alike are told apart by when they are free: the same chances as with names."""
    problem = shop(
        step("rub", 120, 50),
        step("mend", 110, 60),
        step("end", 30),
        links=[Link("rub", "end"), Link("mend", "end")],
        hands=2,
    )
    plan = first_plan(problem)
    named = chances(problem, plan, futures=2000).pieces["slope"].finish.minutes
    nameless = chances(problem, plan_without_names(plan), futures=2000).pieces["slope"].finish.minutes
    assert (named == nameless).all()
