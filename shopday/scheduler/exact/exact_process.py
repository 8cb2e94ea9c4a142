"""The process of the exact engine: exact rounds from the best plan known.

It works in turns. Between two turns it receives the best result known by then, so that its results do not depend on
the speed of either side.
"""

from __future__ import annotations

from collections.abc import Generator

from shopday.scheduler.exact.encoding import Declined
from shopday.scheduler.exact.exact_search import improve_exactly
from shopday.scheduler.exact_engine import ExactEnded, ExactRequest
from shopday.scheduler.model.result import Result
from shopday.scheduler.search.solve import improve
from shopday.worker_process import serve

ROUNDS_PER_TURN = 2
"""Rounds in each turn after the first."""

NICENESS = 5
"""The niceness of the process."""

ExactAnswer = Result | ExactEnded | None


class ExactTurns:
    """Answers a request with the first turn, and each result sent after it with a further turn."""

    def __init__(self) -> None:
        self._request: ExactRequest | None = None
        self._search: Generator[Result | None, Result | None, None] | None = None

    def answers(self, question: ExactRequest | Result) -> Generator[ExactAnswer, None, None]:
        """Yield better and better results. None is a heartbeat."""
        if isinstance(question, ExactRequest):
            yield from self._first_turn(question)
        else:
            yield from self._turn(question)

    def _first_turn(self, request: ExactRequest) -> Generator[ExactAnswer, None, None]:
        """A search of our own, unless the plan is already the result of one; then the exact search."""
        self._request, self._search, best = request, None, None
        for found in improve(request.problem, request.own, request.order, seed=1, freeing=0.5):
            best = found or best
            yield found
        if not request.own and best is not None:
            yield from self._turn(best)

    def _turn(self, best: Result) -> Generator[ExactAnswer, None, None]:
        assert self._request is not None  # a request comes first
        told: Result | None = best
        if self._search is None:
            self._search, told = improve_exactly(self._request.problem, best, self._request.effort), None
        try:
            for _ in range(ROUNDS_PER_TURN):
                yield self._search.send(told)
                told = None
        except StopIteration:
            yield ExactEnded()
        except Declined as declined:
            yield ExactEnded(str(declined))


if __name__ == "__main__":
    serve(ExactTurns().answers, NICENESS)
