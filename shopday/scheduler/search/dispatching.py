"""Dispatching: the work is appended anew by keys. Of the tasks that may come next, the one with the least key does; but
one that is over before that could start goes first (Giffler and Thompson 1960). So a job that moves leaves no wait of
another idle.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shopday.scheduler.model.calendars import FOREVER
from shopday.scheduler.search.annealing import same_start
from shopday.scheduler.search.appending import Appended, Appender
from shopday.scheduler.search.spots import MAKER, Spot

BETWEEN_SNAPSHOTS = 6
"""The number of tasks from one snapshot to the next."""


@dataclass(slots=True)
class Dispatched:
    """An order of all the work and what it gives.

    snapshots: (number of tasks placed, state after them), ascending.
    """

    order: list[int]
    state: Appended
    snapshots: list[tuple[int, Appended]]

    @property
    def cost(self) -> int:
        return self.state.cost


class Dispatcher:
    """Dispatches the work of an appender. after: by task, the work that waits for it."""

    def __init__(self, appender: Appender, after: Mapping[int, Sequence[int]]) -> None:
        self.appender, self.after = appender, after

    def appended(self, order: Sequence[int]) -> Dispatched | None:
        """The work in just this order; None if that misses a hard window."""
        out = self._nothing()
        for i in order:
            spot = self.appender.fit(out.state, i)
            if spot is None:
                return None
            self._place(out, i, spot)
        return out

    def anew(self, order: Sequence[int]) -> Dispatched | None:
        """The work dispatched in this order, as far as hard windows allow; None if one is missed all the same."""
        keys = {i: float(k) for k, i in enumerate(order)}
        return self._go_on(self._nothing(), order, keys, FOREVER, fills=False)

    def _nothing(self) -> Dispatched:
        return Dispatched([], self.appender.start.copy(), [(0, self.appender.start)])

    def again(
        self, base: Dispatched, keys: Mapping[int, float], limit: int, fills: bool = True
    ) -> Dispatched | None:
        """Dispatch by these keys, from the first task on that they move. None if nothing moves, if a hard window is
        missed or if it costs more than `limit`.

        fills: whether tasks may go first that are over before the next one starts.
        """
        keep = same_start(sorted(base.order, key=keys.__getitem__), base.order)
        if keep == len(base.order):
            return None
        snapshots = [snapshot for snapshot in base.snapshots if snapshot[0] <= keep]
        kept, state = snapshots[-1]
        out = Dispatched(base.order[:kept], state.copy(), snapshots)
        return self._go_on(out, base.order[kept:], keys, limit, fills)

    def _go_on(
        self, out: Dispatched, rest: Sequence[int], keys: Mapping[int, float], limit: int, fills: bool
    ) -> Dispatched | None:
        appender, moments = self.appender, out.state.moments
        ready = sorted((keys[i], i) for i in rest if appender.ready(out.state, i))
        while ready:
            found = self._next(out.state, ready, fills)
            if found is None:
                return None
            i, spot = found
            self._place(out, i, spot)
            if out.cost > limit:
                return None
            ready.remove((keys[i], i))
            for q in self.after[i]:
                if moments[q] is None and appender.ready(out.state, q):
                    insort(ready, (keys[q], q))
        return out

    def _next(
        self, state: Appended, ready: Sequence[tuple[float, int]], fills: bool
    ) -> tuple[int, Spot] | None:
        """The task to be placed next; None if a window that has begun cannot be kept, or none can be placed."""
        appender, pending = self.appender, state.pending
        first: tuple[int, Spot] | None = None
        start = FOREVER
        for _, i in ready:
            if appender.tasks[i].follow and not appender.can_be_followed(state, i):
                continue
            spot = appender.fit(state, i)
            if spot is None:
                if i in pending:
                    return None
            elif first is not None and spot.moments[1] > start:
                continue
            elif i in pending or not pending or self._leaves_time(state, i, spot):
                if first is not None:
                    return i, spot
                first, start = (i, spot), spot.moments[0]
                if not fills or start <= state.free[MAKER]:
                    return first
        return first

    def _leaves_time(self, state: Appended, i: int, spot: Spot) -> bool:
        """True if every window that has begun can still be kept after a task."""
        trial = state.copy()
        self.appender.enter(trial, i, spot)
        return self.appender.can_go_on(trial)

    def _place(self, out: Dispatched, i: int, spot: Spot) -> None:
        self.appender.enter(out.state, i, spot)
        out.order.append(i)
        if len(out.order) % BETWEEN_SNAPSHOTS == 0:
            out.snapshots.append((len(out.order), out.state.copy()))
