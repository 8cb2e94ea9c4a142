"""Two searches of a problem, from two seeds and of two kinds where it is made for the second kind, that one in a process
of its own: where one gets stuck, the other may not.

The best of two is worth more than twice the time for one, and needs no more than that of one where there
are two cores. What comes of it is the same with one core, or with no second process at all.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator, Sequence

from shopday.scheduler.model.heartbeats import Steps
from shopday.scheduler.model.problem import Problem
from shopday.scheduler.model.result import Result
from shopday.scheduler.search.solve import improve
from shopday.worker_process import WorkerProcess, asked, serve

WORTHWHILE = 0.5
"""Effort from which there are two searches."""

FEW = 12
"""With fewer tasks to be done one search is enough."""

BEAT = 0.02
"""Seconds between heartbeats while nothing is left but to wait for the second search."""

SearchRequest = tuple[Problem, float, Sequence[int] | None]
"""What to improve, with what effort, from what order."""


def improve_in_parallel(
    problem: Problem, effort: float = 1.0, order: Sequence[int] | None = None, bounded: bool = True
) -> Iterator[Result | None]:
    """As `improve`: every better schedule of the first search, then those of the second that are better still."""
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
            if worker is not None:  # it waits while what it sent is not read
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
    """What the second search finds; it is done here from the start if the worker did not come to its end."""
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
    """Those that beat all before or of which more is known, then the last of them with the schedules of both
    searches counted."""
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
