"""OrderMoves: random small changes to the order in which tasks are placed."""

from __future__ import annotations

import random
from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from shopday.scheduler.placing.built_schedule import BuiltSchedule
from shopday.scheduler.placing.movable_tasks import MovableTasks
from shopday.scheduler.search.backward_pass import BackwardPass

SWAPS = 0.5
"""The share of pulled tasks that change places with the one they are put before."""


@dataclass(slots=True)
class RankedSchedule:
    """A schedule with what the moves need: the rank in the order, and the start, of every task."""

    built: BuiltSchedule
    rank: list[int]
    starts: list[int]


OrderMove = Callable[[list[float], RankedSchedule], None]
"""Gives some tasks other keys, by which the order is sorted again."""


class OrderMoves:
    """The moves of one search, each with its share.

    floors: by job, no schedule delivers it earlier, if known.
    """

    def __init__(
        self,
        tasks: MovableTasks,
        urgency: BackwardPass,
        floors: Sequence[int | None],
        chance: random.Random,
    ) -> None:
        self.tasks, self.urgency, self.floors, self.random = tasks, urgency, floors, chance
        self.problem, self.compiled = tasks.builder.problem, tasks.builder.compiled
        self.moves: tuple[tuple[float, OrderMove], ...] = (
            (0.18, self._pull),
            (0.1, self._pull_chain),
            (0.1, self._insert),
            (0.15, self._exchange),
            (0.15, self._displace),
            (0.14, self._retarget),
            (0.06, self._shift_job),
            (0.06, self._gather_job),
            (0.06, self._shake),
        )

    def keys(self, current: RankedSchedule) -> list[float]:
        """The rank of every task after one move."""
        keys: list[float] = list(current.rank)
        draw = self.random.random()
        for share, move in self.moves:
            if draw < share:
                move(keys, current)
                break
            draw -= share
        return keys

    def _retarget(self, keys: list[float], current: RankedSchedule) -> None:
        """Aim a job at another minute: its tasks move to where they are just early enough for that."""
        job = self.random.choice(self.tasks.jobs)
        now = self.problem.now
        floor, delivery = self.floors[job] or now, self.tasks.delivery(job, current.built)
        target = floor + (delivery - floor) * self.random.choice(
            (0.0, self.random.random(), 1.0 + 0.3 * self.random.random())
        )
        due = self.problem.jobs[job].wanted
        if due is not None and self.random.random() < 0.25:
            target = max(due, floor)
        latest = self.urgency.latest_starts({job: target}, self.tasks.by_job[job])
        order = current.built.order
        starts = [current.starts[i] for i in order]
        rank = self.compiled.rank
        for i, start in latest.items():
            keys[i] = bisect_left(starts, start) - 0.5 + rank[i] / 100000

    def _pull(self, keys: list[float], current: RankedSchedule) -> None:
        """On the critical chain of a job, let a task that had to wait go first."""
        job = self.random.choice(self.tasks.jobs)
        kept = self._kept_waiting(job, current)
        u, ready = self.random.choice(kept) if kept else (self.random.choice(self.tasks.movable), 0)
        starts = current.starts
        before = [v for v in self.tasks.movable if ready <= starts[v] < starts[u]]
        if not before:
            self._insert(keys, current)
            return
        v = self.random.choice(before)
        keys[u] = current.rank[v] - 0.5
        if self.random.random() < SWAPS:
            keys[v] = current.rank[u] + 0.5

    def _pull_chain(self, keys: list[float], current: RankedSchedule) -> None:
        """Let a run of tasks on the critical chain of a job go first together."""
        kept = self._kept_waiting(self.random.choice(self.tasks.jobs), current)
        if not kept:
            self._insert(keys, current)
            return
        first = self.random.randrange(len(kept))
        last = self.random.randrange(first + 1)
        ready = kept[first][1]
        before = [keys[v] for v in self.tasks.movable if current.starts[v] >= ready]
        cut = min(before) - 0.5
        for k, (u, _) in enumerate(reversed(kept[last : first + 1])):
            keys[u] = cut + k / 1000

    def _kept_waiting(self, job: int, current: RankedSchedule) -> list[tuple[int, int]]:
        """The tasks on the critical chain of a job that start later than what they wait for, each with that minute."""
        compiled, moments = self.compiled, current.built.moments
        ends = [(at[2], i) for i in self.tasks.by_job[job] if (at := moments[i]) is not None]
        out: list[tuple[int, int]] = []
        i = max(ends, default=(0, -1))[1]
        while i >= 0:
            prepared, now = compiled.prepared[i], moments[i]
            ready, last = prepared.release, -1
            for j, m, offset in prepared.lags:
                other = moments[j]
                if other is not None and other[m] + offset > ready:
                    ready, last = other[m] + offset, j
            if now is not None and now[0] > ready:
                out.append((i, ready))
            i = last
        return out

    def _insert(self, keys: list[float], _current: RankedSchedule) -> None:
        u = self.random.choice(self.tasks.movable)
        reach = 1 + int(self.random.expovariate(1 / 8))
        keys[u] += -reach - 0.5 if self.random.random() < 0.7 else reach + 0.5

    def _exchange(self, keys: list[float], _current: RankedSchedule) -> None:
        """Exchange two tasks."""
        u, v = self.random.choice(self.tasks.movable), self.random.choice(self.tasks.movable)
        keys[u], keys[v] = keys[v], keys[u]

    def _displace(self, keys: list[float], _current: RankedSchedule) -> None:
        """Move a task before or after any other."""
        u, v = self.random.choice(self.tasks.movable), self.random.choice(self.tasks.movable)
        keys[u] = keys[v] + self.random.choice((-0.5, 0.5))

    def _shift_job(self, keys: list[float], _current: RankedSchedule) -> None:
        """Move the rest of a job, after some point, earlier or later."""
        units = self.tasks.by_job[self.random.choice(self.tasks.jobs)]
        reach = self.random.choice((-1, -1, 1)) * (
            2 + self.random.expovariate(1 / (0.2 * len(self.tasks.movable)))
        )
        after = self.random.choice([keys[u] for u in units]) if self.random.random() < 0.7 else 0
        for u in units:
            if keys[u] >= after:
                keys[u] += reach

    def _gather_job(self, keys: list[float], _current: RankedSchedule) -> None:
        """Move the rest of a job, after some point, in one run before some other task."""
        units = sorted(self.tasks.by_job[self.random.choice(self.tasks.jobs)], key=keys.__getitem__)
        units = units[self.random.randrange(len(units)) if self.random.random() < 0.5 else 0 :]
        cut = -1.0 if self.random.random() < 0.5 else keys[self.random.choice(self.tasks.movable)] - 0.5
        for k, u in enumerate(units):
            keys[u] = cut + k / 1000

    def _shake(self, keys: list[float], _current: RankedSchedule) -> None:
        """Shuffle a stretch of the order a little."""
        width = self.random.randint(4, 20)
        low = self.random.uniform(0, max(1, len(keys) - width))
        for u in self.tasks.movable:
            if low <= keys[u] < low + width:
                keys[u] += self.random.uniform(-5, 5)
