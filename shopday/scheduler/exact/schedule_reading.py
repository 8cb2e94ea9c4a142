"""Turns the starts of a solution into a schedule of ours, checked by `verify` before it is used."""

from __future__ import annotations

from dataclasses import dataclass

from shopday.scheduler.model.phase_times import phase_times
from shopday.scheduler.model.problem import Task
from shopday.scheduler.model.result import Placed, Result
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.verifier import totals, verify


@dataclass(frozen=True)
class Starts:
    """Where the free tasks are placed: minute since the epoch, crew, and which miss their window."""

    minutes: dict[int, int]
    crews: dict[int, int]
    missed: frozenset[int]

    @staticmethod
    def of(result: Result, tasks: tuple[int, ...]) -> Starts:
        places = {i: place for i in tasks if (place := result.schedule.placed[i]) is not None}
        return Starts(
            {i: place.start for i, place in places.items()},
            {i: place.crew for i, place in places.items()},
            frozenset(i for i, place in places.items() if place.missed),
        )


class ScheduleReader:
    """Makes results from starts. builder: refuses the tasks that are to stay without a place."""

    def __init__(self, builder: Builder) -> None:
        self.builder, self.problem = builder, builder.problem

    def result(self, starts: Starts, before: Result) -> Result | None:
        """The schedule with these starts, or a better one in the same order, with the bounds of the result before.

        None if it breaks a rule: then the model has a mistake, and none of its answers can be trusted.
        """
        placed = list(before.schedule.placed)
        for i, start in starts.minutes.items():
            placed[i] = self._placed(i, start, starts)
        schedule = before.schedule._replace(placed=tuple(placed))
        exact = self._checked(before._replace(schedule=schedule, order=self._order(starts)))
        if exact is None:
            return None
        closed_up = self._closed_up(starts, exact)
        return exact if closed_up is None or exact.aim < closed_up.aim else closed_up

    def _order(self, starts: Starts) -> tuple[int, ...]:
        rank = self.builder.compiled.rank
        return tuple(sorted(starts.minutes, key=lambda i: (starts.minutes[i], rank[i])))

    def _checked(self, result: Result) -> Result | None:
        if verify(self.problem, result.schedule):
            return None
        late, short, finish = totals(self.problem, result.schedule)
        return result._replace(late=late, short=short, finish=finish)

    def _placed(self, i: int, start: int, starts: Starts) -> Placed:
        task, problem = self.problem.tasks[i], self.problem
        missed, crew = i in starts.missed, starts.crews.get(i, 0)
        end = self._back(task, start) if task.starts_immediately else self._end(task, start, crew, missed)
        release_calendar = problem.calendars[problem.release_calendar]
        _, ends, frees, complete = phase_times(
            [p if not p.informational else p._replace(keeps=()) for p in task.phases],
            problem.clocks,
            release_calendar,
            end,
        )
        return Placed(start, end, complete, crew, tuple(ends), tuple(frees), missed)

    def _end(self, task: Task, start: int, crew: int, missed: bool) -> int:
        calendar = self.problem.calendars[task.crews[crew].calendar]
        end = calendar.finish(start, task.work + (task.adds or 0 if missed else 0))
        return start if end is None else end

    def _back(self, task: Task, start: int) -> int:
        over = start + task.length
        if task.clock is not None:
            over = self.problem.clocks[task.clock].after(start, task.length)
        return over if task.until is None else max(over, task.until)

    def _closed_up(self, starts: Starts, exact: Result) -> Result | None:
        """The schedule that our own builder makes of the order and the crews, without needless delay."""
        builder = self.builder
        builder.placer.chosen = {
            i: crew for i, crew in starts.crews.items() if builder.compiled.prepared[i].staff
        }
        built = builder.build(exact.order)
        builder.placer.chosen = {}
        if built is None or len(built.refused) > len(builder.refused):
            return None
        return self._checked(exact._replace(schedule=builder.schedule(built), order=tuple(built.order)))
