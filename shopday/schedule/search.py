"""Search over orders: moves that tear a few units out of a schedule and put them back earlier or later.

The order of a schedule is its units by start. A move gives some units another key and sorts again;
the part of the order before the first change is taken over as it stands. Candidates are accepted
while they are not worse than a slowly falling threshold (record-to-record travel, Dueck 1993), so a
build can be given up as soon as its cost must exceed it.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator

from shopday.schedule.building import Builder, Built

Key = Callable[[int], float]


class Search:
    """One run of the search from one schedule. Deterministic: the same seed gives the same steps."""

    def __init__(self, builder: Builder, start: Built, seed: int, floor: int) -> None:
        self.builder = builder
        self.compiled = builder.compiled
        self.random = random.Random(seed)
        self.best = start
        self.floor = floor
        self.iterations = 0
        made = self.compiled.made
        self.movable = [
            u
            for u, unit in enumerate(self.compiled.units)
            if any(builder.start.moments[i] is None for i in unit)
        ]
        self.job_units: dict[int, list[int]] = {}
        for u in self.movable:
            for job in {made[i].task.job for i in self.compiled.units[u]}:
                self.job_units.setdefault(job, []).append(u)

    def starts(self, built: Built) -> dict[int, int]:
        """When each movable unit starts (those without a place: at the end)."""
        out = {}
        for u in self.movable:
            known = [m[0] for i in self.compiled.units[u] if (m := built.moments[i]) is not None]
            out[u] = min(known) if known else 1 << 50
        return out

    def settle(self, built: Built) -> Built:
        """Build again in order of start, until that changes nothing for the better."""
        while True:
            starts = self.starts(built)
            rank = {u: k for k, u in enumerate(built.order)}
            order = sorted(self.movable, key=lambda u: (starts[u], rank.get(u, 0)))
            again = self.builder.build(order)
            self.iterations += 1
            if again is None or again.cost > built.cost:
                return built
            if again.cost == built.cost:
                return again
            built = again

    def run(self, budget: int, patience: int) -> Iterator[Built]:
        """Improve for `budget` builds, or until `patience` builds in a row brought nothing; yield each record."""
        current = self.settle(self.best)
        if current.cost < self.best.cost:
            self.best = current
            yield current
        quiet = 0
        first = self.iterations
        spread = max(1, (current.cost - self.floor) // 50)
        while self.iterations - first < budget and quiet < patience:
            share = 1 - (self.iterations - first) / budget
            limit = max(
                current.cost, self.best.cost + int(spread * share * share * self.random.random() ** 2)
            )
            candidate = self._neighbour(current, limit)
            self.iterations += 1
            quiet += 1
            if candidate is None or candidate.cost > limit:
                continue
            current = candidate
            if current.cost < self.best.cost:
                self.best = current
                quiet = 0
                yield current
            if current.cost > self.best.cost + spread:
                current = self.best

    def _neighbour(self, current: Built, limit: int) -> Built | None:
        starts = self.starts(current)
        rank = {u: k for k, u in enumerate(current.order)}
        keys: dict[int, float] = {u: rank[u] for u in self.movable if u in rank}
        draw = self.random.random()
        if draw < 0.45:
            self._pull(keys, rank, current, starts)
        elif draw < 0.65:
            self._insert(keys)
        elif draw < 0.85:
            self._shift_job(keys, starts, rank)
        else:
            self._shake(keys)
        order = sorted(keys, key=keys.__getitem__)
        keep = 0
        for a, b in zip(order, current.order, strict=False):
            if a != b:
                break
            keep += 1
        if keep == len(order):
            return None
        return self.builder.build(order[keep:], current, keep, limit)

    def _pull(
        self, keys: dict[int, float], rank: dict[int, int], current: Built, starts: dict[int, int]
    ) -> None:
        """A unit that waits for no other step but for a free hand goes before one that was preferred to it."""
        u = self.random.choice(self.movable)
        ready = self._ready(u, current)
        earlier = [v for v in self.movable if ready <= starts[v] < starts[u] and v != u]
        if not earlier:
            self._insert(keys)
            return
        v = self.random.choice(earlier[-4:] if self.random.random() < 0.5 else earlier)
        keys[u] = rank[v] - 0.5

    def _ready(self, u: int, current: Built) -> int:
        """When the first task of a unit could have started, had nobody else been in the way."""
        made = self.compiled.made[self.compiled.units[u][0]]
        ready = made.release
        for j, m, offset in made.lags:
            moments = current.moments[j]
            if moments is not None:
                ready = max(ready, moments[m] + offset)
        return ready

    def _insert(self, keys: dict[int, float]) -> None:
        u = self.random.choice(self.movable)
        reach = 1 + int(self.random.expovariate(1 / 8))
        keys[u] += -reach - 0.5 if self.random.random() < 0.7 else reach + 0.5

    def _shift_job(self, keys: dict[int, float], starts: dict[int, int], rank: dict[int, int]) -> None:
        """All that is left of a job after some point goes earlier or later."""
        job = self.random.choice(list(self.job_units))
        units = self.job_units[job]
        reach = self.random.choice((-1, -1, 1)) * (2 + self.random.expovariate(1 / 15))
        after = self.random.choice([keys[u] for u in units]) if self.random.random() < 0.7 else 0
        for u in units:
            if keys[u] >= after:
                keys[u] += reach

    def _shake(self, keys: dict[int, float]) -> None:
        """A stretch of the order is shuffled a little."""
        width = self.random.randint(4, 20)
        low = self.random.uniform(0, max(1, len(keys) - width))
        for u, key in keys.items():
            if low <= key < low + width:
                keys[u] = key + self.random.uniform(-5, 5)
