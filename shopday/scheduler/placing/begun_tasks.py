"""BegunTasks: where work over or under way is placed, and what it keeps from now on."""

from __future__ import annotations

from collections.abc import Iterator

from shopday.scheduler.model.calendars import FOREVER
from shopday.scheduler.model.result import Cause, Refusal
from shopday.scheduler.placing.earliest_start import EarliestStart
from shopday.scheduler.placing.fits import Fit, NoPlace, Profiles, ResourceHold
from shopday.scheduler.placing.prepared_problem import PreparedProblem
from shopday.scheduler.placing.prepared_task import PreparedTask, Staffing
from shopday.scheduler.placing.task_holds import TaskHolds, kept_spans


class BegunTasks:
    """Fits of begun tasks. They list all that the tasks use, as nothing else can have that any more."""

    def __init__(self, compiled: PreparedProblem, holds: TaskHolds, starts: EarliestStart) -> None:
        self.problem, self.prepared = compiled.problem, compiled.prepared
        self.holds, self.starts = holds, starts

    def settled(self, i: int) -> Fit:
        """A task whose work is over: its phases follow the logged end."""
        prepared = self.prepared[i]
        start, end = prepared.task.fixed or (0, 0)
        begins, ends, frees, complete = self.holds.phase_times(prepared, end)
        holds = list(kept_uses(prepared, start, end, begins, frees))
        air = self.holds.resources + 2 * prepared.task.room
        if prepared.task.dusty and end + self.problem.dust_minutes > start:
            holds.append((air, 1, start, end + self.problem.dust_minutes))
        holds += still_air(prepared, air, begins, ends)
        return Fit((start, end, complete, *ends), 0, False, holds=holds)

    def going(self, i: int, profiles: Profiles) -> Fit:
        """A task under way goes on, whatever else needs its place; only its people can make it wait."""
        prepared = self.prepared[i]
        alone = prepared.alone()
        best: Fit | None = None
        for crew, staff in enumerate(prepared.staff):
            free = self.starts.earliest(alone, crew, staff, prepared.release, FOREVER, profiles)
            if free is not None and (best is None or free.moments[1] < best.moments[1]):
                best = self._going_on(prepared, crew, staff, free.moments[0], free.moments[1])
        if best is None:
            raise NoPlace(i, Refusal(Cause.HORIZON))
        return best

    def _going_on(self, prepared: PreparedTask, crew: int, staff: Staffing, start: int, end: int) -> Fit:
        """The fit of a task under way. Its stations are in use from now on, even before its people return."""
        begins, ends, frees, complete = self.holds.phase_times(prepared, end)
        now = self.problem.now
        holds = [(r, 1, start, max(end, start + 1)) for r in staff.people]
        holds += kept_uses(prepared, now, end, begins, frees)
        air = self.holds.resources + 2 * prepared.task.room
        if prepared.task.dusty:
            holds.append((air, 1, now, max(end + self.problem.dust_minutes, now + 1)))
        elif prepared.task.needs_still_air and end > now:
            holds.append((air + 1, 1, now, end))
        holds += still_air(prepared, air, begins, ends)
        return Fit((start, end, complete, *ends), crew, False, holds=holds)


def kept_uses(
    prepared: PreparedTask, start: int, end: int, begins: list[int], frees: list[int]
) -> Iterator[ResourceHold]:
    """What a task has in use from `start` on: by its work until `end`, and by the phases that keep it."""
    for r, n, keepers in prepared.uses:
        yield from ((r, n, a, b) for a, b, _ in kept_spans(start, end, keepers, begins, frees) if b > a)


def still_air(prepared: PreparedTask, air: int, begins: list[int], ends: list[int]) -> Iterator[ResourceHold]:
    """The still air that its phases need. air: the profile of the dust in its room."""
    for p, phase in enumerate(prepared.phases):
        if phase.needs_still_air and ends[p] > begins[p]:
            yield air + 1, 1, begins[p], ends[p]
