"""Two searches in two processes find what they find one after the other, and the second ends with the first."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from typing import Any

import pytest
from making import made_shop
from tiny import shop, work

from shopday.scheduler import Builder, Problem, Result, improve_in_parallel, solve, verify_result
from shopday.scheduler.search import parallel_search
from shopday.scheduler.search.solve import can_be_freed
from shopday.worker_process import WorkerProcess

EFFORT = 0.05


@pytest.fixture(autouse=True)
def soon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two searches even for little."""
    monkeypatch.setattr(parallel_search, "TWO_SEARCHES_FROM", EFFORT)


def aim(result: Result) -> tuple[int, int, int]:
    return len(result.schedule.unplaced), result.late, result.finish


def checked(problem: Problem, results: Iterator[Result | None]) -> list[Result]:
    """All of them, each verified and none worse than the one before."""
    found = list(filter(None, results))
    assert all(verify_result(problem, result) == [] for result in found)
    assert [aim(result) for result in found] == sorted((aim(result) for result in found), reverse=True)
    return found


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_the_better_result_of_two_searches_counts(seed: int) -> None:
    problem = made_shop(seed, 30)
    alone = [solve(problem, EFFORT, seed=of) for of in (0, 1)]
    last = checked(problem, improve_in_parallel(problem, EFFORT))[-1]
    assert aim(last) == min(aim(result) for result in alone)
    assert last.optimal or last.iterations == sum(result.iterations for result in alone)


@pytest.mark.slow
def test_results_of_the_second_search_count() -> None:
    """Of some shops it is the second search that finds more: without them the test above could pass with one."""
    shops = (made_shop(seed, 30) for seed in range(4))
    assert any(aim(solve(x, EFFORT, seed=1)) < aim(solve(x, EFFORT)) for x in shops)


@pytest.mark.slow
@pytest.mark.parametrize("steps", [30, 60], ids=["one turn", "three turns"])
@pytest.mark.parametrize("program", ["/nowhere/python", "/bin/false", "/bin/echo"])
def test_without_a_second_process_the_answers_are_the_same(
    program: str, steps: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It cannot be started, ends at once, or answers what is no schedule."""
    problem = made_shop(1, steps)
    assert can_be_freed(problem) == (steps == 60)
    expected = checked(problem, improve_in_parallel(problem, EFFORT))
    monkeypatch.setattr(sys, "executable", program)
    assert checked(problem, improve_in_parallel(problem, EFFORT)) == expected


@pytest.mark.slow
def test_after_their_first_turn_both_go_on_from_the_better_schedule(monkeypatch: pytest.MonkeyPatch) -> None:
    """With one turn they end as well as each of them does alone; the second never loses that, and often wins more."""
    shops = [made_shop(seed, 60) for seed in (0, 1)]
    turns = parallel_search.FREEING
    thrice = [
        aim(checked(problem, improve_in_parallel(problem, len(turns) * EFFORT))[-1]) for problem in shops
    ]
    monkeypatch.setattr(parallel_search, "FREEING", turns[:1])
    once = [aim(checked(problem, improve_in_parallel(problem, EFFORT))[-1]) for problem in shops]
    assert all(more <= first for more, first in zip(thrice, once, strict=True))
    assert thrice != once


def never(*_: object) -> None:
    raise AssertionError("a second search was asked for")


def test_small_or_proven_problems_are_searched_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parallel_search, "asked", never)
    busy = made_shop(0, 30)
    list(improve_in_parallel(busy, EFFORT / 2))
    list(improve_in_parallel(shop(*[work(60)] * (parallel_search.FEWEST_TASKS - 1)), EFFORT))
    one = shop(*[work(10)] * parallel_search.FEWEST_TASKS)
    assert checked(one, improve_in_parallel(one, EFFORT))[-1].optimal
    with pytest.raises(AssertionError, match="asked for"):
        list(improve_in_parallel(busy, EFFORT))


def test_the_second_search_ends_when_nobody_wants_more(monkeypatch: pytest.MonkeyPatch) -> None:
    hired: list[WorkerProcess] = []

    def noted(module: str, question: object) -> WorkerProcess:
        hired.append(worker := WorkerProcess(module))
        worker.ask(question)
        return worker

    monkeypatch.setattr(parallel_search, "asked", noted)
    results = improve_in_parallel(made_shop(0, 60), 10)
    for _ in range(2):
        next(filter(None, results))
    (worker,) = hired
    assert worker.process.poll() is None
    results.close()
    assert worker.process.returncode is not None


def test_the_search_can_be_cancelled_between_any_two_builds(monkeypatch: pytest.MonkeyPatch) -> None:
    """But for the few that begin and end a search."""
    builds = 0
    build = Builder.build

    def counted(self: Builder, *args: Any, **named: Any) -> Any:
        nonlocal builds
        builds += 1
        return build(self, *args, **named)

    monkeypatch.setattr(Builder, "build", counted)
    between = []
    for _ in improve_in_parallel(made_shop(0, 60), EFFORT):
        between.append(builds)
        builds = 0
    assert len(between) > 100
    assert max(between) <= 10
