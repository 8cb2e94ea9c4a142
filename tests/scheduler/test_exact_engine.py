"""The exact engine finds the optimum an independent model finds, proves it, and is nowhere worse than what it is given."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from exact import exact
from hypothesis import given, settings
from making import made_shop
from random_problems import problems
from tiny import shop, work

from shopday.scheduler import Problem, Result, first, solve, verify_result
from shopday.scheduler.exact.encoding import Declined
from shopday.scheduler.exact.exact_process import ExactTurns
from shopday.scheduler.exact.exact_search import ExactSearch
from shopday.scheduler.exact.neighbourhoods import Neighbourhoods
from shopday.scheduler.exact.scoping import MOST_TASKS
from shopday.scheduler.exact_engine import ExactEnded, ExactRequest

EXAMPLES = int(os.environ.get("SHOPDAY_EXACT", "15"))
"""By hand: SHOPDAY_EXACT=120."""


def unbounded(problem: Problem) -> Result:
    """A schedule of which nothing is known, in an order that is rarely good."""
    found = first(problem, range(len(problem.tasks))[::-1])
    return found._replace(late_bound=0, short_bound=0, finish_bound=0, floors=())


def better_ones(problem: Problem, start: Result, effort: float) -> list[Result]:
    """All results, each verified and none worse than the one before."""
    found = [result for result in ExactSearch(problem, start, effort).run() if result is not None]
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
def test_the_exact_engine_proves_what_our_search_leaves_open() -> None:
    problem = made_shop(0, 30)
    start = solve(problem, 0.1)
    assert not start.optimal
    best = better_ones(problem, start, 2)[-1]
    assert best.optimal
    assert best.aim < start.aim


@pytest.mark.slow
def test_the_exact_engine_is_reproducible() -> None:
    problem = made_shop(1, 30)
    once, again = (better_ones(problem, first(problem), 0.5) for _ in range(2))
    assert once == again


@pytest.mark.slow
def test_a_better_schedule_from_elsewhere_is_used() -> None:
    problem = made_shop(0, 30)
    start, theirs = first(problem), solve(problem, 0.5)
    assert theirs.aim < start.aim
    search = ExactSearch(problem, start, 1)
    run = search.run()
    next(run)
    search.take(theirs)
    assert all(result.aim <= theirs.aim for result in run if result is not None)


def test_jobs_that_could_gain_much_are_free_more_often() -> None:
    tasks_of = {job: [job] for job in range(9)}
    starts = dict.fromkeys(range(9), 0)
    rounds = Neighbourhoods(tasks_of, seed=0)
    free = [tasks for tasks, whole in (rounds.next(starts, {4: 1000}) for _ in range(400)) if whole]
    often = {job: sum(job in tasks for tasks in free) / len(free) for job in tasks_of}
    assert often[4] > 2 * max(share for job, share in often.items() if job != 4)
    assert all(often.values())


def test_a_problem_too_large_is_declined() -> None:
    large = shop(*[work(10)] * (MOST_TASKS + 1))
    start = first(large)
    with pytest.raises(Declined, match="more than 400"):
        ExactSearch(large, start, 1)
    turns = ExactTurns()
    assert list(filter(None, turns.answers(ExactRequest(large, 1, start.order, 0))))[1:] == [
        ExactEnded("more than 400 passes are still to be done")
    ]


def test_only_its_own_process_loads_the_exact_engine() -> None:
    loaded = "import sys, shopday.scheduler.thorough_search; assert 'ortools' not in sys.modules"
    subprocess.run([sys.executable, "-c", loaded], check=True)
