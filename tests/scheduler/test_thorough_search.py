"""The exact engine beside our own search: never worse than without it, whatever becomes of it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from importlib import metadata

import pytest
from making import made_shop

from shopday.scheduler import (
    Problem,
    Result,
    improve_in_parallel,
    improve_thoroughly,
    thorough_search,
    verify_result,
)
from shopday.scheduler.exact_engine import exact_engine_trouble
from shopday.scheduler.search import parallel_search
from shopday.worker_process import WorkerProcess

USUAL, EFFORT = 0.05, 0.1

pytestmark = pytest.mark.slow


@pytest.fixture(autouse=True)
def _soon(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Two searches even for little, and the exact engine one of them."""
    monkeypatch.setattr(parallel_search, "TWO_SEARCHES_FROM", USUAL)
    monkeypatch.setattr(thorough_search, "OWN_EFFORT", USUAL)
    exact_engine_trouble.cache_clear()
    yield
    exact_engine_trouble.cache_clear()


def checked(problem: Problem, results: Iterator[Result | None]) -> list[Result]:
    """All of them, each verified and none worse than the one before."""
    found = list(filter(None, results))
    assert all(verify_result(problem, result) == [] for result in found)
    aims = [result.aim for result in found]
    assert aims == sorted(aims, reverse=True)
    return found


def without(problem: Problem) -> Result:
    return checked(problem, improve_in_parallel(problem, EFFORT))[-1]


def test_with_the_exact_engine_the_plan_is_proven() -> None:
    problem = made_shop(0, 30)
    best = checked(problem, improve_thoroughly(problem, 2))[-1]
    assert best.optimal
    assert not best.without_exact
    assert best.aim < without(problem).aim


def test_on_one_core_the_plan_is_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """There what the process has to say comes only when our own turn is over."""
    problem = made_shop(1, 30)
    expected = checked(problem, improve_thoroughly(problem, EFFORT))[-1]
    come = WorkerProcess.come
    monkeypatch.setattr(WorkerProcess, "come", lambda self, wait=0: come(self, wait) if wait else ())
    assert checked(problem, improve_thoroughly(problem, EFFORT))[-1] == expected


@pytest.mark.parametrize(
    ("installed", "said"),
    [
        (None, "OR-Tools is not installed"),
        ("9.99.1", "OR-Tools 9.99.1 is not the version it was made for (9.12)"),
    ],
)
def test_a_missing_or_unsupported_engine_is_reported(
    installed: str | None, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on an older Python, for which there is none."""
    problem = made_shop(1, 30)

    def version(name: str) -> str:
        if installed is None:
            raise metadata.PackageNotFoundError(name)
        return installed

    monkeypatch.setattr(metadata, "version", version)
    found = checked(problem, improve_thoroughly(problem, EFFORT))[-1]
    assert found.without_exact == said
    assert found.schedule == without(problem).schedule


def test_without_a_second_process_our_own_search_does_it(monkeypatch: pytest.MonkeyPatch) -> None:
    problem = made_shop(1, 30)
    expected = without(problem)
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    found = checked(problem, improve_thoroughly(problem, EFFORT))[-1]
    assert found.schedule == expected.schedule
    assert "process" in found.without_exact


def test_results_of_a_killed_engine_are_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is killed when it is asked for its second turn: it has handed out plans by then."""
    problem, effort = made_shop(3, 60), 0.3
    asked: list[object] = []
    ask = WorkerProcess.ask

    def killed(self: WorkerProcess, question: object) -> None:
        asked.append(question)
        if len(asked) == 2:
            self.process.kill()
            self.process.wait()
        ask(self, question)

    monkeypatch.setattr(WorkerProcess, "ask", killed)
    found = checked(problem, improve_thoroughly(problem, effort))
    handed_out = asked[1]
    assert isinstance(handed_out, Result)
    assert found[-1].aim <= min(handed_out.aim, without(problem).aim)
    assert found[-1].without_exact == "its process ended too soon"


def test_a_declined_problem_is_searched_as_usual(monkeypatch: pytest.MonkeyPatch) -> None:
    problem = made_shop(1, 30)
    monkeypatch.setattr(thorough_search, "EXACT_PROCESS", "declining_engine")
    found = checked(problem, improve_thoroughly(problem, EFFORT))[-1]
    assert found.schedule == without(problem).schedule
    assert found.without_exact == "too large"
