"""The temporal network of a problem: the constraints between start times, with all resources free.

Every rule is a lower bound on one start given another (Bartusch, Moehring and Radermacher 1988): a minimum lag
pushes the later task, a maximum lag the earlier one. Calendars and clocks give the earliest of each moment, so no
bound is above what a schedule can reach.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from itertools import permutations

from shopday.scheduler.model.calendars import FOREVER, Calendar
from shopday.scheduler.model.clocks import RatedClock
from shopday.scheduler.model.phase_times import Moments, index, soonest_ends
from shopday.scheduler.model.problem import START, Crew, Lag, Problem, Task
from shopday.scheduler.placing.task_preparer import start_hours

MOST_UPDATES = 30_000
"""How many times moments may be worked out before the network gives up: a quarter of a second."""


class ConstraintSource(Enum):
    """Where a rule comes from."""

    LAG = "it waits for the other"
    WINDOW = "its hard window"
    EAGER = "it starts the very minute it may"
    APPOINTMENT = "its appointment"
    RELEASE = "it may not start earlier"
    OVER = "it has happened"
    APART = "both want what only one can have, and here the other goes first"


@dataclass(frozen=True, slots=True)
class TimeConstraint:
    """`task` starts at least (`most`: at most) `minutes` after `milestone` of `other`; None is minute 0.

    resource: the one that two tasks kept APART both need (None: still air).
    """

    task: int
    other: int | None
    milestone: int
    minutes: int
    most: bool
    why: ConstraintSource
    resource: int | None = None

    @property
    def pusher(self) -> int | None:
        """The task whose time pushes the other's later."""
        return self.task if self.most else self.other

    @property
    def pushed(self) -> int | None:
        return self.other if self.most else self.task


class ConstraintNetwork:
    """The durations and rules of all tasks of a problem but those `left_out`."""

    def __init__(self, problem: Problem, left_out: Collection[int]) -> None:
        self.problem = problem
        self.tasks = [i for i in range(len(problem.tasks)) if i not in left_out]
        self._allowed: dict[int, list[tuple[Calendar, Calendar]]] = {}
        self._known = set(self.tasks)
        self.left = MOST_UPDATES

    @cached_property
    def rules(self) -> list[TimeConstraint]:
        """Every rule that holds without a choice."""
        return [r for i in self.tasks for r in self._rules_of(i) if r.other is None or r.other in self._known]

    def _rules_of(self, i: int) -> Iterable[TimeConstraint]:
        task = self.problem.tasks[i]
        if task.fixed is not None:
            yield TimeConstraint(i, None, START, task.fixed[0], False, ConstraintSource.OVER)
            yield TimeConstraint(i, None, START, task.fixed[0], True, ConstraintSource.OVER)
            return
        yield TimeConstraint(
            i, None, START, max(self.problem.now, task.release), False, ConstraintSource.RELEASE
        )
        if task.going:
            return
        for lag in task.lags:
            yield TimeConstraint(i, lag.task, lag.milestone, lag.offset, False, ConstraintSource.LAG)
        if task.at is not None:
            yield TimeConstraint(i, None, START, task.at, False, ConstraintSource.APPOINTMENT)
            yield TimeConstraint(i, None, START, task.at, True, ConstraintSource.APPOINTMENT)
        for choice in self.choices_of(i):
            if len(choice) == 1:
                yield choice[0]

    def choices_of(self, i: int) -> Iterable[list[TimeConstraint]]:
        """Rules of which one must hold: windows after the latest of several moments, and starts that may not wait."""
        task = self.problem.tasks[i]
        if task.fixed is not None or task.going:
            return
        if task.starts_immediately and task.at is None:
            now = max(self.problem.now, task.release)
            rules = [
                TimeConstraint(i, lag.task, lag.milestone, lag.offset, True, ConstraintSource.EAGER)
                for lag in task.lags
            ]
            yield [*rules, TimeConstraint(i, None, START, now, True, ConstraintSource.EAGER)]
        if task.adds is None:
            for window in task.windows:
                refs = [ref for ref in window.refs if ref.task in self._known]
                if refs:
                    yield [self._window(i, ref, window.within) for ref in refs]

    def _window(self, i: int, ref: Lag, within: int) -> TimeConstraint:
        return TimeConstraint(i, ref.task, ref.milestone, ref.offset + within, True, ConstraintSource.WINDOW)

    # ------------------------------------------------------------ how long

    def between(self, i: int, begin: int, end: int) -> int | None:
        """The least minutes from one moment of a task to another; None if breaks can make it any length."""
        first, second = self._pieces(i, begin), self._pieces(i, end)
        back = [high for piece, (_, high) in first.items() if piece not in second]
        if None in back:
            return None
        ahead = sum(low for piece, (low, _) in second.items() if piece not in first)
        return ahead - sum(high for high in back if high is not None)

    def _pieces(self, i: int, m: int) -> dict[int, tuple[int, int | None]]:
        """The least and most minutes of the work (-1) and of each phase between the start and a moment."""
        task = self.problem.tasks[i]
        if m == 0:
            return {}
        pieces = {-1: self._attended(task)}
        last = len(task.phases) if m == 2 else max(0, m - 2)
        for p, phase in enumerate(task.phases[:last]):
            if not phase.informational or (m != 2 and p == last - 1):
                pieces[p] = self._unattended(phase.takes, phase.clock)
        return pieces

    def _attended(self, task: Task) -> tuple[int, int | None]:
        if task.fixed is not None:
            took = task.fixed[1] - task.fixed[0]
            return took, took
        if task.starts_immediately:
            low, high = self._unattended(task.length, task.clock)
            return low, high if task.until is None else None
        spans = [self.problem.calendars[crew.calendar].spans for crew in task.crews]
        always = all(len(s) == 1 and s[0][0] <= -FOREVER and s[0][1] >= FOREVER for s in spans)
        soft = task.adds is not None and task.windows
        whole = task.unbroken or always or task.work == 0
        return task.work, task.work if whole and not soft and not task.going else None

    def _unattended(self, amount: int, clock: int | None) -> tuple[int, int | None]:
        if clock is None:
            return amount, amount
        runs = self.problem.clocks[clock]
        if not isinstance(runs, RatedClock):
            return 0, None
        # One minute either way for the rounding of fractions.
        return max(0, math.floor(amount / max(runs.rates)) - 1), math.ceil(amount / min(runs.rates)) + 1

    def gap(self, rule: TimeConstraint) -> int | None:
        """The rule as a lag between the starts of its pusher and its pushed task (minute 0 starts at 0); None if
        there is no such lag."""
        if rule.other is None:
            return -rule.minutes if rule.most else rule.minutes
        m = index(rule.milestone)
        inside = self.between(rule.other, m, 0) if rule.most else self.between(rule.other, 0, m)
        return None if inside is None else inside + (-rule.minutes if rule.most else rule.minutes)

    # ------------------------------------------------------------ on the calendar

    def soonest(self, i: int, start: int) -> Moments | None:
        """The earliest of each moment if the task starts at this minute or later; None if it never can."""
        self.left -= 1
        task = self.problem.tasks[i]
        if task.fixed is not None:
            start = max(start, task.fixed[0])
            end = start + task.fixed[1] - task.fixed[0]
        elif task.starts_immediately:
            clock, length = task.clock, task.length
            over = start + length if clock is None else self.problem.clocks[clock].soonest(start, length)
            end = over if task.until is None else max(over, task.until)
        else:
            fits = [(s, e) for s, e in self._fits(i, start) if s is not None and e is not None]
            if not fits:
                return None
            start, end = min(s for s, _ in fits), min(e for _, e in fits)
        ends, complete = soonest_ends(task.phases, self.problem.clocks, end)
        return start, end, complete, *ends

    def _fits(self, i: int, minute: int) -> Iterable[tuple[int | None, int | None]]:
        """By crew: the first start, and the end of the work from there."""
        task = self.problem.tasks[i]
        if i not in self._allowed:
            self._allowed[i] = [self._starts(task, crew) for crew in task.crews]
        for starts, calendar in self._allowed[i]:
            start = starts.open_from(minute)
            yield start, None if start is None else calendar.finish(start, task.work)

    def _starts(self, task: Task, crew: Crew) -> tuple[Calendar, Calendar]:
        """The minutes at which the task may start with a crew, and the calendar of the crew."""
        calendar = self.problem.calendars[crew.calendar]
        return calendar if task.going else start_hours(self.problem, task, crew), calendar

    def start_for(self, i: int, start: int, m: int, bound: int) -> int | None:
        """The first start not before `start` whose moment `m` is not before `bound`."""
        low, high = start, max(start, bound)
        while low < high:
            middle = (low + high) // 2
            found = self.soonest(i, middle)
            if found is None or found[m] >= bound:
                high = middle
            else:
                low = middle + 1
        found = self.soonest(i, low)
        return None if found is None else found[0]


# ------------------------------------------------------------ bounds that follow from rules


Node = tuple[int | None, int]
"""(task, index of one of its moments); (None, 0) is minute 0."""


def positive_cycle(
    network: ConstraintNetwork, tasks: Sequence[int], rules: Iterable[TimeConstraint]
) -> list[tuple[TimeConstraint, int]] | None:
    """Rules that push each other in a circle forever by their minutes alone, whatever the calendars (Bellman and
    Ford).

    Each comes with its minutes, including those within the task it starts from; their sum is positive.
    """
    arcs: list[tuple[Node, Node, int, TimeConstraint | None]] = []
    named: dict[int | None, set[int]] = {i: {0} for i in tasks}
    for rule in rules:
        there: Node = (rule.other, index(rule.milestone))
        here: Node = (rule.task, 0)
        named.setdefault(rule.other, set()).add(there[1])
        arcs.append((here, there, -rule.minutes, rule) if rule.most else (there, here, rule.minutes, rule))
    for i in tasks:
        for m, n in permutations(sorted(named[i]), 2):
            inside = network.between(i, m, n)
            if inside is not None:
                arcs.append(((i, m), (i, n), inside, None))
    bound = {node: network.problem.now for arc in arcs for node in arc[:2]} | {(None, 0): 0}
    cause: dict[Node, tuple[Node, int, TimeConstraint | None]] = {}
    last: Node = (None, 0)
    for _ in range(len(bound) + 1):
        moved = False
        network.left -= 1 + len(arcs) // 20
        for a, b, minutes, why in arcs:
            if bound[a] + minutes > bound[b]:
                bound[b], cause[b] = bound[a] + minutes, (a, minutes, why)
                moved, last = True, b
        if not moved:
            return None
    return _added_up(cause, last)


def _added_up(
    cause: dict[Node, tuple[Node, int, TimeConstraint | None]], node: Node
) -> list[tuple[TimeConstraint, int]]:
    """The circle reached by following causes back from a node. Minutes within a task are added to the rule that
    leaves it."""
    path: list[Node] = []
    while node not in path:
        path.append(node)
        node = cause[node][0]
    steps = [cause[n] for n in reversed(path[path.index(node) :])]
    begin = next(k for k, (_, _, rule) in enumerate(steps) if rule is not None) + 1
    out, inside = [], 0
    for _, minutes, rule in (*steps[begin:], *steps[:begin]):
        inside += minutes
        if rule is not None:
            out.append((rule, inside))
            inside = 0
    return out


def _circle(cause: dict[int | None, TimeConstraint], node: int | None) -> list[TimeConstraint] | None:
    """The circle reached by following causes back from a node; each rule pushes what the next one starts from."""
    path: list[int | None] = []
    while node not in path:
        if node not in cause:
            return None
        path.append(node)
        node = cause[node].pusher
    return [cause[n] for n in reversed(path[path.index(node) :])]


@dataclass(slots=True)
class TimeBounds:
    """The earliest moments under some rules.

    stuck: the rules that leave none, as a circle if they form one.
    known: False if it took too long to tell.
    """

    soonest: dict[int, Moments]
    stuck: list[TimeConstraint] | None = None
    known: bool = True


def propagate(
    network: ConstraintNetwork, tasks: Sequence[int], rules: Sequence[TimeConstraint]
) -> TimeBounds:
    """Raise starts as rules and calendars require, until nothing moves or something is pushed out of all calendars."""
    out = TimeBounds({})
    cause: dict[int | None, TimeConstraint] = {}
    pushes: dict[int | None, list[TimeConstraint]] = {}
    for rule in rules:
        pushes.setdefault(rule.pusher, []).append(rule)
    for i in tasks:
        fixed = network.problem.tasks[i].fixed
        found = network.soonest(i, network.problem.now if fixed is None else fixed[0])
        if found is None:
            return TimeBounds({}, known=False)
        out.soonest[i] = found
    queue: list[int | None] = [None, *tasks]
    while queue:
        node = queue.pop(0)
        for rule in pushes.get(node, ()):
            if not needed_times(rule, out.soonest):
                continue
            if network.left < 0:
                return TimeBounds({}, known=False)
            pushed = rule.pushed
            cause[pushed] = rule
            moments = None if pushed is None else _pushed(network, rule, pushed, out.soonest)
            if pushed is None or moments is None:
                return TimeBounds(out.soonest, _circle(cause, pushed) or list(rules))
            out.soonest[pushed] = moments
            if pushed not in queue:
                queue.append(pushed)
    return out


def _wanted(rule: TimeConstraint, soonest: dict[int, Moments]) -> int:
    """The minute before which the pushed moment may not be."""
    if rule.most:
        return soonest[rule.task][0] - rule.minutes
    return rule.minutes + (0 if rule.other is None else soonest[rule.other][index(rule.milestone)])


def needed_times(rule: TimeConstraint, soonest: dict[int, Moments]) -> bool:
    """True if the bounds so far break the rule."""
    wanted = _wanted(rule, soonest)
    if rule.most:
        return wanted > (0 if rule.other is None else soonest[rule.other][index(rule.milestone)])
    return wanted > soonest[rule.task][0]


def _pushed(
    network: ConstraintNetwork, rule: TimeConstraint, i: int, soonest: dict[int, Moments]
) -> Moments | None:
    wanted = _wanted(rule, soonest)
    if rule.most:
        start = network.start_for(i, soonest[i][0], index(rule.milestone), wanted)
        return None if start is None else network.soonest(i, start)
    return network.soonest(i, wanted)
