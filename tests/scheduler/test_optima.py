"""Small shops whose optimum OR-Tools CP-SAT proves on an exact model: ours must be it."""

from __future__ import annotations

import pytest
from exact import exact
from hypothesis import given, settings
from making import small_shop
from random_problems import problems

from shopday.scheduler import Problem, first, improve, solve, verify_result

HORIZON = 12 * 1440


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(20))
def test_small_shops_are_planned_optimally(seed: int) -> None:
    problem = small_shop(seed)
    best = exact(problem, first(problem).schedule, 60, HORIZON)
    assert best.proven
    assert best.late is not None
    assert best.finish is not None
    for result in filter(None, improve(problem, 1)):
        assert verify_result(problem, result) == []
        assert result.schedule.unplaced == {}
        assert (result.late, result.finish) >= (best.late, best.finish)
        if (result.late, result.finish) == (best.late, best.finish):
            return
    pytest.fail(f"{result.late}, {result.finish} is the best found, {best.late}, {best.finish} can be had")


def test_the_small_shops_use_every_rule() -> None:
    problems = [small_shop(seed) for seed in range(20)]
    tasks = [task for problem in problems for task in problem.tasks]
    assert {task.adds is None for task in tasks if task.windows} == {True, False}
    assert {len(task.crews) for task in tasks} == {1, 2}
    assert any(len(crew.people) == 2 for task in tasks for crew in task.crews)
    assert any(task.dusty for task in tasks)
    assert any(phase.needs_still_air and phase.keeps for task in tasks for phase in task.phases)
    assert max(len(problem.tasks) for problem in problems) >= 12


@pytest.mark.slow
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
