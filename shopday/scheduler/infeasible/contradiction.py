"""Why hard windows cannot be met: a chain of lags and windows that contradict each other, proven.

Minimum and maximum lags contradict each other if they form a circle whose minutes have a positive sum (Bartusch,
Moehring and Radermacher 1988). If calendars take part, a circle is proven when the tasks push one another past the
end of all calendars. If two tasks cannot go on at once, or one of several moments may be the latest, each case is
followed, and every one must end in a circle.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, permutations

from shopday.scheduler.infeasible.constraint_network import (
    ConstraintNetwork,
    ConstraintSource,
    TimeConstraint,
    needed_times,
    positive_cycle,
    propagate,
)
from shopday.scheduler.model.phase_times import Moments, index
from shopday.scheduler.model.problem import END, START, Problem

HeldSpan = tuple[int, int, int]
"""(task, amount, milestone until which it is certainly in use)."""


@dataclass(frozen=True, slots=True)
class Chain:
    """Rules in a circle, each pushing the task that the next one starts from.

    If the proof needs the calendars, there may be no such circle; then the rules are in no order.

    gaps:   the least minutes from where the rule before arrives, through the task, to where this one arrives.
    excess: their sum, which is positive; None if the proof needs the calendars. Then gaps are from start to start,
            None where breaks can make them any length.
    """

    rules: tuple[TimeConstraint, ...]
    gaps: tuple[int | None, ...]
    excess: int | None


def contradiction(problem: Problem, task: int, left_out: Iterable[int] = ()) -> tuple[Chain, ...]:
    """Chains that prove that this task, and what its times depend on, cannot all be planned; empty without a proof.

    There is one chain for each way of making the choices that the rules leave open. left_out: tasks that have no
    place for other reasons.
    """
    network = ConstraintNetwork(problem, set(left_out))
    tasks = _tied(network, task)
    known = set(tasks)
    rules = [r for r in network.rules if r.task in known and (r.other is None or r.other in known)]
    return tuple(_Proof(network, tasks).refute(rules) or ())


def _tied(network: ConstraintNetwork, task: int) -> list[int]:
    """The tasks that push this one and are pushed by it."""
    ahead: dict[int | None, set[int | None]] = {}
    back: dict[int | None, set[int | None]] = {}
    choices = (rule for i in network.tasks for choice in network.choices_of(i) for rule in choice)
    for rule in (*network.rules, *choices):
        ahead.setdefault(rule.pusher, set()).add(rule.pushed)
        back.setdefault(rule.pushed, set()).add(rule.pusher)
    found = _reached(ahead, task) & _reached(back, task) & set(network.tasks)
    return sorted(i for i in found if i is not None)


def _reached(arcs: dict[int | None, set[int | None]], node: int | None) -> set[int | None]:
    seen, stack = {node}, [node]
    while stack:
        for other in arcs.get(stack.pop(), ()):
            if other not in seen:
                seen.add(other)
                stack.append(other)
    return seen


def _in_a_circle(rules: list[TimeConstraint]) -> list[TimeConstraint]:
    """The rules as a circle that uses each of them once (Hierholzer), or unchanged if there is none."""
    ways: dict[int | None, list[TimeConstraint]] = {}
    for rule in rules:
        ways.setdefault(rule.pusher, []).append(rule)
    stack: list[TimeConstraint] = [ways[rules[0].pusher].pop()]
    around: list[TimeConstraint] = []
    while stack:
        onward = ways.get(stack[-1].pushed)
        if onward:
            stack.append(onward.pop())
        else:
            around.append(stack.pop())
    around.reverse()
    closed = len(around) == len(rules) and all(
        a.pushed == b.pusher for a, b in zip(around, [*around[1:], around[0]], strict=True)
    )
    return around if closed else rules


class _Proof:
    def __init__(self, network: ConstraintNetwork, tasks: Sequence[int]) -> None:
        self.network, self.problem, self.tasks = network, network.problem, tasks
        self.choices = [*(c for i in tasks for c in self._open(i)), *self._airs()]
        self.holds = list(self._holds())

    def refute(self, rules: list[TimeConstraint]) -> list[Chain] | None:
        """A chain for every way of keeping these rules; None if some way may work."""
        circle = positive_cycle(self.network, self.tasks, rules)
        if circle is not None:
            gaps = tuple(gap for _, gap in circle)
            return [Chain(tuple(rule for rule, _ in circle), gaps, sum(gaps))]
        bounds = propagate(self.network, self.tasks, rules)
        if bounds.stuck is not None:
            return self._shut_out(bounds.stuck, rules)
        ways = next(self._broken(bounds.soonest), None) if bounds.known else None
        if ways is None:
            return None
        chains: list[Chain] = []
        for way in ways:
            found = self.refute([*rules, way])
            if found is None or not any(way in chain.rules for chain in found):
                return found
            chains += [chain for chain in found if chain not in chains]
        return chains

    def _shut_out(self, stuck: list[TimeConstraint], rules: list[TimeConstraint]) -> list[Chain] | None:
        """The fewest of the rules that contradict each other on these calendars."""
        few = stuck if self._stuck(stuck) else rules
        for rule in list(few):
            fewer = [r for r in few if r is not rule]
            if self._stuck(fewer):
                few = fewer
        if not any(rule.most for rule in few):
            return None
        few = _in_a_circle(few)
        return [Chain(tuple(few), tuple(self.network.gap(rule) for rule in few), None)]

    def _stuck(self, rules: list[TimeConstraint]) -> bool:
        return propagate(self.network, self.tasks, rules).stuck is not None

    # ------------------------------------------------------------ ways that are open

    def _open(self, i: int) -> Iterator[list[TimeConstraint]]:
        for choice in self.network.choices_of(i):
            known = [r for r in choice if r.other is None or r.other in self.tasks]
            if len(choice) > 1 and len(known) == len(choice):
                yield known

    def _broken(self, soonest: dict[int, Moments]) -> Iterator[list[TimeConstraint]]:
        """What the earliest moments break: for each violation, the ways to repair it."""
        for choice in self.choices:
            if all(needed_times(rule, soonest) for rule in choice):
                yield choice
        for resource, capacity, holds in self.holds:
            yield from self._too_many(resource, capacity, holds, soonest)

    def _airs(self) -> Iterator[list[TimeConstraint]]:
        """Dusty work must be over and settled before air must be still, or begin after that."""
        for i, j in permutations(self.tasks, 2):
            dusty = self.problem.tasks[i]
            if not dusty.dusty or dusty.starts_immediately or (self._given(i) and self._given(j)):
                continue
            least = (self.network.between(i, 0, 1) or 0) + self.problem.dust_minutes
            for begin, end in self._still(j) if self.problem.tasks[j].room == dusty.room else ():
                yield [
                    TimeConstraint(i, j, end, 0, False, ConstraintSource.APART),
                    TimeConstraint(i, j, begin, -least, True, ConstraintSource.APART),
                ]

    def _still(self, i: int) -> Iterator[tuple[int, int]]:
        """The milestones between which the air of a task must be still."""
        task = self.problem.tasks[i]
        if task.starts_immediately:
            return
        if task.needs_still_air and task.work:
            yield START, END
        begin = END
        for p, phase in enumerate(task.phases):
            if phase.needs_still_air and phase.takes and not phase.informational:
                yield begin, p
            begin = begin if phase.informational else p

    def _holds(self) -> Iterator[tuple[int, int, list[HeldSpan]]]:
        """For each resource: its index, its capacity, and what certainly holds it. People at work are separate from
        kept things."""
        for resource, capacity in enumerate(self.problem.capacities):
            people = [(i, 1, END) for i in self.tasks if self._busy(i, resource)]
            uses = [hold for i in self.tasks for hold in self._used(i, resource)]
            for most, holds in ((1, people), (capacity, uses)):
                if sum(amount for _, amount, _ in holds) > most:
                    yield resource, most, holds

    def _busy(self, i: int, person: int) -> bool:
        """True if the person works on the task whichever crew does it."""
        task = self.problem.tasks[i]
        if task.starts_immediately or task.fixed is not None or task.work == 0 or not task.crews:
            return False
        return all(person in crew.people for crew in task.crews)

    def _used(self, i: int, resource: int) -> Iterator[HeldSpan]:
        task = self.problem.tasks[i]
        amount = sum(n for r, n in task.uses if r == resource)
        if amount == 0 or task.starts_immediately or task.work == 0:
            return
        until = END
        for p, phase in enumerate(task.phases):
            if resource in phase.keeps and not phase.informational:
                until = p
            elif not phase.informational:
                break
        yield i, amount, until

    def _too_many(
        self, resource: int, capacity: int, holds: list[HeldSpan], soonest: dict[int, Moments]
    ) -> Iterator[list[TimeConstraint]]:
        """Tasks that would use more than there is at once: one of them must be over before another."""
        for at in sorted({soonest[i][0] for i, _, _ in holds}):
            using = [hold for hold in holds if soonest[hold[0]][0] <= at < soonest[hold[0]][index(hold[2])]]
            few = self._fewest(using, capacity)
            if few:
                yield [
                    TimeConstraint(after, before, until, 0, False, ConstraintSource.APART, resource)
                    for (before, _, until), (after, _, _) in permutations(few, 2)
                ]

    def _fewest(self, using: list[HeldSpan], capacity: int) -> Sequence[HeldSpan]:
        """Two tasks that are too many already, or else the largest ones. Begun tasks never conflict with each other."""
        largest = sorted(using, key=lambda hold: (self._given(hold[0]), -hold[1]))
        prefixes = (largest[:count] for count in range(3, len(largest) + 1))
        for few in (*combinations(using, 2), *prefixes):
            given = all(self._given(i) for i, _, _ in few)
            if not given and sum(amount for _, amount, _ in few) > capacity:
                return few
        return ()

    def _given(self, i: int) -> bool:
        task = self.problem.tasks[i]
        return task.fixed is not None or task.going
