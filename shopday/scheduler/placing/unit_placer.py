"""UnitPlacer: places the tasks that hard windows tie together as one, moving them until all windows are kept."""

from __future__ import annotations

from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.model.result import Cause, Refusal
from shopday.scheduler.placing.built_schedule import BuiltSchedule
from shopday.scheduler.placing.fits import Fit, NoPlace, Profiles, WindowMissed
from shopday.scheduler.placing.placer import Placer
from shopday.scheduler.placing.schedule_recorder import ScheduleRecorder

RETRIES = 400
"""The most moves of tasks in one unit before its windows are given up."""


class UnitPlacer:
    """Places whole units, see `PreparedProblem.units`; `retries`: of one unit."""

    def __init__(self, placer: Placer, recorder: ScheduleRecorder) -> None:
        self.compiled = placer.compiled
        self.placer, self.recorder = placer, recorder
        self.retries = RETRIES

    def place(self, unit: tuple[int, ...], queue: list[int], built: BuiltSchedule) -> None:
        """Place a whole unit. If a window is missed, move a task later and continue from there."""
        todo = self._sequence([i for i in unit if built.moments[i] is None and i not in built.refused], queue)
        place = {i: k for k, i in enumerate(todo)}
        floors: dict[int, int] = {}
        trail: list[Profiles] = [self.recorder.profiles(built)]
        fits: list[Fit] = []
        tries = 0
        while len(fits) < len(todo):
            i = todo[len(fits)]
            self.placer.spent += 1
            try:
                fit = self.placer.fit(i, trail[-1], built.moments, floors.get(i, 0))
                self.look_back(i, fit.moments, built.moments)
            except NoPlace as no:
                return self._give_up(built, unit, queue, todo, i, no.refusal)
            except WindowMissed as no:
                tries += 1
                if no.start is None or no.task not in place or tries > self.retries:
                    refusal = Refusal(Cause.WINDOW, other=no.task)
                    return self._give_up(built, unit, queue, todo, i, refusal)
                floors[no.task] = max(floors.get(no.task, 0), no.start)
                back = min(place[no.task], len(fits))
                for j in todo[back : len(fits)]:
                    built.moments[j] = None
                del fits[back:], trail[back + 1 :]
                continue
            built.moments[i] = fit.moments
            taken = list(trail[-1])
            self.placer.holds.enter(i, fit, taken)
            trail.append(taken)
            fits.append(fit)
        for i, fit, profiles in zip(todo, fits, trail[1:], strict=True):
            self.recorder.record(built, i, fit, profiles)
        return None

    def _sequence(self, todo: list[int], queue: list[int]) -> list[int]:
        """The tasks of a unit in the order of the queue, each after what it waits for."""
        wanted = set(todo)
        stack = [i for i in queue if i in wanted]
        out: dict[int, None] = {}
        while stack:
            i = stack[-1]
            waiting = [j for j in self.compiled.needs[i] if j in wanted and j not in out]
            if waiting:
                stack += waiting
            else:
                out[stack.pop()] = None
        return [*out, *(i for i in todo if i not in out)]

    def _give_up(
        self,
        built: BuiltSchedule,
        unit: tuple[int, ...],
        queue: list[int],
        todo: list[int],
        i: int,
        refusal: Refusal,
    ) -> None:
        """Refuse a task and what waits for it, and place the rest of its unit."""
        for j in todo:
            built.moments[j] = None
        self.recorder.refuse(built, i, refusal)
        self.place(unit, queue, built)

    def look_back(self, j: int, moments: Moments, placed: list[Moments | None]) -> None:
        """Raise WindowMissed if a task just placed is too early for a window, of an earlier placed task, that counts
        from it."""
        for i, m, offset, within in self.compiled.watchers.get(j, ()):
            other = placed[i]
            if other is not None and other[0] > moments[m] + offset + within:
                raise WindowMissed(
                    j, max(moments[0] + 1, moments[0] + other[0] - moments[m] - offset - within)
                )
