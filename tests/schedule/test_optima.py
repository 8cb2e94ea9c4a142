"""Small shops whose optimum OR-Tools CP-SAT proves on an exact model: ours must be it."""

from __future__ import annotations

import pytest
from exact import exact
from hypothesis import given, settings
from making import made_shop
from random_problems import problems

from shopday.schedule.problem import Problem
from shopday.schedule.solve import solve
from shopday.schedule.verify import verify_result

HORIZON = 12 * 1440


@pytest.mark.parametrize("seed", range(16))
def test_small_shops_are_planned_as_well_as_can_be(seed: int) -> None:
    problem = made_shop(seed, 6 + seed % 6)
    result = solve(problem, 0.25, seed=1)
    assert verify_result(problem, result) == []
    assert result.schedule.unplaced == {}
    best = exact(problem, result.schedule, 60, HORIZON)
    assert best.proven
    assert (result.late, result.finish) == (best.late, best.finish)


@given(problems(tasks=7, clocks=False))
@settings(max_examples=30)
def test_an_exact_model_allows_every_schedule_and_no_bound_is_over_the_optimum(problem: Problem) -> None:
    result = solve(problem, 0.01)
    best = exact(problem, result.schedule, 60, 15 * 1440)
    assert best.proven
    assert best.late is not None
    assert best.finish is not None
    assert result.late_bound <= best.late <= result.late
    if result.late_bound == best.late:
        assert result.finish_bound <= best.finish
    if result.optimal:
        assert (result.late, result.finish) == (best.late, best.finish)
