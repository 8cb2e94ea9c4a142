"""Two searches of a problem, from two seeds, and of two kinds if the second kind suits it. The second runs in a
process of its own: where one search gets stuck, the other may not.

The better of two is worth more than twice the time for one, and needs only the time of one on two cores. The result
is the same with one core, or without a second process.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator, Sequence
from typing import NamedTuple

from shopday.scheduler.model.heartbeats import Steps
from shopday.scheduler.model.problem import Problem
from shopday.scheduler.model.result import Result
from shopday.scheduler.search.solve import can_be_freed, improve
from shopday.worker_process import WorkerProcess, asked, serve

TWO_SEARCHES_FROM = 0.5
"""The effort from which there are two searches."""

FEWEST_TASKS = 12
"""With fewer tasks to be done one search is enough."""

SECONDS_BETWEEN_BEATS = 0.02
"""Seconds between heartbeats while only the second search is waited for."""

FREEING = ((1.0, 1.0), (1.0, 1.0), (0.3, 0.3))
"""If whole jobs can be freed, both searches take three turns and continue each from the better of the two results.
These are the shares of its turns that the first and the second search spend on freeing jobs."""


NOT_FREEING = (0.0, 0.0)


class SearchRequest(NamedTuple):
    """One turn of a search, as asked of `improve`. freeing: the shares of it that either search frees jobs."""

    problem: Problem
    effort: float
    order: Sequence[int] | None
    turn: int
    freeing: tuple[float, float]

    def search(self, mine: bool, bounded: bool = True) -> Iterator[Result | None]:
        """Run the first search (`mine`) or the second, each turn with a seed of its own."""
        seed, freeing, first = 2 * self.turn + (not mine), self.freeing[not mine], self.turn == 0
        return improve(
            self.problem, self.effort, self.order, seed, bounded and first, freeing, polishes=not first
        )


def improve_in_parallel(
    problem: Problem, effort: float = 1.0, order: Sequence[int] | None = None, bounded: bool = True
) -> Iterator[Result | None]:
    """Like `improve`: yield every better schedule of the first search, then those of the second that are better
    still."""
    mine = improve(problem, effort, order, bounded=bounded)
    if effort < TWO_SEARCHES_FROM or sum(task.fixed is None for task in problem.tasks) < FEWEST_TASKS:
        yield from mine
        return
    yield (best := (yield from first_of(mine)))
    if best.optimal:
        yield from mine
        return
    turns = FREEING if can_be_freed(problem) else (NOT_FREEING,)
    both = _Both(best, bounded)
    try:
        for turn, freeing in enumerate(turns):
            start = both.best.order if turn else order
            yield from both.turn(SearchRequest(problem, effort / len(turns), start, turn, freeing))
    finally:
        both.end()
    yield both.best


def first_of(results: Iterator[Result | None]) -> Steps[Result]:
    """Wait for the first result."""
    while (result := next(results)) is None:
        yield
    return result


class _Both:
    """Both searches of a problem.

    best:  the better result so far, with the bounds known from either and the schedules of both counted.
    built: schedules built in the turns before this one.
    """

    def __init__(self, best: Result, bounded: bool) -> None:
        self.best, self.bounded = best, bounded
        self.worker: WorkerProcess | None = None
        self.built = 0

    def end(self) -> None:
        if self.worker is not None:
            self.worker.end()

    def turn(self, request: SearchRequest) -> Iterator[Result | None]:
        """Run one turn of both searches; do nothing once the best is proven optimal."""
        if self.best.optimal:
            return
        self._ask(request)
        theirs: list[Result] = []
        built = self.built
        for found in request.search(mine=True, bounded=self.bounded):
            if self.worker is not None:  # the worker stops while its answers are not read
                theirs += self.worker.come()
            yield self._better(found, built)
        if not self.best.optimal:
            built = self.best.iterations
            for found in self._of_the_second(theirs, request):
                yield self._better(found, built)
        self.built = self.best.iterations

    def _ask(self, request: SearchRequest) -> None:
        if request.turn == 0:
            self.worker = asked(__name__, request)
        elif self.worker is not None and not self.worker.lost:
            try:
                self.worker.ask(request)
            except OSError:
                self.worker.lost = True

    def _of_the_second(self, read: Sequence[Result], request: SearchRequest) -> Iterator[Result | None]:
        """The results of the second search; it runs here from the start if the worker did not finish."""
        yield from read
        worker = self.worker
        while worker is not None and not worker.over and not worker.lost:
            yield None
            yield from worker.come(SECONDS_BETWEEN_BEATS)
        if worker is None or worker.lost:
            yield from request.search(mine=False)

    def _better(self, found: Result | None, built: int) -> Result | None:
        """The best so far if it is better now or has better bounds; `built`: schedules built by other searches."""
        if found is None:
            return None
        before = self.best
        known = found.knowing(before) if found.aim < before.aim else before.knowing(found)
        self.best = known._replace(iterations=built + found.iterations)
        return None if known == before else self.best


def _second(request: SearchRequest) -> Generator[Result | None, None, None]:
    yield from request.search(mine=False)


if __name__ == "__main__":
    serve(_second)
