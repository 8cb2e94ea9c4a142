"""EarliestDelivery: the earliest delivery of a job if one of its tasks starts no earlier than a given minute.

Every other task is placed at the first minute its calendars allow, with all resources free. Nights, days off and the
rare hours of a helper count, so a search sees at once what missing them costs.
"""

from __future__ import annotations

from collections.abc import Collection

from shopday.scheduler.placing.earliest_start import EarliestStart
from shopday.scheduler.placing.prepared_problem import PreparedProblem

GRAIN = 30
"""Starts are rounded down to this many minutes, so that cached answers are reused."""

LONGEST_CHAIN = 200
"""The longest chain of tasks that is followed; later tasks are ignored."""


class EarliestDelivery:
    """Answers are cached. They are lower bounds: no schedule delivers earlier."""

    def __init__(self, compiled: PreparedProblem, starts: EarliestStart, refused: Collection[int]) -> None:
        self.prepared = compiled.prepared
        self.starts = starts
        self.after = self._chains(compiled, refused)
        self._known: list[dict[int, int]] = [{} for _ in self.prepared]

    def _chains(
        self, compiled: PreparedProblem, refused: Collection[int]
    ) -> list[list[tuple[int, int, int]]]:
        """By task, the tasks of its own job that wait for it, as (task, moment, offset)."""
        after: list[list[tuple[int, int, int]]] = [[] for _ in self.prepared]
        depth = [0] * len(self.prepared)
        for s in sorted(range(len(self.prepared)), key=compiled.rank.__getitem__, reverse=True):
            prepared = self.prepared[s]
            if (
                s in refused
                or prepared.task.fixed is not None
                or prepared.task.going
                or depth[s] >= LONGEST_CHAIN
            ):
                continue
            for j, m, offset in prepared.lags:
                if self.prepared[j].task.job == prepared.task.job:
                    after[j].append((s, m, offset))
                    depth[j] = max(depth[j], depth[s] + 1)
        return after

    def delivery(self, i: int, start: int) -> int:
        """The earliest delivery of the job of task `i` if `i` starts at `start` or later."""
        grain = start // GRAIN
        known = self._known[i]
        found = known.get(grain)
        if found is None:
            found = known[grain] = self._follow(i, grain * GRAIN)
        return found

    def _follow(self, i: int, start: int) -> int:
        moments = self.starts.soonest(i, start, self.starts.empty)
        delivery = moments[2]
        for s, m, offset in self.after[i]:
            delivery = max(delivery, self.delivery(s, moments[m] + offset))
        return delivery
