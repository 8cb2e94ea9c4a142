"""The process of the exact engine: a short search of our own from another seed, and from its best the exact search.

What it cannot do exactly it does as the second search would have done.
"""

from __future__ import annotations

from collections.abc import Generator

from shopday.scheduler.exact.encoding import Declined
from shopday.scheduler.exact.exact_search import improve_exactly
from shopday.scheduler.model.result import Result
from shopday.scheduler.search.parallel_search import SearchRequest
from shopday.scheduler.search.solve import improve
from shopday.worker_process import serve

OWN = 1.0
"""Effort of our own search before the exact one."""


def exact_answers(question: SearchRequest) -> Generator[Result | None, None, None]:
    """Better and better results; None is a heartbeat."""
    problem, effort, order = question
    best: Result | None = None
    for found in improve(problem, OWN, order, seed=1):
        best = found or best
        yield found
    assert best is not None  # the first answer of a search is a result
    try:
        yield from improve_exactly(problem, best, effort)
    except Declined:
        yield from improve(problem, effort, order, seed=1)


if __name__ == "__main__":
    serve(exact_answers)
