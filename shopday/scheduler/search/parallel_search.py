"""Two searches of a problem from two seeds, the second in a process of its own: where one gets stuck, the other may not.

The best of two is worth more than twice the time for one, and needs no more than that of one where there
are two cores. What comes of it is the same with one core, or with no second process at all.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from shopday.scheduler.model.problem import Problem
from shopday.scheduler.model.result import Result
from shopday.scheduler.search.search_process import SearchProcess, serve
from shopday.scheduler.search.solve import improve

WORTHWHILE = 0.5
"""Effort from which there are two searches."""

FEW = 12
"""With fewer tasks to be done one search is enough."""

FULL = "the search came to its end"
"""The mate's last answer."""

SearchRequest = tuple[Problem, float, Sequence[int] | None]
"""What to improve, with what effort, from what order."""


def improve_in_parallel(
    problem: Problem, effort: float = 1.0, order: Sequence[int] | None = None, bounded: bool = True
) -> Iterator[Result]:
    """As `improve`: every better schedule of the first search, then those of the second that are better still."""
    if effort < WORTHWHILE or sum(task.fixed is None for task in problem.tasks) < FEW:
        yield from improve(problem, effort, order, bounded=bounded)
        return
    mine = improve(problem, effort, order, bounded=bounded)
    best = next(mine)
    yield best
    question = problem, effort, order
    mate = None if best.optimal else _mate(question)
    try:
        for best in mine:
            yield best
        if not best.optimal:
            yield from _better(best, _of_the_second(mate, question))
    finally:
        if mate is not None:
            mate.dismiss()


def _mate(question: SearchRequest) -> SearchProcess | None:
    try:
        return SearchProcess(__name__, question)
    except OSError:  # no more processes, or it ended at once
        return None


def _of_the_second(mate: SearchProcess | None, question: SearchRequest) -> Iterator[Result]:
    """What the second search finds; it is done here from the start if the mate did not come to its end."""
    for found in mate.rest() if mate is not None else ():
        if found == FULL:
            return
        yield found
    yield from _second(question)


def _second(question: SearchRequest) -> Iterator[Result]:
    problem, effort, order = question
    return improve(problem, effort, order, seed=1)


def _better(best: Result, found: Iterator[Result]) -> Iterator[Result]:
    """Those that beat all before, then the last of them with the schedules of both searches counted."""
    mine, theirs = best.iterations, 0
    for result in found:
        theirs = result.iterations
        if result.aim < best.aim:
            best = result
            yield best
    yield replace(best, iterations=mine + theirs)


def _answers(question: SearchRequest) -> Iterator[Result | str]:
    """The mate's side."""
    yield from _second(question)
    yield FULL


if __name__ == "__main__":
    serve(_answers)
