"""A search that may take longer: the exact engine with our own search, each continuing from the better result of
both.

Both work in turns whose length is counted, not timed, and exchange results between turns, so that the result is the
same on every run. Without the exact engine, or if it gives up, two searches of our own do it as usual.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator, Sequence

from shopday.scheduler.exact_engine import EXACT_PROCESS, ExactEnded, ExactRequest, exact_engine_trouble
from shopday.scheduler.model.problem import Problem
from shopday.scheduler.model.result import Result
from shopday.scheduler.search.parallel_search import SECONDS_BETWEEN_BEATS, first_of, improve_in_parallel
from shopday.scheduler.search.solve import improve
from shopday.worker_process import WorkerProcess, asked

OWN_EFFORT = 1.0
"""The effort up to which all searching is our own, and the effort of each of our turns."""

FIRST_EFFORT = 0.3
"""The effort of a search of ours for the plan from which the exact engine begins."""

FREED = 0.5
"""The share of every second turn of ours that is spent on freeing whole jobs."""

NO_PROCESS = "its process could not be started"
ENDED = "its process ended too soon"

Found = Generator[Result | None, None, str]
"""Yields better and better results, and None; returns why the exact engine could not do the problem ("": it did)."""


def improve_thoroughly(
    problem: Problem, effort: float = 1.0, order: Sequence[int] | None = None, bounded: bool = True
) -> Iterator[Result | None]:
    """Like `improve_in_parallel`, and never worse. `Result.without_exact` says why the exact engine took no part in
    a search with more than the usual effort."""
    if effort <= OWN_EFFORT:
        yield from improve_in_parallel(problem, effort, order, bounded)
        return
    search = _BesideExact(problem, effort, order, bounded)
    trouble = exact_engine_trouble() or (yield from search.run())
    if trouble:
        for found in improve_in_parallel(problem, effort, order, bounded):
            yield None if found is None else search.better(found._replace(without_exact=trouble))


class _BesideExact:
    """ours, theirs: the best result of either search; best: the last one reported, the better of both."""

    def __init__(self, problem: Problem, effort: float, order: Sequence[int] | None, bounded: bool) -> None:
        self.problem, self.effort, self.order, self.bounded = problem, effort, order, bounded
        self.ours: Result | None = None
        self.theirs: Result | None = None
        self.best: Result | None = None
        self.ended: ExactEnded | None = None

    def better(self, found: Result) -> Result | None:
        """What is known now, if it is more than before; else None."""
        before, self.best = self.best, _best(self.best, found)
        return None if self.best == before else self.best

    def run(self) -> Found:
        mine = self._our_turn(self.order, 0)
        yield (yield from first_of(mine))
        if self.best is not None and self.best.optimal:
            return ""
        own = FIRST_EFFORT if self.order is None else 0
        worker = asked(EXACT_PROCESS, ExactRequest(self.problem, self.effort, self.order, own))
        if worker is None:
            return NO_PROCESS
        try:
            return (yield from self._turns(worker, mine))
        finally:
            worker.end()

    def _turns(self, worker: WorkerProcess, mine: Iterator[Result | None]) -> Found:
        turn = 0
        while True:
            for found in mine:
                yield found
                yield from self._come(worker, 0)
                if self.theirs is not None and self.theirs.optimal:
                    break
            while not worker.over and not worker.lost:
                yield None
                yield from self._come(worker, SECONDS_BETWEEN_BEATS)
            self.ours = self.theirs = best = self._best_of_both()
            yield None if best == self.best else best
            self.best = best
            if worker.lost:
                return ENDED
            if self.ended is not None or best.optimal:
                return "" if self.ended is None else self.ended.trouble
            try:
                worker.ask(best)
            except OSError:
                return ENDED
            turn += 1
            mine = self._our_turn(best.order, turn) if turn * OWN_EFFORT < self.effort else iter(())

    def _best_of_both(self) -> Result:
        """The better result. If theirs is proven, ours may have been cut short, and does not count even if it is as
        good."""
        if self.theirs is not None and self.theirs.optimal:
            return self.theirs
        assert self.best is not None  # its bounds may come from either search
        return _best(self.ours, self.theirs).knowing(self.best)

    def _our_turn(self, order: Sequence[int] | None, turn: int) -> Iterator[Result | None]:
        """One of our searches, of both kinds in turn, each with its own seed; the exact engine begins with seed 1."""
        bounded, freeing = self.bounded and not turn, FREED if turn % 2 else 0.0
        for found in improve(
            self.problem, OWN_EFFORT, order, seed=2 * turn, bounded=bounded, freeing=freeing
        ):
            if found is not None:
                self.ours = _best(self.ours, found)
            yield None if found is None else self.better(found)

    def _come(self, worker: WorkerProcess, wait: float) -> Iterator[Result | None]:
        """What the exact engine has found by now, if it is better."""
        for answer in worker.come(wait):
            if isinstance(answer, ExactEnded):
                self.ended = answer
            else:
                self.theirs = _best(self.theirs, answer)
                yield self.better(answer)


def _best(one: Result | None, other: Result | None) -> Result:
    """The better result, the first of two equal ones, with the bounds of both."""
    if one is None or other is None:
        found = one or other
        assert found is not None  # both searches begin with a result
        return found
    known = other.knowing(one) if other.aim < one.aim else one.knowing(other)
    return known._replace(without_exact=other.without_exact)
