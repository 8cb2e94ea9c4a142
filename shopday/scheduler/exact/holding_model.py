"""People and things in use in the exact model: each person is a machine on an axis of their own, things are in plain
minutes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from ortools.sat.python import cp_model

from shopday.scheduler.exact.encoding import Encoding, Literal, Time
from shopday.scheduler.exact.scope import Scope
from shopday.scheduler.exact.task_times import TaskTimes
from shopday.scheduler.model.calendars import spans_overlap

Hold = tuple[Time, Time]


class HoldingModel:
    """Adds the intervals of people and things."""

    def __init__(self, encoding: Encoding, scope: Scope, times: dict[int, TaskTimes]) -> None:
        self.encoding, self.scope, self.times = encoding, scope, times
        self.model = encoding.model
        self.working = [i for i in scope.free if not scope.problem.tasks[i].starts_immediately]

    def _interval(self, start: Time, end: Time, chosen: Literal = 1) -> Any:
        if start.variable is end.variable:
            size: Any = end.plus - start.plus
        else:
            size = self.model.new_int_var(0, max(0, end.high - start.low), "")
        if isinstance(chosen, int):
            return self.model.new_interval_var(start.of, size, end.of, "")
        return self.model.new_optional_interval_var(start.of, size, end.of, chosen, "")

    # ------------------------------------------------------------ people

    def add_people(self) -> None:
        rows: dict[int, list[Any]] = defaultdict(list)
        for i in self.working:
            for shift in self.times[i].shifts:
                rows[shift.person].append(self._interval(shift.start, shift.end, shift.chosen))
        for person in rows.keys() - self._watched():
            intervals = [*rows[person], *self._under_way(person)]
            if len(intervals) > 1:
                self.model.add_no_overlap(intervals)

    def _watched(self) -> set[int]:
        """The people whose intervals are needed: not those who only ever work together with the same other person."""
        with_whom: dict[int, set[int]] = {}
        tasks = self.scope.problem.tasks
        for i in (*self.working, *(i for i in self.scope.given if tasks[i].going)):
            for crew in tasks[i].crews:
                for person in crew.people:
                    others = set(crew.people) - {person}
                    with_whom[person] = with_whom.get(person, others) & others
        out: set[int] = set()
        for person, others in with_whom.items():
            if others - out:
                out.add(person)
        return out

    def _under_way(self, person: int) -> Iterator[Any]:
        axis = self.scope.axis_of[person]
        for i in self.scope.given:
            task, placed = self.scope.problem.tasks[i], self.scope.schedule.placed[i]
            if task.going and placed is not None and person in task.crews[placed.crew].people:
                a, b = (axis.position(m - self.scope.now) for m in (placed.start, placed.end))
                yield self.model.new_fixed_size_interval_var(a, b - a, "")

    # ------------------------------------------------------------ things

    def add_things(self) -> None:
        users: dict[int, list[int]] = defaultdict(list)
        for i in self.working:
            for resource, amount in self.scope.problem.tasks[i].uses:
                if amount:
                    users[resource].append(i)
        for resource, tasks in users.items():
            given = self._levels(resource)
            if given or not self._follows_from_people(resource, tasks):
                self._add_thing(resource, tasks, given)

    def _amount(self, i: int, resource: int) -> int:
        return sum(n for r, n in self.scope.problem.tasks[i].uses if r == resource)

    def _follows_from_people(self, resource: int, tasks: list[int]) -> bool:
        """True if the resource needs no intervals: there is enough for all tasks at once, or nothing is kept and one
        person does all the tasks."""
        problem = self.scope.problem
        if sum(self._amount(i, resource) for i in tasks) <= problem.capacities[resource]:
            return True
        if any(resource in phase.keeps for i in tasks for phase in problem.tasks[i].phases):
            return False
        crews = [set(crew.people) for i in tasks for crew in problem.tasks[i].crews]
        return bool(crews[0].intersection(*crews))

    def _add_thing(self, resource: int, tasks: list[int], given: list[tuple[int, int, int]]) -> None:
        capacity = self.scope.problem.capacities[resource]
        rounded = not self._taken_when_open(tasks)
        holds = [
            (hold, self._amount(i, resource))
            for i in tasks
            for hold in self._holds(i, resource, rounded or self._is_split(i, resource))
        ]
        intervals = [self._interval(*hold) for hold, _ in holds]
        amounts = [n for _, n in holds]
        intervals += [self.model.new_fixed_size_interval_var(a, b - a, "") for a, b, _ in given]
        amounts += [n for _, _, n in given]
        one_by_one = 2 * min(amounts) > capacity and all(
            (start.variable is end.variable and end.plus > start.plus) or end.low > start.high
            for (start, end), _ in holds
        )
        if one_by_one:
            self.model.add_no_overlap(intervals)
        else:
            self.model.add_cumulative(intervals, amounts, capacity)

    def _taken_when_open(self, tasks: list[int]) -> bool:
        """True if the tasks can only start while kept things can be freed; the exact minute of freeing does not
        matter then."""
        problem = self.scope.problem
        release_calendar = problem.calendars[problem.release_calendar].spans
        calendars = {crew.calendar for i in tasks for crew in problem.tasks[i].crews}
        spans = (problem.calendars[c].spans for c in calendars)
        whole = all(spans_overlap(of, release_calendar) == of for of in spans)
        return whole and not any(self._is_split(i, r) for i in tasks for r, _ in problem.tasks[i].uses)

    def _is_split(self, i: int, resource: int) -> bool:
        """True if the resource is freed and then kept again by a later phase."""
        keeps = [resource in x.keeps for x in self.scope.problem.tasks[i].phases if not x.informational]
        return any(not a and b for a, b in pairwise([True, *keeps]))

    def _holds(self, i: int, resource: int, rounded: bool) -> list[Hold]:
        """When a task has a thing in use, as spans that do not overlap."""
        task, times = self.scope.problem.tasks[i], self.times[i]
        spans: list[Hold] = [(times.start, times.end)]
        begin, going_on = times.end, True
        for phase, end in zip(task.phases, times.ends, strict=True):
            if phase.informational:
                continue
            if resource in phase.keeps:
                freed = self._freed(end) if rounded else end
                spans[len(spans) - 1 if going_on else len(spans) :] = [
                    (spans[-1][0] if going_on else begin, freed)
                ]
            going_on, begin = resource in phase.keeps, end
        return [*(self._cut(hold, after[0]) for hold, after in pairwise(spans)), spans[-1]]

    def _cut(self, hold: Hold, begins_again: Time) -> Hold:
        """A hold that ends, at the latest, when the thing is kept again."""
        start, end = hold
        stop = self.encoding.time(start.low, end.high)
        over = self.encoding.literal()
        self.model.add(stop.of <= begins_again.of)
        self.model.add(stop.of >= end.of).only_enforce_if(over)
        self.model.add(stop.of == begins_again.of).only_enforce_if(~over)
        return start, stop

    def _freed(self, end: Time) -> Time:
        """A minute at which somebody is there to free it; nothing is gained by holding it longer."""
        problem = self.scope.problem
        spans = [
            [max(a - self.scope.now, end.low), b - 1 - self.scope.now]
            for a, b in problem.calendars[problem.release_calendar].spans
            if b - 1 - self.scope.now >= end.low
        ]
        top = next((max(a, end.high) for a, b in spans if b >= end.high), end.high)
        free = self.encoding.time(end.low, top)
        if spans:
            free_domain = cp_model.Domain.from_intervals([x for x in spans if x[0] <= top])
            self.model.add_linear_expression_in_domain(free.of, free_domain)
        self.model.add(free.of >= end.of)
        return free

    def _levels(self, resource: int) -> list[tuple[int, int, int]]:
        """What begun tasks have in use, at most the capacity: the rest of the model must not pay for their excess."""
        spans = [x for i in self.scope.given for x in self._given_holds(i, resource)]
        edges = sorted({edge for a, b, _ in spans for edge in (a, b)})
        capacity = self.scope.problem.capacities[resource]
        levels = ((a, b, sum(n for x, y, n in spans if x <= a and b <= y)) for a, b in pairwise(edges))
        return [(a, b, min(n, capacity)) for a, b, n in levels if n and b > 0]

    def _given_holds(self, i: int, resource: int) -> Iterator[tuple[int, int, int]]:
        task, placed, now = self.scope.problem.tasks[i], self.scope.schedule.placed[i], self.scope.now
        amount = self._amount(i, resource)
        if placed is None or task.starts_immediately or not amount:
            return
        spans = [(placed.start, placed.end)]
        begin = placed.end
        for phase, end, free in zip(task.phases, placed.ends, placed.frees, strict=True):
            if resource in phase.keeps and not phase.informational:
                spans.append((begin, free))
            begin = begin if phase.informational else end
        edges = sorted({edge for span in spans for edge in span})
        for a, b in pairwise(edges):
            if any(x <= a and b <= y for x, y in spans):
                yield a - now, b - now, amount
