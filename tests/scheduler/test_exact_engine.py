"""The exact engine finds the optimum an independent model finds, proves it, and is nowhere worse than what it is given."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from dataclasses import replace

import pytest
from exact import exact
from hypothesis import given, settings
from making import made_shop
from random_problems import problems
from tiny import shop, work

from shopday.scheduler import Problem, Result, first, improve_in_parallel, solve, verify_result
from shopday.scheduler.exact.encoding import Declined
from shopday.scheduler.exact.exact_process import exact_answers
from shopday.scheduler.exact.exact_search import improve_exactly
from shopday.scheduler.exact.scoping import MOST_TASKS
from shopday.scheduler.search import parallel_search
from shopday.worker_process import WorkerProcess

EXAMPLES = int(os.environ.get("SHOPDAY_EXACT", "15"))
"""By hand: SHOPDAY_EXACT=120."""


def unbounded(problem: Problem) -> Result:
    """A schedule of which nothing is known, in an order that is rarely good."""
    found = first(problem, range(len(problem.tasks))[::-1])
    return replace(found, late_bound=0, short_bound=0, finish_bound=0, floors=())


def better_ones(problem: Problem, start: Result, effort: float) -> list[Result]:
    """All results, each verified and none worse than the one before."""
    found = [result for result in improve_exactly(problem, start, effort) if result is not None]
    aims = [start.aim, *(result.aim for result in found)]
    assert all(verify_result(problem, result) == [] for result in found)
    assert aims == sorted(aims, reverse=True)
    return [start, *found]


@pytest.mark.slow
@given(problems(tasks=8))
@settings(max_examples=EXAMPLES)
def test_optima_are_those_of_an_independent_model(problem: Problem) -> None:
    start = unbounded(problem)
    if all(task.fixed is not None or task.going for task in problem.tasks):
        return
    best = better_ones(problem, start, 10)[-1]
    longest = max((place.complete for place in start.schedule.placed if place), default=problem.now)
    known = exact(problem, start.schedule, 20, (longest - problem.now) * 5 // 4 + 3 * 1440)
    if known.proven:
        assert best.late == known.late
        if all(job.safe_by is None for job in problem.jobs):
            assert best.optimal
            assert best.finish == known.finish


@pytest.mark.slow
def test_it_proves_what_our_own_search_leaves_open() -> None:
    problem = made_shop(0, 30)
    start = solve(problem, 0.1)
    assert not start.optimal
    best = better_ones(problem, start, 2)[-1]
    assert best.optimal
    assert best.aim < start.aim


@pytest.mark.slow
def test_the_same_question_has_the_same_answers() -> None:
    problem = made_shop(1, 30)
    once, again = (better_ones(problem, first(problem), 0.5) for _ in range(2))
    assert once == again


@pytest.mark.slow
def test_a_better_schedule_from_elsewhere_is_taken_up() -> None:
    problem = made_shop(0, 60)
    start, theirs = first(problem), solve(problem, 0.5)
    assert theirs.aim < start.aim
    search = improve_exactly(problem, start, 1)
    next(search)
    search.send(theirs)
    assert all(result.aim <= theirs.aim for result in search if result is not None)


def test_what_is_too_large_is_declined() -> None:
    large = shop(*[work(10)] * (MOST_TASKS + 1))
    with pytest.raises(Declined, match="too large"):
        next(improve_exactly(large, first(large), 1))


@pytest.mark.slow
def test_what_is_declined_is_searched_as_without_it(monkeypatch: pytest.MonkeyPatch) -> None:
    problem = made_shop(1, 30)
    monkeypatch.setattr("shopday.scheduler.exact.scoping.MOST_TASKS", 1)
    monkeypatch.setattr("shopday.scheduler.exact.exact_process.OWN", 0.02)
    found = list(filter(None, exact_answers((problem, 0.05, None))))
    assert found[-1] == solve(problem, 0.05, seed=1)


@pytest.fixture
def exactly(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two searches even for little, and the exact engine the second of them."""
    monkeypatch.setattr(parallel_search, "WORTHWHILE", 0.05)
    monkeypatch.setattr(parallel_search, "USUAL", 0.0)


def run(problem: Problem, effort: float) -> Sequence[Result]:
    found = list(filter(None, improve_in_parallel(problem, effort)))
    assert all(verify_result(problem, result) == [] for result in found)
    return found


@pytest.mark.slow
@pytest.mark.usefixtures("exactly")
def test_the_exact_engine_takes_the_place_of_the_second_search() -> None:
    problem = made_shop(0, 30)
    found = run(problem, 0.1)
    assert found[-1].optimal
    assert "ortools" not in {
        name.split(".")[0] for name in vars(sys.modules["shopday.scheduler.search.parallel_search"])
    }


@pytest.mark.slow
@pytest.mark.usefixtures("exactly")
@pytest.mark.parametrize("trouble", ["absent", "killed"])
def test_without_it_the_plan_is_that_of_our_own_searches(
    trouble: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not installed, or its process is gone before it has said anything."""
    problem = made_shop(1, 30)

    class Killed(WorkerProcess):
        def __init__(self, *args: str) -> None:
            super().__init__(*args)
            self.process.kill()

    monkeypatch.setattr(parallel_search, "USUAL", 1.0)
    expected = run(problem, 0.05)[-1]
    monkeypatch.setattr(parallel_search, "USUAL", 0.0)
    if trouble == "killed":
        monkeypatch.setattr("shopday.worker_process.WorkerProcess", Killed)
    else:
        monkeypatch.setattr(parallel_search, "exact_engine_trouble", lambda: "OR-Tools is not installed")
    assert run(problem, 0.05)[-1] == expected
