"""BackwardPass: how late each task could start if every job were delivered at a given minute.

A backward pass after Sampson and Weiss (1993): tasks are scheduled as late as possible, the last first. With a given
schedule, no two of them use the same resource at once; otherwise only the working time of people counts, which is
enough for a first order. Only the order of the starts is used; the forward placement keeps all constraints.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from heapq import heapify, heappop, heappush

from shopday.scheduler.model.calendars import Calendar
from shopday.scheduler.placing.backward_placement import BackwardPlacer, last_free
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.built_schedule import BuiltSchedule
from shopday.scheduler.placing.resource_profiles import Unary, take_capacity


class BackwardPass:
    """The backward pass over the movable tasks of one problem."""

    def __init__(self, builder: Builder, movable: list[int]) -> None:
        self.builder = builder
        self.movable = movable
        self.prepared = builder.compiled.prepared
        self.after: dict[int, list[tuple[int, int, int]]] = {i: [] for i in movable}
        self.before: dict[int, list[int]] = {i: [] for i in movable}
        for i in movable:
            for j, m, offset in self.prepared[i].lags:
                if j in self.after:
                    self.after[j].append((i, m, offset))
                    self.before[i].append(j)
        self.axes = self._axes()
        self.mirror = BackwardPlacer(builder.placer.holds)

    def _axes(self) -> dict[int, Calendar]:
        """By person, the calendar with the most working time among those of their crews."""
        axes: dict[int, Calendar] = {}
        for i in self.movable:
            for staff in self.prepared[i].staff:
                for person in staff.people:
                    if person not in axes or axes[person].before[-1] < staff.calendar.before[-1]:
                        axes[person] = staff.calendar
        return axes

    def order(self, targets: Mapping[int, float]) -> list[int]:
        """The movable tasks by latest start, for these deliveries by job."""
        latest = self.latest_starts(targets)
        rank = self.builder.compiled.rank
        return sorted(self.movable, key=lambda i: (latest[i], rank[i]))

    def latest_starts(
        self, targets: Mapping[int, float], tasks: Sequence[int] | None = None
    ) -> dict[int, int]:
        """By task, approximately the latest start that still delivers its job at its target.

        tasks: only these count (a whole job); all movable ones by default.
        """
        latest: dict[int, int] = {}
        busy: dict[int, Unary] = {person: [] for person in self.axes}
        tasks = self.movable if tasks is None else tasks
        counted = set(tasks)
        left = {i: sum(s in counted for s, _, _ in self.after[i]) for i in tasks}
        heap = [(-self._free_start(i, targets, latest), i) for i in tasks if not left[i]]
        heapify(heap)
        while heap:
            bound, i = heappop(heap)
            latest[i] = self._lay(i, -bound, busy)
            for j in self.before[i]:
                if j not in left:
                    continue
                left[j] -= 1
                if not left[j]:
                    heappush(heap, (-self._free_start(j, targets, latest), j))
        return latest

    def justified(self, built: BuiltSchedule, targets: Mapping[int, float]) -> list[int]:
        """The movable tasks by latest start, placed in the order in which they end in a schedule, last first.

        If the targets are the deliveries of that schedule, this is its justification to the right (Valls, Ballestin
        and Quintanilla 2005): building it again to the left seldom makes it worse and often better.
        """
        compiled = self.builder.compiled
        ends = {i: (at[1], at[0], compiled.rank[i]) for i in self.movable if (at := built.moments[i])}
        latest: dict[int, int] = {}
        profiles = list(self.builder.placer.starts.empty)
        for i in sorted(ends, key=ends.__getitem__, reverse=True):
            start = self._free_start(i, targets, latest)
            prepared = self.prepared[i]
            latest[i] = self.mirror.lay(prepared, built.crew(i), start, profiles) if prepared.staff else start
        lost = (i for i in self.movable if i not in ends)
        return [*sorted(ends, key=lambda i: (latest[i], ends[i])), *lost]

    def _free_start(self, i: int, targets: Mapping[int, float], latest: Mapping[int, int]) -> int:
        """The latest start with everybody free."""
        prepared, windows = self.prepared[i], self.builder.placer.windows
        start = windows.latest_for(prepared, 2, int(targets[prepared.task.job]))
        for s, m, offset in self.after[i]:
            if s in latest:
                start = min(start, windows.latest_for(prepared, m, latest[s] - offset))
        return start

    def _lay(self, i: int, start: int, busy: dict[int, Unary]) -> int:
        """Put the task into the latest free working time of its first person, starting not after `start`."""
        prepared = self.prepared[i]
        if not prepared.staff or not prepared.staff[0].people or not prepared.work:
            return start
        person = prepared.staff[0].people[0]
        axis = self.axes[person]
        end = axis.worked(start) + prepared.work
        free = last_free(busy[person], end - prepared.work, end, prepared.work)
        end = end if free is None else free
        busy[person] = take_capacity(busy[person], end - prepared.work, end)
        return min(start, axis.minute_at(end - prepared.work))
