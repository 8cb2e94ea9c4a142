"""The process of the exact engine: exact rounds from the best plan known.

It works in turns whose length is counted, not timed. Between two turns it receives the best result known by then, so
that its results do not depend on the speed of either side.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator

from shopday.scheduler.exact.encoding import Declined
from shopday.scheduler.exact.exact_search import ExactSearch
from shopday.scheduler.exact_engine import ExactEnded, ExactRequest
from shopday.scheduler.model.result import Result
from shopday.scheduler.search.solve import improve
from shopday.worker_process import serve

TURN_TIME = 0.5
"""Deterministic time of a turn: as long as a search of ours of effort 1, or up to twice as long."""

NICENESS = 5
"""The niceness of the process."""

ExactAnswer = Result | ExactEnded | None


class ExactTurns:
    """Answers a request with the first turn, and each result sent after it with a further turn."""

    def __init__(self) -> None:
        self._search: ExactSearch | None = None
        self._run: Iterator[Result | None] = iter(())

    def answers(self, question: ExactRequest | Result) -> Generator[ExactAnswer, None, None]:
        """Yield better and better results. None is a heartbeat."""
        try:
            if isinstance(question, ExactRequest):
                yield from self._begin(question)
            elif self._search is not None:
                self._search.take(question)
            yield from self._turn()
        except Declined as declined:
            yield ExactEnded(str(declined))

    def _begin(self, request: ExactRequest) -> Iterator[Result | None]:
        """A short search of our own, for a plan from which the exact search begins."""
        best: Result | None = None
        for found in improve(request.problem, request.own, request.order, seed=1, freeing=0.5):
            best = found or best
            yield found
        assert best is not None  # a search begins with a result
        self._search = ExactSearch(request.problem, best, request.effort)
        self._run = self._search.run()

    def _turn(self) -> Iterator[ExactAnswer]:
        assert self._search is not None  # a request comes first
        rest = self._search.left - TURN_TIME
        for found in self._run:
            yield found
            if self._search.left <= rest:
                return
        yield ExactEnded()


if __name__ == "__main__":
    serve(ExactTurns().answers, NICENESS)
