"""Among schedules with equal totals, prefers those that start long waits early and let people change jobs seldom.

A long wait is a day or more of phases, or of a task that starts immediately after. Deliveries may be a little later
for it; promises and reserves may not be worse.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from itertools import pairwise

from shopday.scheduler.model.clocks import DAY
from shopday.scheduler.model.heartbeats import Steps
from shopday.scheduler.model.problem import Problem
from shopday.scheduler.model.result import Result
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.built_schedule import BuiltSchedule
from shopday.scheduler.placing.movable_tasks import MovableTasks
from shopday.scheduler.placing.prepared_problem import PreparedProblem
from shopday.scheduler.search.repair import held, kept_of

ALLOWED = 0.005
"""How much later deliveries may be in all, as a share of the finish total."""

CHANGE_COST = 180
"""The cost of a person's change of jobs within a day, in minutes of a later start of a long wait."""

NIGHT_MINUTES = 300
"""A person who is away for this many minutes comes back on another day."""

POLISH_BUDGET = 30_000
"""What may be spent on polishing (see `Builder.spent`)."""


def polished(problem: Problem, result: Result, share: float = 1.0) -> Steps[Result]:
    """The result, or one with totals as good that starts long waits earlier and changes jobs less.

    share: of what may be spent. If no job has a reserve, no delivery is later at all.
    """
    builder = Builder(PreparedProblem(problem).refusing(result.schedule.unplaced))
    start = yield from held(builder, kept_of(problem, result))
    allowed = ALLOWED if any(job.safe_by is not None for job in problem.jobs) else 0
    polisher = _Polisher(builder, start, result.finish + int(allowed * result.finish))
    built = yield from polisher.run(int(share * POLISH_BUDGET))
    if built is start:
        return result
    late, short, finish = builder.costs.totals(built)
    order = tuple(built.order)
    return result._replace(
        schedule=builder.schedule(built), late=late, short=short, finish=finish, order=order
    )


class _Polisher:
    def __init__(self, builder: Builder, start: BuiltSchedule, most: int) -> None:
        """most: the largest finish total allowed."""
        self.builder, self.best, self.most = builder, start, most
        self.compiled = builder.compiled
        self.late, self.short, self.finish = builder.costs.totals(start)
        self.tasks = MovableTasks(builder).movable
        self.starters = [
            i for i in self.tasks if self.compiled.prepared[i].staff and self._starts_a_long_time(i)
        ]
        self._mornings_of: dict[int, list[int]] = {}
        self.cost = self._cost(start)

    def _starts_a_long_time(self, i: int) -> bool:
        if sum(phase.takes for phase in self.compiled.prepared[i].phases if not phase.informational) >= DAY:
            return True
        after = (self.compiled.prepared[s].task for s in self.compiled.successors[i])
        return any(
            task.starts_immediately and (task.clock is not None or task.length >= DAY) for task in after
        )

    # ------------------------------------------------------------ how good it is

    def _cost(self, built: BuiltSchedule) -> int:
        now = self.builder.problem.now
        starts = (m[0] - now for i in self.starters if (m := built.moments[i]) is not None)
        return sum(starts) + CHANGE_COST * sum(1 for _ in self._changes(built))

    def _changes(self, built: BuiltSchedule) -> Iterator[tuple[int, int]]:
        """Pairs of consecutive tasks of a person on a day that belong to two jobs."""
        for row in self._days(built):
            yield from ((a, b) for a, b in pairwise(row) if self._job(a) != self._job(b))

    def _days(self, built: BuiltSchedule) -> list[list[int]]:
        """The tasks of each person on each day in the order of their starts; nights separate the days."""
        rows: dict[tuple[int, int], list[int]] = {}
        placed = [(m[0], i) for i in self.tasks if (m := built.moments[i]) is not None]
        for start, i in sorted(placed):
            prepared = self.compiled.prepared[i]
            for person in prepared.staff[built.crew(i)].people if prepared.staff else ():
                rows.setdefault((person, bisect_right(self._mornings(person), start)), []).append(i)
        return list(rows.values())

    def _mornings(self, person: int) -> list[int]:
        if person not in self._mornings_of:
            present = self.compiled.present[person]
            nights = zip(present.ends, present.starts[1:], strict=False)
            self._mornings_of[person] = [b for a, b in nights if b - a >= NIGHT_MINUTES]
        return self._mornings_of[person]

    def _job(self, i: int) -> int:
        return self.compiled.prepared[i].task.job

    # ------------------------------------------------------------ moves

    def run(self, work: int) -> Steps[BuiltSchedule]:
        """Try every move until none improves the schedule, or the work is spent."""
        last = self.builder.spent + work
        moved = True
        while moved:
            moved = False
            for order in self._orders():
                yield
                if self.builder.spent > last:
                    return self.best
                if self._take(order):
                    moved = True
                    break
        return self.best

    def _orders(self) -> Iterator[list[int]]:
        order = self._by_start()
        yield order
        place = {i: k for k, i in enumerate(order)}
        for i in sorted(self.starters, key=place.__getitem__):
            ahead = self._before(i)
            rest = [j for j in order if j not in ahead]
            for part in (0.0, 0.25, 0.5, 0.75):
                cut = int(part * sum(place[j] < place[i] for j in rest))
                yield [*rest[:cut], *sorted(ahead, key=place.__getitem__), *rest[cut:]]
        for row in self._days(self.best):
            yield from self._joined(order, place, row)

    def _joined(self, order: list[int], place: dict[int, int], row: list[int]) -> Iterator[list[int]]:
        """Bring the work of one job on a day together, forward or back."""
        for k, (a, b) in enumerate(pairwise(row)):
            if self._job(a) == self._job(b):
                continue
            again = next((c for c in row[k + 2 :] if self._job(c) == self._job(a)), None)
            if again is not None:
                yield _moved(order, again, place[b])
                between = [
                    x for x in row[k + 1 :] if place[x] < place[again] and self._job(x) != self._job(a)
                ]
                yield [
                    *(x for x in order[: place[again] + 1] if x not in between),
                    *between,
                    *order[place[again] + 1 :],
                ]

    def _before(self, i: int) -> set[int]:
        """A task, and all unplaced tasks that it waits for."""
        found, stack = {i}, [i]
        while stack:
            for j in self.compiled.needs[stack.pop()]:
                if j not in found and self.builder.start.moments[j] is None:
                    found.add(j)
                    stack.append(j)
        return found

    def _by_start(self) -> list[int]:
        place = {i: k for k, i in enumerate(self.best.order)}
        return sorted(self.best.order, key=lambda i: ((self.best.moments[i] or (0,))[0], place[i]))

    def _take(self, order: list[int]) -> bool:
        """Build the order, and keep its schedule if it is better; True if it was."""
        built = self.builder.build(order)
        if built is None or len(built.refused) > len(self.best.refused):
            return False
        late, short, finish = self.builder.costs.totals(built)
        if late > self.late or short > self.short or finish > self.most:
            return False
        cost = self._cost(built)
        if (late, short, cost, finish) >= (self.late, self.short, self.cost, self.finish):
            return False
        self.best, self.late, self.short, self.cost, self.finish = built, late, short, cost, finish
        return True


def _moved(order: list[int], task: int, place: int) -> list[int]:
    """The order with one task moved forward to a place."""
    return [*order[:place], task, *(i for i in order[place:] if i != task)]
