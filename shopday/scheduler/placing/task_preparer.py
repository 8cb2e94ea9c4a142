"""TaskPreparer: makes the tasks of a problem ready for placing, with the minutes at which each crew may start."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import chain

from shopday.scheduler.model.calendars import Calendar, MinuteSpan, spans_overlap
from shopday.scheduler.model.problem import Crew, Problem, Task
from shopday.scheduler.placing.prepared_task import PhaseOffsets, PreparedPhase, PreparedTask, Staffing, ref

StartSpans = dict[tuple[int, int, int | None], list[int]]
"""Flat spans of allowed starts by (calendar, minutes needed, calendar of allowed starts)."""


def least_stretch(task: Task, work: int) -> int:
    """The minutes that must be left in the open span in which the task starts."""
    return max(1, task.stretch, work if task.unbroken else 0)


def start_spans(calendar: Calendar, need: int, allowed: Calendar | None) -> tuple[MinuteSpan, ...]:
    """Spans of starts with at least `need` minutes left in their open span."""
    spans = [(a, b - need + 1) for a, b in calendar.spans if b - a >= need]
    return tuple(spans) if allowed is None else spans_overlap(spans, allowed.spans)


def start_hours(problem: Problem, task: Task, crew: Crew) -> Calendar:
    """The minutes at which hours and temperature let a task begin with a crew, whatever else is in use."""
    allowed = None if task.starts_in is None else problem.calendars[task.starts_in]
    need = least_stretch(task, task.work)
    return Calendar(start_spans(problem.calendars[crew.calendar], need, allowed))


class TaskPreparer:
    """Prepares the tasks of one problem. spans: known start calendars; new ones are added."""

    def __init__(self, problem: Problem, spans: StartSpans) -> None:
        self.problem = problem
        self._spans = spans

    def prepared(self, task: Task) -> PreparedTask:
        """The task as the placer needs it."""
        problem = self.problem
        kept = {
            r: tuple(p for p, x in enumerate(task.phases) if r in x.keeps and not x.informational)
            for r, _ in task.uses
        }
        staff = (
            ()
            if task.starts_immediately or task.fixed is not None
            else tuple(self._staff(task, c) for c in range(len(task.crews)))
        )
        phases = tuple(
            PreparedPhase(
                x.takes, x.clock, x.keeps, x.needs_still_air and not x.informational, x.informational
            )
            for x in task.phases
        )
        uses = tuple((r, n, kept[r]) for r, n in task.uses if n)
        course = _offsets(phases, uses)
        capacities = problem.capacities
        air = len(capacities) + 2 * task.room
        return PreparedTask(
            task=task,
            staff=staff,
            uses=uses,
            exclusive=tuple(r for r, n in task.uses if n and capacities[r] == 1),
            counted=tuple((r, n, capacities[r] - n) for r, n in task.uses if n and capacities[r] != 1),
            avoids=air + 1 if task.dusty else air if task.needs_still_air else None,
            fills=air if task.dusty else air + 1 if task.needs_still_air else None,
            dust_lasts=problem.dust_minutes if task.dusty else 0,
            phases=phases,
            course=course,
            no_side_effects=course is not None and not course.keeps and not course.still,
            lags=tuple(ref(lag) for lag in task.lags),
            windows=tuple((tuple(ref(lag) for lag in w.refs), w.within) for w in task.windows if w.refs),
            release=max(problem.now, task.release),
            work=task.work,
            grown=task.work + (task.adds or 0),
            soft=task.adds is not None,
        )

    def _staff(self, task: Task, crew: int) -> Staffing:
        who = task.crews[crew]

        def starts(total: int) -> list[int]:
            need = least_stretch(task, total)
            key = who.calendar, need, task.starts_in
            if key not in self._spans:
                allowed = None if task.starts_in is None else self.problem.calendars[task.starts_in]
                spans = start_spans(self.problem.calendars[who.calendar], need, allowed)
                self._spans[key] = list(chain.from_iterable(spans))
            return self._spans[key]

        grown = starts(task.work + task.adds) if task.adds and task.windows else starts(task.work)
        return Staffing(who.people, self.problem.calendars[who.calendar], starts(task.work), grown)


def _offsets(
    phases: Sequence[PreparedPhase], uses: Iterable[tuple[int, int, tuple[int, ...]]]
) -> PhaseOffsets | None:
    """See `PreparedTask.course`; None also if something is freed and then kept again."""
    if any(phase.clock is not None for phase in phases):
        return None
    begins, ends, over = [], [], 0
    for phase in phases:
        begins.append(over)
        ends.append(over + phase.takes)
        over = over if phase.informational else ends[-1]
    keeps = []
    for r, n, keepers in uses:
        kept = 0
        for p in keepers:
            if begins[p] > kept:
                return None
            kept = max(kept, ends[p])
        if keepers:
            keeps.append((r, n, kept))
    still = (
        (p, begins[p], ends[p]) for p, phase in enumerate(phases) if phase.needs_still_air and phase.takes
    )
    return PhaseOffsets(tuple(ends), over, tuple(keeps), tuple(still))
