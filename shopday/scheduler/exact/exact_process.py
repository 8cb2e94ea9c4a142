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
"""Deterministic time of a turn: about as long as a search of ours of effort 1."""

NICENESS = 5
"""The niceness of the process."""

ExactAnswer = Result | ExactEnded | None


class ExactTurns:
    """Answers a request with the first turn, and each result sent after it with a further turn."""

    def __init__(self) -> None:
        self._request: ExactRequest | None = None
        self._search: ExactSearch | None = None
        self._run: Iterator[Result | None] = iter(())

    def answers(self, question: ExactRequest | Result) -> Generator[ExactAnswer, None, None]:
        """Yield better and better results. None is a heartbeat."""
        if isinstance(question, ExactRequest):
            yield from self._first_turn(question)
        else:
            yield from self._turn(question)

    def _first_turn(self, request: ExactRequest) -> Generator[ExactAnswer, None, None]:
        """A short search of our own for a plan to begin with, then the exact search."""
        self._request, best = request, None
        for found in improve(request.problem, request.own, request.order, seed=1, freeing=0.5):
            best = found or best
            yield found
        if best is not None:
            yield from self._turn(best)

    def _turn(self, best: Result) -> Generator[ExactAnswer, None, None]:
        assert self._request is not None  # a request comes first
        try:
            if self._search is None:
                self._search = ExactSearch(self._request.problem, best, self._request.effort)
                self._run = self._search.run()
            else:
                self._search.take(best)
            rest = self._search.left - TURN_TIME
            for found in self._run:
                yield found
                if self._search.left <= rest:
                    return
            yield ExactEnded()
        except Declined as declined:
            yield ExactEnded(str(declined))


if __name__ == "__main__":
    serve(ExactTurns().answers, NICENESS)
