"""Two searches of a problem, from two seeds, and of two kinds if the second kind suits it. The second runs in a
process of its own: where one search gets stuck, the other may not.

The better of two is worth more than twice the time for one, and needs only the time of one on two cores. The result
is the same with one core, or without a second process.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator, Sequence

from shopday.scheduler.model.heartbeats import Steps
from shopday.scheduler.model.problem import Problem
from shopday.scheduler.model.result import Result
from shopday.scheduler.search.solve import improve
from shopday.worker_process import WorkerProcess, asked, serve

WORTHWHILE = 0.5
"""The effort from which there are two searches."""

FEW = 12
"""With fewer tasks to be done one search is enough."""

BEAT = 0.02
"""Seconds between heartbeats while only the second search is waited for."""

SearchRequest = tuple[Problem, float, Sequence[int] | None]
"""What to improve, with what effort, from what order."""


def improve_in_parallel(
    problem: Problem, effort: float = 1.0, order: Sequence[int] | None = None, bounded: bool = True
) -> Iterator[Result | None]:
    """Like `improve`: yield every better schedule of the first search, then those of the second that are better
    still."""
    mine = improve(problem, effort, order, bounded=bounded)
    if effort < WORTHWHILE or sum(task.fixed is None for task in problem.tasks) < FEW:
        yield from mine
        return
    best = yield from first_of(mine)
    yield best
    question = problem, effort, order
    worker = None if best.optimal else asked(__name__, question)
    theirs: list[Result] = []
    try:
        for found in mine:
            best = found or best
            if worker is not None:  # the worker stops while its answers are not read
                theirs += worker.come()
            yield found
        if not best.optimal:
            yield from _better(best, _of_the_second(worker, theirs, question))
    finally:
        if worker is not None:
            worker.end()


def first_of(results: Iterator[Result | None]) -> Steps[Result]:
    """The first result there is."""
    while (result := next(results)) is None:
        yield
    return result


def _of_the_second(
    worker: WorkerProcess | None, read: Sequence[Result], question: SearchRequest
) -> Iterator[Result | None]:
    """The results of the second search; it runs here from the start if the worker did not finish."""
    yield from read
    while worker is not None and not worker.over and not worker.lost:
        yield None
        yield from worker.come(BEAT)
    if worker is None or worker.lost:
        yield from _second(question)


def _second(question: SearchRequest) -> Generator[Result | None, None, None]:
    problem, effort, order = question
    yield from improve(problem, effort, order, seed=1, freeing=True)


def _better(best: Result, found: Iterator[Result | None]) -> Iterator[Result | None]:
    """Yield results that are better or have better bounds, then the last one with the schedules of both searches
    counted."""
    mine, theirs = best.iterations, 0
    for result in found:
        if result is None:
            yield None
            continue
        theirs = result.iterations
        known = result.knowing(best) if result.aim < best.aim else best.knowing(result)
        if known != best:
            best = known
            yield best
    yield best._replace(iterations=mine + theirs)


if __name__ == "__main__":
    serve(_second)
