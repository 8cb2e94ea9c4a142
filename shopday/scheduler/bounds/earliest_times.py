"""EarliestTimes: the earliest end of a task and of its job if no other work were to be done."""

from __future__ import annotations

from collections.abc import Sequence

from shopday.scheduler.bounds.closed_windows import last_starts
from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.fits import Profiles


class EarliestTimes:
    """To the minute, from memory where it can.

    heads: per task, the minute before which it cannot start; may be raised until a delivery is asked for.
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
        """What is under way or appointed has in use; nothing where that could be other people, or is a point in time."""
        placed = [self.prepared[i] for i, m in enumerate(builder.start.moments) if m is not None]
        sure = all(
            prepared.task.fixed
            or prepared.task.starts_immediately
            or (len(prepared.staff) == 1 and prepared.work)
            for prepared in placed
        )
        return builder.recorder.profiles(builder.start) if sure else self.starts.empty

    def _links(self, builder: Builder) -> list[list[tuple[int, int, int]]]:
        """Per task, what of its own job waits for it, as (task, moment, offset)."""
        after: list[list[tuple[int, int, int]]] = [[] for _ in self.prepared]
        for s, prepared in enumerate(self.prepared):
            if s not in builder.refused and builder.start.moments[s] is None:
                for j, m, offset in prepared.lags:
                    if self.prepared[j].task.job == prepared.task.job:
                        after[j].append((s, m, offset))
        return after

    def moments(self, i: int, start: int, end: int = 0) -> Moments:
        """Each moment as early as any crew makes it when the task starts and ends no sooner than these."""
        return self.starts.soonest(i, start, self.profiles, end, self.closes[i])

    def delivery(self, i: int, start: int, end: int = 0) -> int:
        """The soonest delivery of the job of a task that starts and ends no sooner than these."""
        key = i, start, end
        found = self._known.get(key)
        if found is None:
            moments = self.moments(i, start, end)
            found = moments[2]
            for s, m, offset in self.after[i]:
                found = max(found, self.delivery(s, max(self.heads[s], moments[m] + offset)))
            self._known[key] = found
        return found
