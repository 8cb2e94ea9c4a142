"""EarliestTimes: the earliest end of a task and of its job if there were no other work."""

from __future__ import annotations

from collections.abc import Sequence

from shopday.scheduler.bounds.closed_windows import last_starts
from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.fits import Profiles


class EarliestTimes:
    """Exact to the minute; answers are cached.

    heads: by task, no schedule starts it earlier; may be raised until the first delivery is asked for.
    """

    def __init__(self, builder: Builder, heads: Sequence[int]) -> None:
        self.prepared = builder.compiled.prepared
        self.starts = builder.placer.starts
        self.heads = heads
        self.closes = last_starts(builder)
        self.profiles = self._given(builder)
        self.after = self._links(builder)
        self._known: dict[tuple[int, int, int], int] = {}

    def _given(self, builder: Builder) -> Profiles:
        """Profiles of what begun and appointed tasks use. Empty if other people could do one of them, or if one has
        no length."""
        placed = [self.prepared[i] for i, m in enumerate(builder.start.moments) if m is not None]
        sure = all(
            prepared.task.fixed
            or prepared.task.starts_immediately
            or (len(prepared.staff) == 1 and prepared.work)
            for prepared in placed
        )
        return builder.recorder.profiles(builder.start) if sure else self.starts.empty

    def _links(self, builder: Builder) -> list[list[tuple[int, int, int]]]:
        """By task, the tasks of its own job that wait for it, as (task, moment, offset)."""
        after: list[list[tuple[int, int, int]]] = [[] for _ in self.prepared]
        for s, prepared in enumerate(self.prepared):
            if s not in builder.refused and builder.start.moments[s] is None:
                for j, m, offset in prepared.lags:
                    if self.prepared[j].task.job == prepared.task.job:
                        after[j].append((s, m, offset))
        return after

    def moments(self, i: int, start: int, end: int = 0) -> Moments:
        """The earliest moments, over all crews, of a task that starts and ends no earlier than this."""
        return self.starts.soonest(i, start, self.profiles, end, self.closes[i])

    def delivery(self, i: int, start: int, end: int = 0) -> int:
        """The earliest delivery of a task's job if the task starts and ends no earlier than this."""
        key = i, start, end
        found = self._known.get(key)
        if found is None:
            moments = self.moments(i, start, end)
            found = moments[2]
            for s, m, offset in self.after[i]:
                found = max(found, self.delivery(s, max(self.heads[s], moments[m] + offset)))
            self._known[key] = found
        return found
