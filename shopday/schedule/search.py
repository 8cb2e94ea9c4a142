"""Search over orders: first of whole jobs, then of delivery targets, then of single tasks.

A schedule is the order in which its tasks were placed. A move gives some tasks another key and sorts
again; the part of the order before the first change is taken over as it stands. How much worse a
schedule may be is drawn before it is built, so a build is given up as soon as its cost must exceed
that. Large moves want a few jobs at other minutes and justify the rest. Single tasks are moved by
iterated local search (Lourenco, Martin, Stutzle 2003): a large move, then small moves downhill.
"""

from __future__ import annotations

import math
import random
from bisect import bisect_left
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from shopday.schedule.building import OVERHEAD, Builder, Built
from shopday.schedule.urgency import Urgency

AIMING = 0.15
"""Share of the budget spent on whole jobs, and again on targets, before single steps are moved."""

ANNEALING = 0.3
"""Share of what is left after that for annealing by large moves."""

STRICT = 20
"""How many times dearer a minute late is in the last round, where a promise is still broken."""

JUSTIFIED = 2
"""How often a schedule is justified after a large move, while that makes it better."""

HOT = 0.2
"""How much worse a schedule may be accepted there at first, as a share of its cost above the floor."""

ROUNDS = 2
"""How often the search starts again, from other schedules met on the way and last from the best."""

HEAT = 0.2
"""How much worse a schedule may be accepted at first, as a share of its cost above the floor."""

COOL = 0.1
"""Share of that which a small move may cost."""

POLISH = 10.0
"""Small moves after each kick, per task."""

SWAPS = 0.5
"""Share of pulled tasks that change places with the one they are put before."""


@dataclass(slots=True)
class Seat:
    """A schedule with what the moves want to know: rank in the order, and start, of every task."""

    built: Built
    rank: list[int]
    starts: list[int]


Move = Callable[[list[float], Seat], None]
Moves = tuple[tuple[float, Move], ...]


class Search:
    """One search from one schedule. Deterministic: the same seed takes the same steps."""

    def __init__(
        self, builder: Builder, start: Built, seed: int, floor: int, floors: Sequence[int | None]
    ) -> None:
        self.builder = builder
        self.compiled = builder.compiled
        self.random = random.Random(seed)
        self.best = start
        self.floor = floor
        self.floors = floors
        self.iterations = 0
        self.elite: list[Built] = []
        made = self.compiled.made
        self.movable = [
            i for i, m in enumerate(builder.start.moments) if m is None and i not in builder.refused
        ]
        self.job_tasks: dict[int, list[int]] = {}
        for i in self.movable:
            self.job_tasks.setdefault(made[i].task.job, []).append(i)
        self.jobs = list(self.job_tasks)
        self.urgency = Urgency(builder, self.movable)
        self.moves: Moves = (
            (0.25, self._pull),
            (0.15, self._pull_chain),
            (0.15, self._insert),
            (0.2, self._retarget),
            (0.08, self._shift_job),
            (0.08, self._gather_job),
            (0.09, self._shake),
        )

    def seat(self, built: Built) -> Seat:
        """Look up where every task stands (one without a place: at the end)."""
        rank = [1 << 30] * len(built.moments)
        for k, i in enumerate(built.order):
            rank[i] = k
        starts = [1 << 50 if m is None else m[0] for m in built.moments]
        return Seat(built, rank, starts)

    def settle(self, built: Built) -> Built:
        """Build again in order of start, for as long as that makes it better."""
        while True:
            seat = self.seat(built)
            order = sorted(self.movable, key=lambda u: (seat.starts[u], seat.rank[u]))
            again = self.builder.build(order, limit=built.cost)
            self.iterations += 1
            if again is None or again.aim > built.aim:
                return built
            if again.aim == built.aim:
                return again
            built = again

    def run(self, budget: int, patience: int) -> Iterator[Built]:
        """Yield each record, until `budget` is spent (see `Builder.spent`) or `patience` of it in a row brought nothing."""
        if not self.movable:
            return
        for built in chain(
            self._job_orders(int(budget * AIMING)), self._aim_at_targets(int(budget * AIMING))
        ):
            self.best = built
            yield built
        for built in self._anneal(self.best, int((budget - self.builder.spent) * ANNEALING)):
            self.best = built
            yield built
        last = self.builder.spent
        length = max(1, (budget - self.builder.spent) // ROUNDS)
        starts = self.elite[: ROUNDS - 1]
        strict = False
        while self.builder.spent < budget:
            if not starts and self.best.late and not strict:
                self._be_strict()
                strict = True
            start = starts.pop() if starts else self.best
            for better in self._iterate(start, min(length, budget - self.builder.spent)):
                last = self.builder.spent
                self.best = better
                yield better
            if not starts and self.builder.spent - last > patience:
                break

    def _be_strict(self) -> None:
        """From now on lateness all but decides, as it does in the end."""
        builder = self.builder
        builder.weigh(builder.late_weight * STRICT)
        self.floor = sum(builder.job_cost(j, d)[0] for j, d in enumerate(self.floors) if d is not None)
        self.best = builder.build([*self.best.order, *self.movable]) or self.best

    # ------------------------------------------------------------ job after job

    def _job_orders(self, length: int) -> Iterator[Built]:
        """Strict priority of jobs, each tried at every rank among the others until none wants to move."""
        jobs = sorted(self.jobs, key=lambda job: self._delivery(job, self.best))
        best: Built | None = None
        moved, last = True, self.builder.spent + length
        while moved:
            moved = False
            for job in list(jobs):
                others = [j for j in jobs if j != job]
                for place in range(len(jobs)):
                    if self.builder.spent >= last:
                        return
                    trial = [*others[:place], job, *others[place:]]
                    built = None if best and trial == jobs else self._one_by_one(trial, best)
                    if built is not None and (best is None or built.cost < best.cost):
                        best, jobs, moved = built, trial, True
                        self._remember(built)
                        if built.aim < self.best.aim:
                            yield built

    def _remember(self, built: Built) -> None:
        """Keep a schedule to start from again, if it is among the best few."""
        self.elite = sorted([*self.elite, built], key=lambda b: b.aim)[:ROUNDS]

    def _one_by_one(self, jobs: list[int], best: Built | None) -> Built | None:
        order = [i for job in jobs for i in self.job_tasks[job]]
        self.iterations += 1
        return self.builder.build(order, limit=None if best is None else best.cost)

    # ------------------------------------------------------------ targets

    def _aim_at_targets(self, length: int) -> Iterator[Built]:
        """Anneal over one target a job: every task as urgent as its latest start for that delivery."""
        chance = self.random
        now = self.builder.problem.now
        floors = {job: self.floors[job] or now for job in self.jobs}
        targets: dict[int, float] = {}
        for job in self.jobs:
            due = self.builder.problem.jobs[job].due
            targets[job] = floors[job] if due is None else due
        current: Built | None = None
        last = self.builder.spent + length
        while self.builder.spent < last:
            trial = dict(targets)
            if current is not None:
                for job in chance.sample(self.jobs, min(len(self.jobs), 1 + (chance.random() < 0.3))):
                    anchor = chance.choice((targets[job], self._delivery(job, current), floors[job]))
                    trial[job] = now + (anchor - now) * chance.choice(
                        (0.0, chance.uniform(0.3, 1), chance.uniform(0.8, 1.6))
                    )
            heat = HEAT * (last - self.builder.spent) / length
            limit = None
            if current is not None:
                limit = current.cost + int(-heat * current.cost * math.log(1 - chance.random()))
            built = self.builder.build(self.urgency.order(trial), limit=limit)
            self.iterations += 1
            if built is None or (limit is not None and built.cost > limit):
                continue
            current, targets = built, trial
            self._remember(built)
            if built.aim < self.best.aim:
                yield built

    def _anneal(self, start: Built, length: int) -> Iterator[Built]:
        """Anneal by large moves: whole jobs, early or late."""
        current = start
        last = self.builder.spent + length
        heat = HOT * max(100.0, start.placed_cost - self.floor)
        best = self.best.aim
        while self.builder.spent < last:
            share = (last - self.builder.spent) / length
            limit = current.cost + int(-heat * share * math.log(1 - self.random.random()))
            found = self._aimed(current, limit)
            if found is None or found.cost > limit:
                continue
            current = found
            if found.aim < best:
                best = found.aim
                self._remember(found)
                yield found

    def _delivery(self, job: int, built: Built) -> int:
        moments = (built.moments[i] for i in self.job_tasks[job])
        return max((m[2] for m in moments if m is not None), default=self.builder.problem.now)

    def _iterate(self, start: Built, length: int) -> Iterator[Built]:
        """Kick a schedule, polish it, keep it if that was no loss; yield each that is better than the best."""
        current = self.settle(start)
        last = self.builder.spent + length
        best = self.best.aim
        heat = HEAT * max(100.0, current.placed_cost - self.floor)
        polish = int(POLISH * len(self.movable))
        if current.aim < best:
            best = current.aim
            yield current
        while self.builder.spent < last:
            share = max(0.0, (last - self.builder.spent) / length)
            kicked = self._aimed(current)
            if kicked is None:
                continue
            done = self._polish(self._justified(kicked), polish, last, heat * share * COOL)
            done = self._justified(done)
            if done.aim < best:
                best = done.aim
                yield done
            if done.cost <= current.cost - heat * share * math.log(1 - self.random.random()):
                current = done

    def _aimed(self, built: Built, limit: int | None = None) -> Built | None:
        """Some jobs are wanted at other minutes; all the rest is as late as its delivery allows."""
        chance, now = self.random, self.builder.problem.now
        targets: dict[int, float] = {job: self._delivery(job, built) for job in self.jobs}
        known = list(targets.values())
        for job in chance.sample(self.jobs, min(len(self.jobs), chance.choice((0, 1, 1, 2, 2, 3)))):
            floor, delivery = self.floors[job] or now, targets[job]
            earlier = floor + (delivery - floor) * chance.random()
            later = delivery + (delivery - now) * 0.5 * chance.random()
            targets[job] = chance.choice((floor, earlier, later, chance.choice(known)))
        return self._justify(built, targets, limit)

    def _justify(self, built: Built, targets: Mapping[int, float], limit: int | None) -> Built | None:
        self.iterations += 1
        self.builder.spent += len(self.movable) // 4
        return self.builder.build(self.urgency.justified(built, targets), limit=limit)

    def _justified(self, built: Built) -> Built:
        """Justify a schedule for as long as that makes it better, a few times at most."""
        for _ in range(JUSTIFIED):
            targets = {job: self._delivery(job, built) for job in self.jobs}
            again = self._justify(built, targets, built.cost)
            if again is None or again.aim >= built.aim:
                break
            built = again
        return built

    def _polish(self, built: Built, length: int, until: int, heat: float) -> Built:
        """Walk downhill by so many small moves, while the budget lasts; return the best schedule met."""
        current, best = self.seat(built), built
        for _ in range(length):
            if self.builder.spent >= until:
                break
            limit = current.built.cost + int(-heat * math.log(1 - self.random.random()))
            found = self._neighbour(current, limit)
            self.iterations += 1
            if found is None or found.cost > limit:
                continue
            current = self.seat(found)
            if found.cost < best.cost or found.aim < best.aim:
                best = found
        return best

    # ------------------------------------------------------------ moves

    def _neighbour(self, current: Seat, limit: int) -> Built | None:
        keys: list[float] = list(current.rank)
        draw = self.random.random()
        for share, move in self.moves:
            if draw < share:
                move(keys, current)
                break
            draw -= share
        order = sorted(current.built.order, key=keys.__getitem__)
        keep = same_start(order, current.built.order)
        if keep == len(order):
            self.builder.spent += OVERHEAD
            return None
        return self.builder.build(order[keep:], current.built, keep, limit)

    def _retarget(self, keys: list[float], current: Seat) -> None:
        """A job is wanted at another minute: its tasks go where they are just early enough for that."""
        job = self.random.choice(self.jobs)
        now = self.builder.problem.now
        floor, delivery = self.floors[job] or now, self._delivery(job, current.built)
        target = floor + (delivery - floor) * self.random.choice(
            (0.0, self.random.random(), 1.0 + 0.3 * self.random.random())
        )
        latest = self.urgency.latest_starts({job: target}, self.job_tasks[job])
        order = current.built.order
        starts = [current.starts[i] for i in order]
        rank = self.compiled.rank
        for i, start in latest.items():
            keys[i] = bisect_left(starts, start) - 0.5 + rank[i] / 100000

    def _pull(self, keys: list[float], current: Seat) -> None:
        """Along the chain that makes a job as late as it is, a task that was kept waiting goes first."""
        job = self.random.choice(self.jobs)
        kept = self._kept_waiting(job, current)
        u, ready = self.random.choice(kept) if kept else (self.random.choice(self.movable), 0)
        starts = current.starts
        before = [v for v in self.movable if ready <= starts[v] < starts[u]]
        if not before:
            self._insert(keys, current)
            return
        v = self.random.choice(before)
        keys[u] = current.rank[v] - 0.5
        if self.random.random() < SWAPS:
            keys[v] = current.rank[u] + 0.5

    def _pull_chain(self, keys: list[float], current: Seat) -> None:
        """A run of tasks on the critical chain of a job goes first together."""
        kept = self._kept_waiting(self.random.choice(self.jobs), current)
        if not kept:
            self._insert(keys, current)
            return
        first = self.random.randrange(len(kept))
        last = self.random.randrange(first + 1)
        ready = kept[first][1]
        before = [keys[v] for v in self.movable if current.starts[v] >= ready]
        cut = min(before) - 0.5
        for k, (u, _) in enumerate(reversed(kept[last : first + 1])):
            keys[u] = cut + k / 1000

    def _kept_waiting(self, job: int, current: Seat) -> list[tuple[int, int]]:
        """Tasks on the critical chain of a job that start later than what they wait for, with that minute."""
        compiled, moments = self.compiled, current.built.moments
        ends = [(at[2], i) for i in self.job_tasks[job] if (at := moments[i]) is not None]
        out: list[tuple[int, int]] = []
        i = max(ends, default=(0, -1))[1]
        while i >= 0:
            made, now = compiled.made[i], moments[i]
            ready, last = made.release, -1
            for j, m, offset in made.lags:
                other = moments[j]
                if other is not None and other[m] + offset > ready:
                    ready, last = other[m] + offset, j
            if now is not None and now[0] > ready:
                out.append((i, ready))
            i = last
        return out

    def _insert(self, keys: list[float], _current: Seat) -> None:
        u = self.random.choice(self.movable)
        reach = 1 + int(self.random.expovariate(1 / 8))
        keys[u] += -reach - 0.5 if self.random.random() < 0.7 else reach + 0.5

    def _shift_job(self, keys: list[float], _current: Seat) -> None:
        """All that is left of a job after some point goes earlier or later."""
        units = self.job_tasks[self.random.choice(self.jobs)]
        reach = self.random.choice((-1, -1, 1)) * (2 + self.random.expovariate(1 / (0.2 * len(self.movable))))
        after = self.random.choice([keys[u] for u in units]) if self.random.random() < 0.7 else 0
        for u in units:
            if keys[u] >= after:
                keys[u] += reach

    def _gather_job(self, keys: list[float], _current: Seat) -> None:
        """All that is left of a job after some point goes in one run before some other task."""
        units = sorted(self.job_tasks[self.random.choice(self.jobs)], key=keys.__getitem__)
        units = units[self.random.randrange(len(units)) if self.random.random() < 0.5 else 0 :]
        cut = -1.0 if self.random.random() < 0.5 else keys[self.random.choice(self.movable)] - 0.5
        for k, u in enumerate(units):
            keys[u] = cut + k / 1000

    def _shake(self, keys: list[float], _current: Seat) -> None:
        """A stretch of the order is shuffled a little."""
        width = self.random.randint(4, 20)
        low = self.random.uniform(0, max(1, len(keys) - width))
        for u in self.movable:
            if low <= keys[u] < low + width:
                keys[u] += self.random.uniform(-5, 5)


def same_start(left: Sequence[int], right: Sequence[int]) -> int:
    """How many elements two sequences share before they differ."""
    keep = 0
    for a, b in zip(left, right, strict=False):
        if a != b:
            break
        keep += 1
    return keep
