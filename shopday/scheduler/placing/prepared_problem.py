"""A problem made ready for placing: prepared tasks, their graph, and those that can never be placed."""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from itertools import chain

from shopday.scheduler.model.calendars import Calendar
from shopday.scheduler.model.problem import Problem
from shopday.scheduler.model.result import Cause, Refusal
from shopday.scheduler.placing.impossible_tasks import impossible
from shopday.scheduler.placing.task_graph import TaskGraph
from shopday.scheduler.placing.task_preparer import StartSpans, TaskPreparer


class PreparedProblem:
    """The problem as the placer needs it.

    like:    an earlier one with the same calendars, whose start calendars are reused.
    present: by person, when any of their crews works.
    refused: tasks that can never be placed, and what waits for them.

    For `successors`, `rank`, `units`, `unit_of`, `needs`, `followers` and `watchers` see `TaskGraph`.
    """

    def __init__(self, problem: Problem, like: PreparedProblem | None = None) -> None:
        self.problem = problem
        shared = like is not None and like.problem.calendars is problem.calendars
        self._spans: StartSpans = like._spans if like and shared else {}
        self._unions: dict[frozenset[int], Calendar] = like._unions if like and shared else {}
        self.present = self._present()
        self.prepared = tuple(map(TaskPreparer(problem, self._spans).prepared, problem.tasks))
        graph = TaskGraph(self.prepared)
        self.successors, self.rank, self.needs = graph.successors, graph.rank, graph.needs
        self.units, self.unit_of = graph.units, graph.unit_of
        self.watchers, self.followers = graph.watchers, graph.followers
        self.refused = self._refusals()

    def _present(self) -> dict[int, Calendar]:
        calendars: dict[int, set[int]] = {}
        for task in self.problem.tasks:
            for crew in task.crews:
                for person in crew.people:
                    calendars.setdefault(person, set()).add(crew.calendar)
        return {person: self._union(frozenset(all_of)) for person, all_of in calendars.items()}

    def _union(self, calendars: frozenset[int]) -> Calendar:
        if calendars not in self._unions:
            spans = (self.problem.calendars[c].spans for c in calendars)
            self._unions[calendars] = Calendar.of(chain.from_iterable(spans))
        return self._unions[calendars]

    def refusing(self, refused: Mapping[int, Refusal]) -> PreparedProblem:
        """The same problem with these tasks refused too."""
        other = copy(self)
        other.refused = dict(refused)
        other.spread_refusals(other.refused)
        return other

    def _refusals(self) -> dict[int, Refusal]:
        out = {i: Refusal(Cause.OUTSIDE) for i in self.problem.infeasible}
        for i, prepared in enumerate(self.prepared):
            if i not in out and prepared.task.fixed is None:
                cause = impossible(prepared, self.problem)
                if cause is not None:
                    out[i] = cause
        self.spread_refusals(out)
        return out

    def refuse(self, refused: dict[int, Refusal], i: int, refusal: Refusal) -> None:
        """Refuse a task and what waits for it."""
        refused.setdefault(i, refusal)
        self.spread_refusals(refused)

    def spread_refusals(self, out: dict[int, Refusal]) -> None:
        """Refuse whatever waits for a refused task."""
        stack = list(out)
        while stack:
            j = stack.pop()
            for i in self.successors[j]:
                if i not in out and self.prepared[i].task.fixed is None:
                    out[i] = Refusal(Cause.NEEDS, other=j)
                    stack.append(i)
