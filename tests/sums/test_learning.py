"""A shop's own factor: touches narrow it, never beyond what they say; bounds count as bounds."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.learning import CLASS_DOUBT, COAT_SCATTER, Observed, faded, learned, prior_spread, still_wet
from tallboy.sums.rates import Label, Law

PRIOR = 0.3
RATIOS = st.floats(0.3, 3.0)
# Hours of touch and next coat on makers' sheets (wood-air-finish.md, section 6, dry / recoat / cure by class, read).
SHEETS = [
    (0.5, 2), (1, 4), (3, 5), (15, 18), (3, 6), (6, 10), (0.25, 0.5), (0.5, 2), (0.25, 1), (1, 2), (0.5, 4), (1, 2),
]  # fmt: skip


@st.composite
def observed(draw: st.DrawFn) -> Observed:
    """One coat: a lower bound, an upper bound, both, or an exact finding; of any age, in any air."""
    low, high = sorted((draw(RATIOS), draw(RATIOS)))
    after, by = draw(st.sampled_from([(low, high), (low, None), (None, high), (low, low)]))
    return Observed(after, by, draw(st.floats(0, 1)), draw(st.floats(0, 0.5)))


def test_without_a_touch_the_label_stands() -> None:
    """Factor 1, as unsure as before, and one line that says so."""
    found = learned([], PRIOR)
    assert found.value == pytest.approx(1, abs=1e-9)
    assert found.spread == pytest.approx(PRIOR, rel=1e-4)
    assert found.share == pytest.approx(1, rel=1e-4)
    assert (found.touches, found.coats, len(found.working)) == (0, 0, 1)
    assert found.working[0] == "Before any touch: factor 1, 0.74 to 1.35 (ln factor 0 ± 0.30)."


@given(st.lists(RATIOS, min_size=1, max_size=12), st.floats(0.1, 0.8), st.floats(0.05, 0.5))
def test_exact_findings_are_the_conjugate_normal(ratios: list[float], prior: float, scatter: float) -> None:
    """Precisions add: 1/spread² = 1/prior² + n/scatter²; mean = spread² * sum of ln(ratio) / scatter² (closed form)."""
    found = learned([Observed(ratio, ratio) for ratio in ratios], prior, scatter)
    precision = 1 / prior**2 + len(ratios) / scatter**2
    mean = sum(map(math.log, ratios)) / scatter**2 / precision
    assert math.log(found.value) == pytest.approx(mean, abs=1e-4)
    assert found.spread == pytest.approx(precision**-0.5, rel=1e-3)


@pytest.mark.parametrize(
    "coats",
    [
        [(0.8, 1.3)], [(None, 0.7)], [(1.6, None)], [(0.9, 1.1), (1.2, 2.0), (None, 1.0)], [(2.5, 2.6)] * 4, [(0.3, None), (None, 3.0)],
        [(0.9, 0.90001)],
    ],
)  # fmt: skip
def test_bounds_agree_with_numerical_integration(coats: list[tuple[float | None, float | None]]) -> None:
    """scipy's normal distribution and its adaptive quadrature, apart from the grid."""

    def density(m: float) -> float:
        found = stats.norm.pdf(m, 0, PRIOR)
        for after, by in coats:
            upper = 1.0 if by is None else stats.norm.cdf(math.log(by), m, COAT_SCATTER)
            lower = 0.0 if after is None else stats.norm.cdf(math.log(after), m, COAT_SCATTER)
            found *= upper - lower
        return float(found)

    def moment(power: int, about: float = 0.0) -> float:
        return float(integrate.quad(lambda m: density(m) * (m - about) ** power, -3, 3, epsabs=0, limit=400)[0])

    mean = moment(1) / moment(0)
    spread = math.sqrt(moment(2, mean) / moment(0))
    found = learned([Observed(after, by) for after, by in coats], PRIOR)
    assert math.log(found.value) == pytest.approx(mean, abs=2e-4)
    assert found.spread == pytest.approx(spread, abs=2e-4)


@given(st.lists(observed(), max_size=10))
def test_no_touch_makes_less_sure_than_none(coats: list[Observed]) -> None:
    """Whatever was told, the spread is at most the prior's, and the values stand in their order."""
    found = learned(coats, PRIOR)
    assert found.spread <= PRIOR * (1 + 1e-4)
    assert found.low < found.value < found.high
    assert found.touches == sum(coat.touches for coat in coats)


@given(RATIOS, st.floats(1.0, 1.6), st.integers(1, 8))
def test_the_same_told_again_narrows_it(after: float, wider: float, times: int) -> None:
    """One more coat like the others, exact or between bounds, makes it surer."""
    coat = Observed(after, after * wider)
    fewer, more = learned([coat] * times, PRIOR), learned([coat] * (times + 1), PRIOR)
    assert more.spread < fewer.spread


def test_a_bound_moves_only_one_way() -> None:
    """Dry enough long after is no news; not yet when it should have been dry pushes the factor up."""
    assert learned([Observed(None, 5.0)], PRIOR).value == pytest.approx(1, abs=1e-3)
    assert learned([Observed(None, 0.8)], PRIOR).value < 0.9
    assert learned([Observed(1.5, None)], PRIOR).value > 1.3
    assert learned([Observed(0.2, None)], PRIOR).value == pytest.approx(1, abs=1e-3)


@given(observed())
def test_what_has_faded_away_teaches_nothing(coat: Observed) -> None:
    """Weight 0 leaves what was there before."""
    assert learned([replace(coat, weight=0)], PRIOR).spread == pytest.approx(PRIOR, rel=1e-4)


@given(RATIOS, st.floats(0, 1), st.floats(0, 1))
def test_a_coat_in_unknown_air_counts_less(ratio: float, sure: float, unsure: float) -> None:
    """An exact finding pulls the less, and leaves the more doubt, the less its air is known."""
    known, guessed = (learned([Observed(ratio, ratio, 1.0, s)], PRIOR) for s in sorted((sure, unsure)))
    assert abs(math.log(guessed.value)) <= abs(math.log(known.value)) + 1e-6
    assert guessed.spread >= known.spread - 1e-6


def test_a_touch_counts_for_half_after_a_year() -> None:
    """Counted in days."""
    assert faded(0) == 1
    assert faded(730) == 0.25
    with pytest.raises(OutOfRange):
        faded(-1)


@given(st.floats(0, 10_000), st.floats(0.5, 2.0), st.floats(0.05, 0.6))
def test_a_coat_that_is_not_dry_yet_takes_longer_than_so_far(ratio: float, value: float, spread: float) -> None:
    """Above what has gone by, never below what the shop expects; scipy's truncated normal gives the same points."""
    shop = replace(learned([], spread), value=value)
    coat = still_wet(shop, ratio)
    width = math.hypot(shop.spread, COAT_SCATTER)
    begun = -math.inf if ratio == 0 else (math.log(ratio) - math.log(value)) / width
    if begun < 5:  # farther out scipy's own points lose digits
        shares = (stats.norm.cdf(-1), 0.5, stats.norm.cdf(1))
        expected = [value * math.exp(width * float(stats.truncnorm.ppf(q, begun, math.inf))) for q in shares]
        assert [coat.low, coat.value, coat.high] == pytest.approx(expected, rel=1e-6)
    assert coat.value > max(ratio, value * (1 - 1e-9))
    assert coat.low > ratio


def test_the_working_can_be_followed() -> None:
    """Each coat by its name, with what was told of it and what it still counts for."""
    coats = [Observed(0.8, 1.32, name="Coat of 3 March"), Observed(None, 0.9, 0.5, 0.12, "Coat of 9 April")]
    lines = learned(coats, PRIOR).working
    assert lines[1] == "Coat of 3 March: not yet at 0.80, dry enough at 1.32 of the label's time."
    assert lines[2] == "Coat of 9 April: dry enough at 0.90 of the label's time; counts 0.50; air unsure, ± 0.12."
    assert "from 3 touches on 2 coats" in lines[3]
    assert "not dry yet at 2.00" in still_wet(learned(coats, PRIOR), 2.0).working[-1]


@pytest.mark.parametrize(
    "wrong",
    [
        {"after": None, "by": None}, {"after": 1.2, "by": 1.0}, {"after": 0.01, "by": None}, {"after": None, "by": 30.0},
        {"after": None, "by": 1.0, "weight": 2.0}, {"after": None, "by": 1.0, "spread": -1.0}, {"after": None, "by": math.nan},
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(wrong: dict[str, Any]) -> None:
    """Before anything is learned from it."""
    with pytest.raises(BadInput):
        Observed(**wrong)


def test_spreads_out_of_range_are_refused() -> None:
    """Each by its name."""
    with pytest.raises(OutOfRange, match="before any touch"):
        learned([], 0)
    with pytest.raises(OutOfRange, match="Scatter"):
        learned([], 0.3, 5)
    with pytest.raises(OutOfRange, match="Share"):
        still_wet(learned([], 0.3), 10_001)


@pytest.mark.parametrize("law", list(Law))
def test_a_label_of_its_own_is_surer_than_its_class(law: Law) -> None:
    """And a law that is surer in the cold leaves less to learn."""
    own = Label(law, 60, 240)
    usual = replace(own, usual=("touch", "recoat"))
    assert 0.2 < prior_spread(own) < prior_spread(usual) < 0.6


def test_the_doubt_about_a_class_is_that_of_the_sheets() -> None:
    """Mean of half of ln(greatest / least) over the ranges of makers' sheets."""
    doubt = sum(math.log(most / least) / 2 for least, most in SHEETS) / len(SHEETS)
    assert pytest.approx(doubt, abs=0.005) == CLASS_DOUBT
