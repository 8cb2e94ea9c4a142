"""Distributions against closed forms and a published example."""

from __future__ import annotations

import math
from random import Random
from statistics import fmean, pvariance

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopday.planning.odds.delivery_odds import quantile
from shopday.planning.odds.distributions import (
    ARRIVAL_DELAY,
    AWAY_OVERRUN,
    ENOUGH_CASES,
    WORK_OVERRUN,
    Factor,
    Pert,
    further_passes,
    percent,
    pert,
    room_for,
)

# A PERT example of published lecture notes: a-m-b of the activities on the critical path 1-2-3-4-5-6
# (2-3 is a dummy), whose length has mean 20.83 and variance 3.81.
PATH = [(2, 5, 8), (3, 5, 10), (4, 6, 10), (2, 4, 6)]
MEAN, VARIANCE = 20.83, 3.81


def test_the_published_path_has_its_mean_and_variance() -> None:
    found = [Pert(*estimate) for estimate in PATH]
    assert sum(x.mean for x in found) == pytest.approx(MEAN, abs=0.005)
    assert sum(x.variance for x in found) == pytest.approx(VARIANCE, abs=0.005)


def test_draws_of_the_published_path_have_its_mean_and_variance() -> None:
    random = Random(4)
    count = 20_000
    sums = [sum(Pert(*estimate).draw(random) for estimate in PATH) for _ in range(count)]
    assert fmean(sums) == pytest.approx(MEAN, abs=5 * math.sqrt(VARIANCE / count))
    assert pvariance(sums) == pytest.approx(VARIANCE, rel=5 * math.sqrt(2 / count))


@given(st.lists(st.integers(0, 10_000), min_size=3, max_size=3), st.integers(0, 2**32))
def test_a_draw_stays_within_its_bounds(values: list[int], seed: int) -> None:
    least, likely, most = sorted(values)
    assert least <= Pert(least, likely, most).draw(Random(seed)) <= most


def test_a_likeliest_value_outside_the_spread_counts_as_its_nearer_end() -> None:
    assert pert((60, 120), 30) == Pert(60, 60, 120)
    assert pert((60, 120), 200) == Pert(60, 120, 120)


@pytest.mark.parametrize("chance", [0.1, 0.5, 0.8])
def test_the_number_of_further_passes_is_geometric(chance: float) -> None:
    """Mean 1/(1-p) passes, the one written counted."""
    random, count = Random(7), 20_000
    passes = [1 + further_passes(chance, random) for _ in range(count)]
    sd = math.sqrt(chance) / (1 - chance)
    assert fmean(passes) == pytest.approx(1 / (1 - chance), abs=5 * sd / math.sqrt(count))


def test_room_is_left_for_all_but_rare_further_passes() -> None:
    assert room_for(0) == 0
    for chance in (0.05, 0.2, 0.5, 0.8):
        assert chance ** room_for(chance) <= 0.002 < chance ** (room_for(chance) - 1)


def test_work_without_history_takes_0_9_to_2_5_times_the_estimate() -> None:
    """Mean (0.9 + 4 * 1.3 + 2.5) / 6 = 1.433; half of it is the job's, so the variance is half of (1.6 / 6)^2."""
    random, count = Random(2), 20_000
    drawn = [Factor(WORK_OVERRUN.draw(random)).draw(random)[0] for _ in range(count)]
    assert 0.9 <= min(drawn) < max(drawn) <= 2.5
    assert fmean(drawn) == pytest.approx(8.6 / 6, abs=5 * math.sqrt(0.0356 / count))
    assert pvariance(drawn) == pytest.approx(0.0356, rel=5 * math.sqrt(2 / count))


def test_time_away_and_arrivals_have_their_means() -> None:
    """(0.9 + 4 * 1.1 + 2.0) / 6 = 1.217 of the time said, and 7 / 6 days late."""
    assert AWAY_OVERRUN.mean == pytest.approx(7.3 / 6)
    assert ARRIVAL_DELAY.mean == pytest.approx(7 / 6 * 24 * 60)


def test_history_counts_from_enough_cases() -> None:
    few, enough = [3.0] * (ENOUGH_CASES - 1), [3.0] * ENOUGH_CASES
    assert Factor(1.0, few).draw(Random(0))[0] <= 2.5
    assert Factor(1.0, enough).draw(Random(0))[0] == 3.0


def test_a_quantile_is_the_least_value_that_enough_further_draws_do_not_exceed() -> None:
    """The k-th of N is not exceeded with k/(N+1) (Wilks 1941, from memory): 6/11 is the first over a half."""
    values = list(range(1, 11))
    assert [quantile(values, share) for share in (0.05, 0.5, 0.8, 0.82, 0.95, 1)] == [1, 6, 9, 10, 10, 10]
    assert quantile([1, 2, math.inf], 0.95) == math.inf
    assert quantile([7], 0.05) == 7


@pytest.mark.parametrize("count", [40, 200, 500])
def test_a_further_draw_exceeds_the_quantile_no_more_often_than_said(count: int) -> None:
    """Of values even between 0 and 1 a quantile is its own chance."""
    random, samples = Random(11), 1_000
    chances = [quantile(sorted(random.random() for _ in range(count)), 0.95) for _ in range(samples)]
    sd = math.sqrt(0.95 * 0.05 / count / samples)
    assert 0.95 - 3 * sd < fmean(chances) < 0.95 + 1 / (count + 1) + 3 * sd


@pytest.mark.parametrize(
    ("share", "said"),
    [(0, "0 %"), (0.004, "under 1 %"), (0.35, "35 %"), (0.996, "over 99 %"), (1, "100 %")],
)
def test_uncertain_chances_are_not_shown_as_certain(share: float, said: str) -> None:
    assert percent(share) == said
    assert percent(share, in_column=True) == said.replace("under ", "<").replace("over ", ">")
