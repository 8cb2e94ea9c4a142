"""Backward placement: each task at the latest minute, not after a given one, at which its constraints hold.

It only suggests an order, so it ignores windows and may lose a minute here and there.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from shopday.scheduler.placing.fits import Profiles
from shopday.scheduler.placing.prepared_task import PreparedTask, Staffing
from shopday.scheduler.placing.resource_profiles import Levels, Unary
from shopday.scheduler.placing.task_holds import TaskHolds


class BackwardPlacer:
    """Places tasks as late as calendar, people, stations, gear and air allow."""

    def __init__(self, holds: TaskHolds) -> None:
        self.holds = holds

    def lay(self, prepared: PreparedTask, crew: int, wanted: int, profiles: Profiles) -> int:
        """The latest start not after `wanted`, which is entered in `profiles`; `wanted` itself if no earlier start
        is left."""
        staff, work = prepared.staff[crew], prepared.work
        calendar, starts, t = staff.calendar, staff.starts, wanted
        while True:
            k = bisect_right(starts, t)
            if not k:
                return wanted
            if not k & 1:
                t = starts[k - 1] - 1
            end = calendar.finish(t, work)
            if end is None:
                t = min(t - 1, calendar.latest_start(calendar.ends[-1], work))
                continue
            free = self._free_until(prepared, staff, t, end, profiles)
            if free is not None:
                t = min(t - 1, calendar.latest_start(free, work))
                continue
            over = self._phases(prepared, staff, t, end, profiles)
            if not over:
                return t
            t -= over

    def _free_until(
        self, prepared: PreparedTask, staff: Staffing, t: int, end: int, profiles: Profiles
    ) -> int | None:
        """None if the work can be done; else the minute by which it must be over."""
        shut = max(end, t + 1)
        for r in (*staff.people, *prepared.exclusive):
            free = last_free(profiles[r], t, shut, prepared.work)  # type: ignore[arg-type]
            if free is not None:
                return free
        for r, _, room in prepared.counted:
            free = last_below(profiles[r], t, end, room)  # type: ignore[arg-type]
            if free is not None:
                return free
        if prepared.avoids is not None:
            free = last_free(profiles[prepared.avoids], t, end + prepared.dust_lasts)  # type: ignore[arg-type]
            return None if free is None else free - prepared.dust_lasts
        return None

    def _phases(self, prepared: PreparedTask, staff: Staffing, t: int, end: int, profiles: Profiles) -> int:
        """By how many minutes its phases collide with something; 0 if they do not, and then the task is entered."""
        holds = self.holds
        kept = [] if prepared.no_side_effects else holds.keeping(prepared, t, end)[0]
        for r, n, a, b, _ in kept:
            if r >= holds.resources or holds.unary[r]:
                free = last_free(profiles[r], a, b)  # type: ignore[arg-type]
            else:
                free = last_below(profiles[r], a, b, holds.capacities[r] - n)  # type: ignore[arg-type]
            if free is not None:
                return max(1, b - free)
        holds.put(holds.holds_with(prepared, staff.people, t, end, kept), profiles)
        return 0


def last_free(profile: Unary, start: int, end: int, need: int = 0) -> int | None:
    """None if [start, end) is free; else the last earlier minute that ends at least `need` free minutes."""
    i = bisect_right(profile, start)
    if i & 1:
        i -= 1
    elif i == len(profile) or profile[i] >= end:
        return None
    while i and profile[i] - profile[i - 1] < need:
        i -= 2
    return profile[i]


def last_below(profile: Levels, start: int, end: int, room: int) -> int | None:
    """None if the level is never above `room` in [start, end); else the minute at which it first rose above it."""
    times, levels = profile
    for i in range(max(0, bisect_right(times, start) - 1), bisect_left(times, end)):
        if levels[i] > room:
            while i and levels[i - 1] > room:
                i -= 1
            return times[i]
    return None
