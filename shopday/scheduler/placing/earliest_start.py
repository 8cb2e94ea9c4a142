"""EarliestStart: the inner loop of placement, which finds the first minute at which all constraints of a task hold.

Every constraint answers the same question, "what is the earliest minute not before t at which you hold?", and the
task goes round all of them until they agree.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from shopday.scheduler.model.calendars import FOREVER
from shopday.scheduler.model.phase_times import FIRST_PHASE, Moments, soonest_ends
from shopday.scheduler.placing.fits import Fit, Profiles
from shopday.scheduler.placing.prepared_problem import PreparedProblem
from shopday.scheduler.placing.prepared_task import PreparedTask, Staffing
from shopday.scheduler.placing.resource_profiles import NO_LEVELS, NO_UNARY, Unary, above, taken
from shopday.scheduler.placing.task_holds import TaskHolds


class EarliestStart:
    """Finds the first start of single tasks; what comes before and after them is the placer's concern.

    empty: profiles with nothing taken.
    """

    def __init__(self, compiled: PreparedProblem, holds: TaskHolds) -> None:
        self.prepared = compiled.prepared
        self.clocks = compiled.problem.clocks
        self.holds = holds
        self.resources, self.unary, self.capacities = holds.resources, holds.unary, holds.capacities
        rooms = 1 + max((task.room for task in compiled.problem.tasks), default=0)
        self.empty: Profiles = [NO_UNARY if one else NO_LEVELS for one in self.unary] + [NO_UNARY] * (
            2 * rooms
        )

    def earliest(
        self,
        prepared: PreparedTask,
        crew: int,
        staff: Staffing,
        t: int,
        deadline: int,
        profiles: Profiles,
        limit: int = FOREVER,
    ) -> Fit | None:
        """The first start at or after `t` at which calendar, people, stations, gear and air are all free.

        After `deadline` the work of a soft window has grown. None if there is no start up to `limit`.
        """
        calendar = staff.calendar
        opens, before = calendar.starts, calendar.before
        starts, work = staff.starts, prepared.work
        soft = prepared.soft and deadline < FOREVER
        exclusive, counted, avoids, no_side_effects = (
            staff.people + prepared.exclusive,
            prepared.counted,
            prepared.avoids,
            prepared.no_side_effects,
        )
        while t <= limit:
            if soft and t > deadline:
                starts, work, soft = staff.grown_starts, prepared.grown, False
            k = bisect_right(starts, t)
            if not k & 1:
                if k == len(starts):
                    return None
                t = starts[k]
                if t > limit or soft:
                    continue
            k = bisect_right(opens, t) - 1
            goal = before[k] + t - opens[k] + work
            if goal <= before[k + 1]:
                end = t + work
            else:
                k = bisect_left(before, goal, k + 1) - 1
                if k >= len(opens):
                    return None
                end = opens[k] + goal - before[k]
            shut = end if work else t + 1
            for r in exclusive:  # `taken` inlined: calling it takes a tenth of the time of a build
                profile: Unary = profiles[r]  # type: ignore[assignment]
                i = bisect_right(profile, t)
                if i & 1 or (i < len(profile) and profile[i] < shut):
                    i |= 1
                    last = len(profile) - 1
                    while i < last and profile[i + 1] - profile[i] < work:
                        i += 2
                    t = profile[i]
                    break
            else:
                resume = None
                for r, _, room in counted:
                    resume = above(profiles[r], t, end, room)  # type: ignore[arg-type]
                    if resume is not None:
                        break
                if resume is None and avoids is not None:
                    resume = taken(profiles[avoids], t, end + prepared.dust_lasts)  # type: ignore[arg-type]
                if resume is not None:
                    t = max(resume, t + 1)
                elif not no_side_effects:
                    found = self._with_phases(prepared, crew, staff, t, end, deadline, profiles)
                    if isinstance(found, Fit):
                        return found
                    t = found
                else:
                    course = prepared.course
                    moments: Moments = (t, end, end)
                    if course is not None and course.ends:
                        moments = (t, end, end + course.over, *[end + after for after in course.ends])
                    missed = prepared.soft and t > deadline
                    return Fit(moments, crew, missed)
        return None

    def _with_phases(
        self,
        prepared: PreparedTask,
        crew: int,
        staff: Staffing,
        t: int,
        end: int,
        deadline: int,
        profiles: Profiles,
    ) -> Fit | int:
        """The fit at `t` if what its phases keep and need is free, else a later minute to try."""
        kept, ends, complete = self.holds.keeping(prepared, t, end)
        for r, n, a, b, p in kept:
            resume = self._resume(r, n, a, b, profiles)
            if resume is not None:
                return self._push(prepared, staff, t, p, resume)
        missed = prepared.soft and t > deadline
        return Fit((t, end, complete, *ends), crew, missed, kept)

    def _resume(self, r: int, n: int, a: int, b: int, profiles: Profiles) -> int | None:
        if r >= self.resources or self.unary[r]:
            return taken(profiles[r], a, b)  # type: ignore[arg-type]
        return above(profiles[r], a, b, self.capacities[r] - n)  # type: ignore[arg-type]

    def _push(self, prepared: PreparedTask, staff: Staffing, t: int, phase: int, resume: int) -> int:
        """The next start worth trying if a span that begins with `phase` (-1: the work) must not begin before
        `resume`."""
        if phase < 0:
            return max(t + 1, resume)
        bound = resume
        for p in range(phase - 1, -1, -1):
            before = prepared.phases[p]
            if not before.informational:
                clock = None if before.clock is None else self.clocks[before.clock]
                bound = bound - before.takes if clock is None else clock.latest_start(bound, before.takes)
        return max(
            t + 1, staff.calendar.latest_start(bound, prepared.grown if prepared.soft else prepared.work)
        )

    def soonest(
        self, i: int, start: int, profiles: Profiles, end: int = 0, deadline: int = FOREVER
    ) -> Moments:
        """The earliest moments, over all crews, of a task that starts and ends no earlier than this; its work has
        grown after `deadline`."""
        prepared, clocks = self.prepared[i], self.clocks
        task = prepared.task
        ready = max(start, prepared.release, task.at or 0)
        if task.starts_immediately:
            length = task.length
            over = ready + length if task.clock is None else clocks[task.clock].soonest(ready, length)
            over = max(over, task.until or 0, end)
            return ready, over, over
        found = []
        most = prepared.grown if prepared.soft else prepared.work
        for crew, staff in enumerate(prepared.staff):
            begin = max(ready, staff.calendar.latest_start(end, most)) if end else ready
            fit = self.earliest(prepared, crew, staff, begin, deadline, profiles)
            if fit is not None and fit.moments[1] >= end:
                found.append(fit.moments)
            elif fit is not None:
                ends, complete = soonest_ends(prepared.phases, clocks, end)
                found.append((fit.moments[0], end, complete, *ends))
        if not found:
            return (max(ready, end),) * (FIRST_PHASE + len(prepared.phases))
        return found[0] if len(found) == 1 else tuple(min(minutes) for minutes in zip(*found, strict=True))
