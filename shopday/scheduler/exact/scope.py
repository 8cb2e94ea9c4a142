"""The scope of an exact model: its tasks, and the minutes between which each can be placed."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cached_property

from shopday.scheduler.exact.working_axis import WorkingAxis
from shopday.scheduler.model.calendars import MinuteSpan, spans_overlap
from shopday.scheduler.model.problem import Problem
from shopday.scheduler.model.result import Schedule


@dataclass(frozen=True)
class Scope:
    """All minutes count from now.

    schedule: a known one; begun tasks and those without a place are taken from it.
    jobs:     those whose deliveries count in the model.
    free:     the tasks to be placed.
    given:    the tasks over or under way.
    heads:    by task, no start is earlier.
    latest:   by task, no work ends later.
    caps:     by job, no delivery is later.
    floors:   by job, no delivery is earlier.
    """

    problem: Problem
    schedule: Schedule
    jobs: tuple[int, ...]
    free: tuple[int, ...]
    given: tuple[int, ...]
    heads: Mapping[int, int]
    latest: Mapping[int, int]
    caps: Mapping[int, int]
    floors: Mapping[int, int]

    @property
    def now(self) -> int:
        return self.problem.now

    @cached_property
    def last(self) -> int:
        """The last minute at which work may go on."""
        return max(1, *(self.latest[i] for i in self.free))

    @cached_property
    def _axes(self) -> dict[frozenset[int], WorkingAxis]:
        return {}

    def axis(self, calendars: Collection[int]) -> WorkingAxis:
        """The minutes at which one of these calendars is open."""
        key = frozenset(calendars)
        if key not in self._axes:
            spans: list[MinuteSpan] = [x for c in sorted(key) for x in self.problem.calendars[c].spans]
            self._axes[key] = WorkingAxis(_joined(spans), self.now, self.last + 1)
        return self._axes[key]

    @cached_property
    def axis_of(self) -> dict[int, WorkingAxis]:
        """By person with work in the model: the minutes at which any of their crews works."""
        calendars: dict[int, set[int]] = {}
        for i in (*self.free, *(i for i in self.given if self.problem.tasks[i].going)):
            for crew in self.problem.tasks[i].crews:
                for person in crew.people:
                    calendars.setdefault(person, set()).add(crew.calendar)
        return {person: self.axis(of) for person, of in calendars.items()}

    def start_spans(self, i: int, calendar: int, work: int) -> list[MinuteSpan]:
        """The minutes since the epoch at which the work of a task may start on a calendar."""
        task, problem = self.problem.tasks[i], self.problem
        least = max(1, task.stretch, work if task.unbroken else 0)
        spans = [(a, b - least + 1) for a, b in problem.calendars[calendar].spans if b - a >= least]
        if task.starts_in is not None:
            spans = list(spans_overlap(spans, problem.calendars[task.starts_in].spans))
        if task.at is not None:
            spans = list(spans_overlap(spans, [(task.at, task.at + 1)]))
        return list(spans_overlap(spans, [(self.now + self.heads[i], self.now + self.latest[i] + 1)]))


def _joined(spans: list[MinuteSpan]) -> list[MinuteSpan]:
    out: list[MinuteSpan] = []
    for a, b in sorted(spans):
        if out and a <= out[-1][1]:
            out[-1] = out[-1][0], max(out[-1][1], b)
        else:
            out.append((a, b))
    return out
