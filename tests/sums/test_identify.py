"""Ranking what a fitting may be: Bayes' rule, step by step."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.identify import Candidate, density_likelihood, identify, next_sign
from tallboy.tables.metals import SIGNS, candidates, outcomes

ALL = candidates()
SEEN = st.fixed_dictionaries({}, optional={sign: st.sampled_from([key for key, _ in outcomes(sign)]) for sign in SIGNS})
COIN = Candidate("coin", chances={"toss": {"heads": 0.5, "tails": 0.5}, "size": {"small": 0.2, "large": 0.8}})
TOKEN = Candidate("token", chances={"toss": {"heads": 0.5, "tails": 0.5}, "size": {"small": 0.8, "large": 0.2}})


@given(SEEN)
def test_shares_come_to_one(seen: dict[str, str]) -> None:
    """After every step; ranked best first; plated ones are part of the whole."""
    found = identify(ALL, seen)
    assert len(found.steps) == len(seen) + 1
    for step in found.steps:
        assert sum(step.shares.values()) == pytest.approx(1)
    shares = [share for _, share in found.ranked]
    assert shares == sorted(shares, reverse=True)
    assert 0 <= found.plated <= 1 + 1e-12


@given(SEEN, st.randoms(use_true_random=False))
def test_the_order_of_signs_does_not_matter(seen: dict[str, str], order: random.Random) -> None:
    """Only the steps between differ."""
    names = list(seen)
    order.shuffle(names)
    turned = identify(ALL, {name: seen[name] for name in names})
    straight = identify(ALL, seen)
    assert dict(turned.ranked) == pytest.approx(dict(straight.ranked))


@given(st.floats(1, 20), st.floats(0.001, 5), st.floats(1, 12), st.floats(0, 3))
def test_a_density_is_likeliest_inside_its_range(x: float, u: float, low: float, width: float) -> None:
    """In the middle of the range at least as likely as anywhere; never nothing."""
    middle = density_likelihood(low + width / 2, u, low, low + width)
    assert 0 < density_likelihood(x, u, low, low + width) <= middle * (1 + 1e-9)


def test_a_likelihood_is_a_density_of_probability() -> None:
    """Over all densities from 0.1 to 25 it comes to 0.95, and 5 in 100 for strangers over a width of 12."""
    steps = [0.1 + place * 0.005 for place in range(4980)]
    area = sum(density_likelihood(x, 0.2, 8.4, 8.73) * 0.005 for x in steps)
    assert area == pytest.approx(0.95 + 0.05 / 12 * 24.9, abs=0.001)


def test_a_weighing_speaks() -> None:
    """A close one decides, a loose one says almost nothing."""
    close = identify(ALL, {"magnet": "none", "rub": "yellow"}, 8.47, 0.05)
    loose = identify(ALL, {"magnet": "none", "rub": "yellow"}, 8.47, 20.0)
    without = identify(ALL, {"magnet": "none", "rub": "yellow"})
    assert close.ranked[0][0] == "yellow brass"
    assert close.ranked[0][1] > without.ranked[0][1]
    assert dict(loose.ranked)["brass on zinc"] == pytest.approx(dict(without.ranked)["brass on zinc"], rel=0.05)
    assert close.steps[-1].sign == "density"


def test_the_next_sign_is_the_one_that_tells() -> None:
    """A toss tells nothing of two coins alike; the size does. When all are tried, none is left."""
    halves = {"coin": 0.5, "token": 0.5}
    assert next_sign([COIN, TOKEN], halves) == "size"
    assert next_sign([COIN, TOKEN], halves, ["size"]) == "toss"
    assert next_sign([COIN, TOKEN], halves, ["size", "toss"]) == ""


@pytest.mark.parametrize(
    "bad",
    [
        lambda: identify([], {}), lambda: identify(ALL, {"smell": "none"}), lambda: identify(ALL, {"magnet": "purple"}),
        lambda: identify(ALL, {}, 8.5), lambda: next_sign([], {}),
        lambda: identify([Candidate("one", chances={"magnet": {"none": 0.0}})], {"magnet": "none"}),
    ],
)  # fmt: skip
def test_what_cannot_be_ranked(bad: object) -> None:
    """Nothing to choose from, an unknown sign or outcome, a density without its spread, signs that rule everything out."""
    assert callable(bad)
    with pytest.raises(BadInput):
        bad()


@pytest.mark.parametrize(
    "bad",
    [
        lambda: identify([Candidate("one", chances={"magnet": {"none": 1.5}})], {"magnet": "none"}), lambda: density_likelihood(0, 1, 1, 2),
        lambda: density_likelihood(8, 0, 1, 2), lambda: density_likelihood(8, 1, 3, 2), lambda: density_likelihood(math.nan, 1, 1, 2),
    ],
)  # fmt: skip
def test_out_of_range(bad: object) -> None:
    """A chance over one, no density, no spread, a range the wrong way round."""
    assert callable(bad)
    with pytest.raises(OutOfRange):
        bad()
