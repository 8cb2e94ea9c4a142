"""Freeing: a second kind of search, for one maker with many tasks.

A few whole jobs are freed at once, an order in which to finish the jobs is chosen, and their tasks are merged anew
with those of the others (`merging.py`). Between merges, many small moves give some tasks of a job other keys, by which
all work is dispatched anew (`key_moves.py`, `dispatching.py`). A result may be worse at first, less and less. This
crosses cliffs that moves of single tasks do not: two jobs change places as a whole, or a helper's rare afternoon goes
to another job. Annealing goes on from the best schedule found.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from shopday.scheduler.model.calendars import FOREVER
from shopday.scheduler.model.heartbeats import Steps
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.built_schedule import BuiltSchedule
from shopday.scheduler.placing.schedule_costs import ScheduleCosts
from shopday.scheduler.search.annealing import STRICT_LATE, STRICT_SHORT, Search
from shopday.scheduler.search.appended_tasks import UnfitForAppending
from shopday.scheduler.search.appending import Appended, Appender
from shopday.scheduler.search.dispatching import Dispatched, Dispatcher
from shopday.scheduler.search.key_moves import KeyMoves
from shopday.scheduler.search.merging import Merger

FEWEST_TASKS = 36
"""With fewer tasks than this the first kind of search finds the best schedule by itself."""

MOST_JOBS = 12
"""With more jobs than this a few jobs are too small a share of all."""

JOBS_FREED = (2, 3, 3, 4, 5)
"""How many jobs are free at once; a repeated number is drawn more often."""

SHIFTS = (-3, -2, -2, -1, -1, 0, 0, 1, 1, 2)
"""By how many places the last work on a free job moves in the order of the jobs, likewise."""

ANYWHERE_SHARE = 0.3
"""How often it moves to any place instead."""

ORDERS_DRAWN = 6
"""The number of orders drawn, of which the most promising is tried."""

ALL_FREE_SHARE = 0.1
"""The share of the budget, at the beginning, in which all jobs are free."""

WHOLE_ORDER_SHARE = 0.5
"""How often nothing is kept from the start; otherwise part of the first half of the order is."""

MERGES_SHARE = 0.12
"""The share of merges among the moves; the others give tasks other keys and dispatch them, in a tenth of the time."""

FILLS_SHARE = 0.85
"""How often dispatching fills waits."""

START_TEMPERATURE = 0.03
"""How much worse a move may make a schedule at first, as a share of its cost."""

END_TEMPERATURE = 0.33
"""The share of that which is left at the end."""

STRICT_FROM = 0.4
"""The share of the budget after which promises and their reserves almost decide alone."""

SHUFFLES = 40
"""So many orders of the tasks of a late job are tried to see how soon it could be done."""

LOOK_COST = 1.4
"""The cost of looking for a place in a merge, in placements of a task by the builder (see `Builder.spent`)."""

QUICK_LOOK_COST = 0.42
"""The same while dispatching."""

MOVE_COST = 3
"""The cost of beginning to dispatch, likewise."""


class _Records:
    """The best schedules found: one by the totals, one by a cost in which a promise weighs much more.

    order: of the second of them.
    scale: what the temperature is a share of.
    """

    def __init__(self, costs: ScheduleCosts) -> None:
        self.costs = costs
        self.late_weight = costs.late_weight * STRICT_LATE
        self.short_weight = costs.short_weight * STRICT_SHORT
        self.totals: tuple[int, ...] | None = None
        self.strict = 0
        self.order: list[int] = []
        self.scale = 0

    def take(self, found: Dispatched) -> bool:
        """Take note of a schedule; True if its totals are the best so far."""
        each = [self.costs.job_cost(job, at) for job, at in enumerate(found.state.deliveries)]
        cost, late, short = map(sum, zip(*each, strict=True))
        finish = cost - self.costs.late_weight * late - self.costs.short_weight * short
        strict = self.late_weight * late + self.short_weight * short + finish
        if not self.order or strict < self.strict:
            self.strict, self.order = strict, found.order
        better = self.totals is None or (late, short, finish) < self.totals
        if better:
            self.totals = late, short, finish
        is_strict = self.costs.late_weight == self.late_weight
        self.scale = finish if is_strict else cost
        return better


class FreeingFirst:
    """Freeing for a share of the budget, then annealing from the best schedule found, which gets the last out of it."""

    def __init__(
        self, freeing: FreeingSearch, share: float, anneal: Callable[[BuiltSchedule], Search]
    ) -> None:
        self.share, self.anneal = share, anneal
        self.search: FreeingSearch | Search = freeing
        self.freed = 0

    @property
    def best(self) -> BuiltSchedule:
        return self.search.best

    @property
    def iterations(self) -> int:
        return self.freed + self.search.iterations

    def run(self, budget: int, patience: int) -> Iterator[BuiltSchedule | None]:
        """Like `Search.run`."""
        first = int(budget * self.share)
        yield from self.search.run(first, first)
        if first == budget:
            return
        self.freed = self.search.iterations
        self.search = self.anneal(self.best)
        yield from self.search.run(self.search.builder.spent + budget - first, patience)


class FreeingSearch:
    """A search from one schedule, like `Search`. Deterministic: the same seed takes the same steps.

    Raises UnfitForAppending if the problem does not suit it.
    """

    def __init__(self, builder: Builder, start: BuiltSchedule, seed: int) -> None:
        self.builder, self.best = builder, start
        self.appender = Appender(builder)
        self.jobs = sorted({self.appender.tasks[i].job for i in self.appender.work})
        if len(self.appender.work) < FEWEST_TASKS or len(self.jobs) > MOST_JOBS:
            raise UnfitForAppending
        self.merger = Merger(self.appender)
        self.dispatcher = Dispatcher(self.appender, self.merger.after)
        self.random = random.Random(seed)
        self.moves = KeyMoves({i: self.appender.tasks[i].job for i in self.appender.work}, self.random)
        self.order: list[int] = []
        self.current: Dispatched | None = None
        self.iterations, self.spent = 0, 0.0

    def run(self, budget: int, patience: int) -> Iterator[BuiltSchedule | None]:
        """Yield each record until `budget` is spent, or `patience` of it in a row without one. None before each
        move."""
        yield from self._late_jobs_first()
        costs = self.builder.costs
        weights = costs.late_weight, costs.short_weight
        records = _Records(costs)
        self._start_from(self._order_of(self.best), records)
        strict, last = False, 0.0
        while self.spent < min(budget, last + patience):
            yield None
            over = self.spent / budget
            if over >= STRICT_FROM and not strict:
                strict = True
                self._weigh(weights[0] * STRICT_LATE, weights[1] * STRICT_SHORT)
                self._start_from(records.order or self.order, records)
            found = self._moved(over, records)
            if found is None:
                continue
            self.current, self.order = found, found.order
            if records.take(found):
                last = self.spent
                built = self._built(found.state, found.order)
                if built is not None and built.aim < self.best.aim:
                    self.best = built
                    yield built
        self._weigh(*weights)

    def _start_from(self, order: list[int], records: _Records) -> None:
        self.order = order
        self.current = self.dispatcher.appended(order) or self.dispatcher.anew(order)
        if self.current is not None:
            records.take(self.current)

    def _weigh(self, late_weight: int, short_weight: int) -> None:
        """Set the cost of a minute late and of a minute of reserve."""
        self.builder.weigh(late_weight, short_weight)
        self.appender.price()
        self.best = self.builder.costs.repriced(self.best)

    def _moved(self, over: float, records: _Records) -> Dispatched | None:
        """Other keys for the same tasks, or another merge. over: the share of the budget that is spent."""
        chance, current = self.random, self.current
        self.iterations += 1
        limit = FOREVER
        if current is not None:
            heat = START_TEMPERATURE * END_TEMPERATURE**over * records.scale
            limit = current.cost + int(-heat * math.log(1 - chance.random()))
            if chance.random() >= MERGES_SHARE:
                keys, fills = self.moves.keys(self.order), chance.random() < FILLS_SHARE
                self.spent += MOVE_COST
                with self._spending(QUICK_LOOK_COST):
                    return self.dispatcher.again(current, keys, limit, fills)
        with self._spending(LOOK_COST):
            merged = self._merged(over, limit)
        if merged is None:
            return None
        with self._spending(QUICK_LOOK_COST):
            return self.dispatcher.appended(merged)

    @contextmanager
    def _spending(self, cost: float) -> Iterator[None]:
        """Count the looks for places."""
        looked = self.appender.looked
        yield
        self.spent += cost * (self.appender.looked - looked)

    def _late_jobs_first(self) -> Iterator[BuiltSchedule | None]:
        """Put each late job before all others, and keep that if it is better: whether a job still gets a helper's rare
        hours is decided by the first tasks."""
        tried: set[int] = set()
        while late := [job for job in self._late_jobs() if job not in tried]:
            tried.add(late[0])
            first = yield from self._soonest(late[0])
            placed = set(first.order)
            rest = [i for i in self.best.order if i not in placed]
            built = self.builder.build(rest, first, len(first.order))
            if built is not None and built.aim < self.best.aim:
                self.best = built
                yield built

    def _soonest(self, job: int) -> Steps[BuiltSchedule]:
        """The schedule of this job alone that delivers it soonest, of those tried."""
        tasks = [i for i in self.best.order if self.appender.tasks[i].job == job]
        found = []
        for _ in range(SHUFFLES):
            yield
            if (built := self.builder.build(tasks)) is not None:
                found.append(built)
            self.random.shuffle(tasks)
        return min(found, key=lambda built: built.cost)

    def _late_jobs(self) -> list[int]:
        """The late jobs of the best schedule, the latest by weight first."""
        deliveries, costs = self.best.marks[-1][1], self.builder.costs
        late = {job: costs.job_cost(job, deliveries[job])[1] for job in self.jobs}
        return sorted((job for job in late if late[job]), key=lambda job: -late[job])

    def _merged(self, over: float, limit: int) -> list[int] | None:
        """The order after some jobs are freed and merged with the others again."""
        chance, order = self.random, self.order
        free, keep, moved = list(self.jobs), 0, 1 + chance.randrange(3)
        if over >= ALL_FREE_SHARE:
            free = chance.sample(self.jobs, min(len(self.jobs), chance.choice(JOBS_FREED)))
            keep = 0 if chance.random() < WHOLE_ORDER_SHARE else chance.randrange(1 + len(order) // 2)
            moved = len(free)
        merge = self.merger.merge(order, keep, free)
        if merge is None:
            return None
        last = {self.appender.tasks[i].job: k for k, i in enumerate(order)}
        jobs = sorted(self.jobs, key=last.__getitem__)
        orders = [
            self._shifted(jobs, chance.sample(free, min(moved, len(free)))) for _ in range(ORDERS_DRAWN)
        ]
        if merge.aim_for(min(orders, key=merge.aim_for)) > limit:
            return None
        merged = merge.run(limit)
        return None if merged is None else merged[1]

    def _shifted(self, jobs: Sequence[int], moved: Sequence[int]) -> list[int]:
        chance, out = self.random, list(jobs)
        for job in moved:
            place = out.index(job)
            out.remove(job)
            far = chance.random() < ANYWHERE_SHARE
            out.insert(chance.randrange(len(jobs)) if far else max(0, place + chance.choice(SHIFTS)), job)
        return out

    # ------------------------------------------------------------ to and from what is built

    def _order_of(self, built: BuiltSchedule) -> list[int]:
        """The work in the order of its starts, each task after what it waits for."""
        starts = {i: m for i in self.appender.work if (m := built.moments[i]) is not None}
        out: dict[int, None] = {}
        for i in sorted(self.appender.work, key=lambda i: starts.get(i, (FOREVER,))):
            stack = [i]
            while stack:
                waiting = [j for j in self.appender.needs[stack[-1]] if j not in out]
                if waiting:
                    stack.append(waiting[0])
                else:
                    out[stack.pop()] = None
        work = set(self.appender.work)
        return [i for i in out if i in work]

    def _built(self, appended: Appended, order: Sequence[int]) -> BuiltSchedule | None:
        """The best of three builds: this order; the same with every task no earlier than appended; and that in order
        of start, which mostly needs no such limit to come out the same."""
        tasks = [*order, *(i for i in self.appender.tasks if self.appender.tasks[i].at_once)]
        free, held, again = self.builder.build(tasks), self.appender.built(appended, tasks), None
        if held is not None:
            starts = {i: m[0] for i in tasks if (m := held.moments[i]) is not None}
            again = self.builder.build(sorted(tasks, key=lambda i: starts.get(i, FOREVER)))
        return min(filter(None, (free, again, held)), key=lambda built: built.aim, default=None)
