"""Search over orders: first of whole jobs, then of delivery targets, then by simulated annealing.

A schedule is given by the order in which its tasks are placed. A small move gives some tasks another key and sorts
again; the part of the order before the first change is taken over. A large move aims some jobs at other minutes and
justifies all others to the right. How much worse a schedule may be (Kirkpatrick, Gelatt and Vecchi 1983) is drawn
before it is built, so that a build is given up as soon as its cost must exceed that.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Mapping, Sequence
from itertools import chain

from shopday.scheduler.placing.builder import BUILD_COST, Builder
from shopday.scheduler.placing.built_schedule import BuiltSchedule
from shopday.scheduler.placing.movable_tasks import MovableTasks
from shopday.scheduler.search.backward_pass import BackwardPass
from shopday.scheduler.search.order_moves import OrderMoves, RankedSchedule

ORDERING = 0.05
"""The share of the budget for orders of whole jobs."""

TARGETS_SHARE = 0.15
"""The share of the budget for delivery targets, after that."""

TARGETS_TEMPERATURE = 0.2
"""How much worse targets may make a schedule at first, as a share of its cost."""

START_TEMPERATURE = 0.1
"""How much worse a schedule may be accepted at first, as a share of its cost above the floor."""

END_TEMPERATURE = 0.001
"""The share of that which is left at the end."""

LARGE_MOVES_SHARE = 0.2
"""The share of large moves at first; at the end there are none."""

LEAST_ROUNDS = 2
"""The least number of times the best schedule is annealed; after the first, from half the temperature."""

ROUND_BUDGET = 100
"""What a round may spend, times the square of the number of tasks, before there are more rounds."""

STRICT_LATE = 100
"""How many times dearer a minute late becomes after the first round, if a promise is still broken."""

STRICT_SHORT = 20
"""The same for a minute of reserve."""

ON_TIME = 0.3
"""If some job is late: how often a large move wants late jobs on time and lets the others take their time."""


class Search:
    """One search from one schedule. Deterministic: the same seed takes the same steps.

    polishes: the schedule is a good one already: it is annealed at once.
    """

    def __init__(
        self,
        builder: Builder,
        start: BuiltSchedule,
        seed: int,
        floor: int,
        floors: Sequence[int | None],
        polishes: bool = False,
    ) -> None:
        self.builder = builder
        self.random = random.Random(seed)
        self.best = start
        self.floor = floor
        self.floors = floors
        self.polishes = polishes
        self.iterations = 0
        self.tasks = MovableTasks(builder)
        self.movable, self.jobs = self.tasks.movable, self.tasks.jobs
        self.urgency = BackwardPass(builder, self.movable)
        self.moves = OrderMoves(self.tasks, self.urgency, floors, self.random)

    def seat(self, built: BuiltSchedule) -> RankedSchedule:
        """Look up the rank and start of every task; tasks without a place are last."""
        rank = [1 << 30] * len(built.moments)
        for k, i in enumerate(built.order):
            rank[i] = k
        starts = [1 << 50 if m is None else m[0] for m in built.moments]
        return RankedSchedule(built, rank, starts)

    def _in_order_of_start(self, built: BuiltSchedule) -> BuiltSchedule:
        """Build again in the order of starts, as long as that improves the schedule."""
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

    def run(self, budget: int, patience: int) -> Iterator[BuiltSchedule | None]:
        """Yield each record until `budget` is spent (see `Builder.spent`), or `patience` of it in a row without one.
        None before each build."""
        if not self.movable:
            return
        if not self.polishes:
            for built in chain(
                self._job_orders(int(budget * ORDERING)), self._aim_at_targets(int(budget * TARGETS_SHARE))
            ):
                self.best = built or self.best
                yield built
        last = self.builder.spent
        rounds = max(LEAST_ROUNDS, (budget - last) // (ROUND_BUDGET * len(self.movable) ** 2))
        for k in range(rounds):
            if k == 1 and (self.best.late or self.best.short):
                self._be_strict()
            length = (budget - self.builder.spent) // (rounds - k)
            for built in self._anneal(length, START_TEMPERATURE if k == 0 else START_TEMPERATURE / 2):
                if built is not None:
                    last = self.builder.spent
                    self.best = built
                yield built
            if self.builder.spent - last > patience:
                break
        built = self._justified(self.best)
        if built.aim < self.best.aim:
            self.best = built
            yield built

    def _be_strict(self) -> None:
        """From now on promises and their reserves almost decide alone, as they do in the final comparison."""
        builder = self.builder
        builder.weigh(builder.costs.late_weight * STRICT_LATE, builder.costs.short_weight * STRICT_SHORT)
        self.floor = sum(builder.costs.job_cost(j, d)[0] for j, d in enumerate(self.floors) if d is not None)
        self.best = builder.costs.repriced(self.best)

    # ------------------------------------------------------------ job after job

    def _job_orders(self, length: int) -> Iterator[BuiltSchedule | None]:
        """Try strict priorities of jobs: each job at every rank, until no move improves the schedule."""
        jobs = sorted(self.jobs, key=lambda job: self.tasks.delivery(job, self.best))
        best: BuiltSchedule | None = None
        moved, last = True, self.builder.spent + length
        while moved:
            moved = False
            for job in list(jobs):
                others = [j for j in jobs if j != job]
                for place in range(len(jobs)):
                    if self.builder.spent >= last:
                        return
                    yield None
                    trial = [*others[:place], job, *others[place:]]
                    built = None if best and trial == jobs else self._one_by_one(trial, best)
                    if built is not None and (best is None or built.cost < best.cost):
                        best, jobs, moved = built, trial, True
                        if built.aim < self.best.aim:
                            yield built

    def _one_by_one(self, jobs: list[int], best: BuiltSchedule | None) -> BuiltSchedule | None:
        order = [i for job in jobs for i in self.tasks.by_job[job]]
        self.iterations += 1
        return self.builder.build(order, limit=None if best is None else best.cost)

    # ------------------------------------------------------------ targets

    def _aim_at_targets(self, length: int) -> Iterator[BuiltSchedule | None]:
        """Anneal over one target per job: a task is as urgent as its latest start for that delivery."""
        chance = self.random
        now = self.builder.problem.now
        floors = {job: self.floors[job] or now for job in self.jobs}
        targets: dict[int, float] = {}
        for job in self.jobs:
            wanted = self.builder.problem.jobs[job].wanted
            targets[job] = floors[job] if wanted is None else wanted
        current: BuiltSchedule | None = None
        last = self.builder.spent + length
        while self.builder.spent < last:
            yield None
            trial = dict(targets)
            if current is not None:
                for job in chance.sample(self.jobs, min(len(self.jobs), 1 + (chance.random() < 0.3))):
                    anchor = chance.choice((targets[job], self.tasks.delivery(job, current), floors[job]))
                    trial[job] = now + (anchor - now) * chance.choice(
                        (0.0, chance.uniform(0.3, 1), chance.uniform(0.8, 1.6))
                    )
            heat = TARGETS_TEMPERATURE * (last - self.builder.spent) / length
            limit = None
            if current is not None:
                limit = current.cost + int(-heat * current.cost * math.log(1 - chance.random()))
            built = self.builder.build(self.urgency.order(trial), limit=limit)
            self.iterations += 1
            if built is None or (limit is not None and built.cost > limit):
                continue
            current, targets = built, trial
            if built.aim < self.best.aim:
                yield built

    # ------------------------------------------------------------ annealing

    def _anneal(self, length: int, heat: float) -> Iterator[BuiltSchedule | None]:
        """Continue from the best schedule by moves that may make it worse, less and less; yield each record."""
        chance, builder = self.random, self.builder
        current = self.seat(self._in_order_of_start(self.best))
        first, best = builder.spent, self.best.aim
        heat *= max(100.0, current.built.placed_cost - self.floor)
        while (over := (builder.spent - first) / max(1, length)) < 1:
            yield None
            limit = current.built.cost + int(-heat * END_TEMPERATURE**over * math.log(1 - chance.random()))
            if chance.random() < LARGE_MOVES_SHARE * (1 - over):
                found = self._aimed(current.built, limit)
            else:
                found = self._neighbour(current, limit)
                self.iterations += 1
            if found is None or found.cost > limit:
                continue
            current = self.seat(found)
            if found.aim < best:
                best = found.aim
                yield found

    def _aimed(self, built: BuiltSchedule, limit: int | None = None) -> BuiltSchedule | None:
        """Aim some jobs at other minutes; all other tasks are as late as their deliveries allow."""
        chance = self.random
        targets: dict[int, float] = {job: self.tasks.delivery(job, built) for job in self.jobs}
        if (built.late or built.short) and chance.random() < ON_TIME:
            self._want_on_time(targets)
        else:
            known = list(targets.values())
            for job in chance.sample(self.jobs, min(len(self.jobs), chance.choice((0, 1, 1, 2, 2, 3)))):
                targets[job] = self._other_minute(job, targets[job], known)
        return self._justify(built, targets, limit)

    def _other_minute(self, job: int, delivery: float, known: Sequence[float]) -> float:
        chance, now = self.random, self.builder.problem.now
        floor, due = self.floors[job] or now, self.builder.problem.jobs[job].wanted
        earlier = floor + (delivery - floor) * chance.random()
        later = delivery + (delivery - now) * 0.5 * chance.random()
        choices = [floor, earlier, later, chance.choice(known)]
        return chance.choice(choices if due is None else [*choices, max(due, floor)])

    def _want_on_time(self, targets: dict[int, float]) -> None:
        """Aim most late jobs at their due minutes, and some of the others at the latest minute they may have."""
        chance, now = self.random, self.builder.problem.now
        share = chance.random()
        for job, delivery in targets.items():
            due = self.builder.problem.jobs[job].wanted
            if due is not None and chance.random() < (0.6 if delivery > due else share):
                targets[job] = max(due, self.floors[job] or now)

    def _justify(
        self, built: BuiltSchedule, targets: Mapping[int, float], limit: int | None
    ) -> BuiltSchedule | None:
        self.iterations += 1
        self.builder.spent += len(self.movable) // 2
        return self.builder.build(self.urgency.justified(built, targets), limit=limit)

    def _justified(self, built: BuiltSchedule) -> BuiltSchedule:
        """Justify the schedule as long as that improves it."""
        while True:
            targets = {job: self.tasks.delivery(job, built) for job in self.jobs}
            again = self._justify(built, targets, built.cost)
            if again is None or again.aim >= built.aim:
                return built
            built = again

    def _neighbour(self, current: RankedSchedule, limit: int) -> BuiltSchedule | None:
        keys = self.moves.keys(current)
        order = sorted(current.built.order, key=keys.__getitem__)
        keep = same_start(order, current.built.order)
        if keep == len(order):
            self.builder.spent += BUILD_COST
            return None
        return self.builder.build(order[keep:], current.built, keep, limit)


def same_start(left: Sequence[int], right: Sequence[int]) -> int:
    """The number of elements that two sequences share at their start."""
    keep = 0
    for a, b in zip(left, right, strict=False):
        if a != b:
            break
        keep += 1
    return keep
