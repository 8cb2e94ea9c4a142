"""The exact model of a `Problem` for OR-Tools CP-SAT: what the engine is measured against.

Minutes count from `Problem.now`. The end of a piece of work, a cure or an absence is its start plus a
gap that takes few different values (none, lunch, a night, a weekend): one literal a value, each with
the starts that have it. A kept resource may be held longer than it must, which never helps anybody.
What is over or under way is taken from a schedule, and what that refuses is left out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from ortools.sat.python import cp_model

from shopday.scheduler import (
    COMPLETE,
    END,
    START,
    Calendar,
    Lag,
    MinuteSpan,
    Problem,
    Schedule,
    Task,
    spans_overlap,
)

Gaps = dict[int, list[MinuteSpan]]
"""By what comes on top of the plain minutes: the starts (closed spans) for which it does."""


@dataclass
class Answer:
    """What the solver found. Bounds equal the totals where they are proven; None: nothing was found."""

    late: int | None
    finish: int | None
    late_bound: int
    finish_bound: int

    @property
    def proven(self) -> bool:
        return (self.late, self.finish) == (self.late_bound, self.finish_bound)


@dataclass
class Moments:
    """Variables (or constants) of one task."""

    start: Any
    end: Any
    complete: Any
    ends: list[Any] = field(default_factory=list)
    crews: list[Any] = field(default_factory=list)


def exact(problem: Problem, schedule: Schedule, seconds: float, horizon: int, workers: int = 1) -> Answer:
    """The best schedule that ends within `horizon` minutes from now, hinted with one that is known."""
    return _Model(problem, schedule, horizon).solve(seconds, workers)


def work_gaps(
    task: Task, calendar: Calendar, work: int, allowed: Calendar | None, first: int, last: int
) -> Gaps:
    """The gaps of work on a calendar, for every start from `first` to `last` at which it may begin."""
    need = max(1, task.stretch, work if task.unbroken else 0)
    spans: Iterable[MinuteSpan] = [(a, b - need + 1) for a, b in calendar.spans if b - a >= need]
    if allowed is not None:
        spans = spans_overlap(spans, allowed.spans)
    gaps: Gaps = defaultdict(list)
    for a, b in spans:
        start = max(a, first)
        while start < min(b, last + 1):
            end = calendar.finish(start, work)
            if end is None:
                return gaps
            reach = b if work == 0 else next(y for x, y in calendar.spans if x < end <= y) - end + start + 1
            gaps[end - start - work].append((start, min(reach, b, last + 1) - 1))
            start = reach
    return gaps


class _Model:
    def __init__(self, problem: Problem, schedule: Schedule, horizon: int) -> None:
        self.problem, self.schedule, self.horizon = problem, schedule, horizon
        self.model = cp_model.CpModel()
        self.now = problem.now
        self.people: dict[int, list[Any]] = defaultdict(list)
        self.uses: dict[int, list[tuple[Any, int]]] = defaultdict(list)
        self.given: dict[int, list[tuple[int, int, int]]] = defaultdict(list)
        self.needs_still_air: dict[int, list[tuple[Any, Any, bool]]] = defaultdict(list)
        self.dust: dict[int, list[tuple[Any, Any, bool]]] = defaultdict(list)
        self.clock_gaps: dict[tuple[int, int], Gaps] = {}
        self.missing: dict[int, Any] = {}
        self.late_windows: dict[int, list[Any]] = defaultdict(list)
        self.moments: dict[int, Moments] = {}
        for i, placed in enumerate(schedule.placed):
            if placed is not None:
                self.moments[i] = self._given(i) if self._is_given(i) else self._free(i)
        for i in self.moments:
            if not self._is_given(i):
                self._order(i)
            self._hold(i)
        self._together()

    def _is_given(self, i: int) -> bool:
        return self.problem.tasks[i].fixed is not None or self.problem.tasks[i].going

    def _variable(self, name: str, last: int | None = None) -> Any:
        return self.model.NewIntVar(0, self.horizon if last is None else last, name)

    # ------------------------------------------------------------ one task

    def _given(self, i: int) -> Moments:
        placed = self.schedule.placed[i]
        assert placed is not None
        start, end, complete = (m - self.now for m in (placed.start, placed.end, placed.complete))
        return Moments(start, end, complete, [e - self.now for e in placed.ends])

    def _free(self, i: int) -> Moments:
        task = self.problem.tasks[i]
        start, end = self._variable(f"start{i}"), self._variable(f"end{i}", 2 * self.horizon)
        it = Moments(start, end, end)
        if task.starts_immediately:
            self._absence(task, it)
        else:
            self._staff(i, task, it)
        cursor = end
        for p, phase in enumerate(task.phases):
            over = cursor + phase.takes
            if phase.clock is not None:
                over = self._variable(f"phase{i}.{p}", 2 * self.horizon)
                self._by_clock(phase.clock, phase.takes, cursor, over)
            it.ends.append(over)
            cursor = cursor if phase.informational else over
        it.complete = cursor
        return it

    def _absence(self, task: Task, it: Moments) -> None:
        over = it.start + task.length
        if task.clock is not None:
            over = self._variable("back", 2 * self.horizon)
            self._by_clock(task.clock, task.length, it.start, over)
        self.model.AddMaxEquality(it.end, [over, 0 if task.until is None else task.until - self.now])

    def _by_clock(self, clock: int, amount: int, start: Any, end: Any) -> None:
        key = clock, amount
        if key not in self.clock_gaps:
            gaps: Gaps = defaultdict(list)
            for t in range(self.now, self.now + 2 * self.horizon):
                gap = self.problem.clocks[clock].after(t, amount) - t
                spans = gaps[gap]
                if spans and spans[-1][1] == t - 1:
                    spans[-1] = (spans[-1][0], t)
                else:
                    spans.append((t, t))
            self.clock_gaps[key] = gaps
        chosen = [self._choose(start, end, gap, spans) for gap, spans in self.clock_gaps[key].items()]
        self.model.AddExactlyOne(chosen)

    def _choose(self, start: Any, end: Any, plus: int, spans: list[MinuteSpan]) -> Any:
        literal = self.model.NewBoolVar("")
        domain = cp_model.Domain.FromIntervals([[a - self.now, b - self.now] for a, b in spans])
        self.model.AddLinearExpressionInDomain(start, domain).OnlyEnforceIf(literal)
        self.model.Add(end == start + plus).OnlyEnforceIf(literal)
        return literal

    def _staff(self, i: int, task: Task, it: Moments) -> None:
        calendars, last = self.problem.calendars, self.now + self.horizon
        allowed = None if task.starts_in is None else calendars[task.starts_in]
        soft = task.adds is not None and bool(task.windows)
        if soft:
            self.missing[i] = self.model.NewBoolVar(f"missed{i}")
        every = []
        for crew in task.crews:
            chosen = []
            for missed in (False, True) if soft else (False,):
                work = task.work + (task.adds or 0) * missed
                gaps = work_gaps(task, calendars[crew.calendar], work, allowed, self.now, last)
                for gap, spans in gaps.items():
                    chosen.append(self._choose(it.start, it.end, work + gap, spans))
                    if soft:
                        was = self.missing[i]
                        self.model.AddImplication(chosen[-1], was if missed else ~was)
            it.crews.append(self.model.NewBoolVar(""))
            self.model.Add(sum(chosen) == it.crews[-1])
            every += chosen
        self.model.AddExactlyOne(every)

    # ------------------------------------------------------------ order and windows

    def _moment(self, lag: Lag) -> Any:
        of = self.moments[lag.task]
        named = {START: of.start, END: of.end, COMPLETE: of.complete}
        return (named[lag.milestone] if lag.milestone in named else of.ends[lag.milestone]) + lag.offset

    def _order(self, i: int) -> None:
        task, start = self.problem.tasks[i], self.moments[i].start
        known = [self._moment(lag) for lag in task.lags if lag.task in self.moments]
        soonest = max(0, task.release - self.now)
        if task.at is not None:
            self.model.Add(start == task.at - self.now)
        if task.starts_immediately and task.at is None:
            self.model.AddMaxEquality(start, [soonest, *known])
        else:
            self.model.Add(start >= soonest)
            for moment in known:
                self.model.Add(start >= moment)
        for window in task.windows:
            self._window(i, [self._moment(ref) for ref in window.refs], window.within)
        if i in self.missing and task.windows:
            self.model.AddBoolOr([*self.late_windows[i], ~self.missing[i]])

    def _window(self, i: int, refs: list[Any], within: int) -> None:
        start, latest = self.moments[i].start, refs[0]
        if len(refs) > 1:
            latest = self.model.NewIntVar(-10 * self.horizon, 4 * self.horizon, "")
            self.model.AddMaxEquality(latest, refs)
        if i not in self.missing:
            if self.problem.tasks[i].adds is None:
                self.model.Add(start <= latest + within)
            return
        late = self.model.NewBoolVar("")
        self.model.Add(start <= latest + within).OnlyEnforceIf(~late)
        self.model.Add(start > latest + within).OnlyEnforceIf(late)
        self.model.AddImplication(late, self.missing[i])
        self.late_windows[i].append(late)

    # ------------------------------------------------------------ what is in use

    def _hold(self, i: int) -> None:
        task, it, given = self.problem.tasks[i], self.moments[i], self._is_given(i)
        if task.starts_immediately:
            return
        if given:
            self._hold_given(i, task)
        else:
            self._hold_people(task, it)
            for resource, amount in task.uses:
                for a, b in self._pieces(task, it, resource):
                    size = self._variable("", 3 * self.horizon)
                    self.uses[resource].append((self.model.NewIntervalVar(a, size, b, ""), amount))
        if task.dusty:
            self.dust[task.room].append((it.start, it.end + self.problem.dust_minutes, given))
        spans = [(it.start, it.end)] if task.needs_still_air and (given or task.work) else []
        begin = it.end
        for phase, end in zip(task.phases, it.ends, strict=True):
            if phase.needs_still_air and not phase.informational and phase.takes:
                spans.append((begin, end))
            begin = begin if phase.informational else end
        self.needs_still_air[task.room] += [(a, b, given) for a, b in spans]

    def _hold_people(self, task: Task, it: Moments) -> None:
        for crew, literal in zip(task.crews, it.crews, strict=True):
            for person in crew.people:
                size = self._variable("", 3 * self.horizon)
                interval = self.model.NewOptionalIntervalVar(it.start, size, it.end, literal, "")
                self.people[person].append(interval)

    def _hold_given(self, i: int, task: Task) -> None:
        placed = self.schedule.placed[i]
        assert placed is not None
        if task.going:
            for person in task.crews[placed.crew].people:
                a, b = placed.start - self.now, placed.end - self.now
                self.people[person].append(self.model.NewFixedSizeIntervalVar(a, b - a, ""))
        for resource, amount in task.uses:
            spans = [(placed.start, placed.end)]
            begin = placed.end
            for phase, end, free in zip(task.phases, placed.ends, placed.frees, strict=True):
                if resource in phase.keeps and not phase.informational:
                    spans.append((begin, free))
                begin = begin if phase.informational else end
            edges = sorted({e for span in spans for e in span})
            self.given[resource] += [
                (a - self.now, b - self.now, amount)
                for a, b in pairwise(edges)
                if any(x <= a and b <= y for x, y in spans)
            ]

    def _pieces(self, task: Task, it: Moments, resource: int) -> list[tuple[Any, Any]]:
        """When a resource is in use, as spans that do not overlap: each ends where the next begins at the latest."""
        spans: list[tuple[Any, Any]] = []
        begin, over, keeping = it.start, it.end, True
        for phase, end in zip(task.phases, it.ends, strict=True):
            if phase.informational:
                continue
            keeps = resource in phase.keeps
            if keeping and not keeps:
                spans.append((begin, over if over is it.end else self._freed(over)))
            elif keeps and not keeping:
                begin = over
            over, keeping = end, keeps
        if keeping:
            spans.append((begin, over if over is it.end else self._freed(over)))
        return [*(self._cut(a, b, c) for (a, b), (c, _) in pairwise(spans)), spans[-1]]

    def _cut(self, start: Any, end: Any, begins_again: Any) -> tuple[Any, Any]:
        stop, last = self._variable("", 3 * self.horizon), self.model.NewBoolVar("")
        self.model.Add(stop <= begins_again)
        self.model.Add(stop >= end).OnlyEnforceIf(~last)
        self.model.Add(stop >= begins_again).OnlyEnforceIf(last)
        return start, stop

    def _freed(self, end: Any) -> Any:
        spans = self.problem.calendars[self.problem.release_calendar].spans
        top = 3 * self.horizon
        closed = [[max(0, a - self.now), min(top, b - 1 - self.now)] for a, b in spans]
        open_minutes = cp_model.Domain.FromIntervals([x for x in closed if x[0] <= x[1]])
        free = self.model.NewIntVarFromDomain(open_minutes, "")
        self.model.Add(free >= end)
        return free

    def _together(self) -> None:
        for intervals in self.people.values():
            self.model.AddNoOverlap(intervals)
        for resource, uses in self.uses.items():
            capacity = self.problem.capacities[resource]
            every = uses + self._levels(self.given[resource], capacity)
            self.model.AddCumulative([x for x, _ in every], [n for _, n in every], capacity)
        for room, needs_still_air in self.needs_still_air.items():
            for still in needs_still_air:
                for dust in self.dust[room]:
                    self._apart(still, dust)

    def _apart(self, still: tuple[Any, Any, bool], dust: tuple[Any, Any, bool]) -> None:
        if not (still[2] and dust[2]):
            before = self.model.NewBoolVar("")
            self.model.Add(still[1] <= dust[0]).OnlyEnforceIf(before)
            self.model.Add(dust[1] <= still[0]).OnlyEnforceIf(~before)

    def _levels(self, spans: list[tuple[int, int, int]], capacity: int) -> list[tuple[Any, int]]:
        """What is taken already, never more than there is."""
        edges = sorted({e for a, b, _ in spans for e in (a, b)})
        levels = [(a, b, sum(n for x, y, n in spans if x <= a and b <= y)) for a, b in pairwise(edges)]
        return [
            (self.model.NewFixedSizeIntervalVar(a, b - a, ""), min(n, capacity)) for a, b, n in levels if n
        ]

    # ------------------------------------------------------------ the aim

    def solve(self, seconds: float, workers: int) -> Answer:
        late, finish = self._totals()
        self._hint_all()
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = workers
        solver.parameters.max_time_in_seconds = seconds / 2
        self.model.Minimize(late)
        if not self._solved(solver):
            return Answer(None, None, round(solver.BestObjectiveBound()), 0)
        least, late_bound = round(solver.ObjectiveValue()), round(solver.BestObjectiveBound())
        self._hint(list(solver.ResponseProto().solution))
        self.model.Add(late <= least)
        self.model.Minimize(finish)
        solver.parameters.max_time_in_seconds = max(seconds / 2, seconds - solver.WallTime())
        if not self._solved(solver):
            return Answer(least, None, late_bound, 0)
        found = round(solver.ObjectiveValue())
        return Answer(least, found, late_bound, round(solver.BestObjectiveBound()))

    def _hint_all(self) -> None:
        """Hint every variable, from the starts known. Raises ValueError where the model does not allow them."""
        fixed = self.model.Clone()
        for i, it in self.moments.items():
            placed = self.schedule.placed[i]
            if not self._is_given(i) and placed is not None:
                fixed.Add(fixed.GetIntVarFromProtoIndex(it.start.Index()) == placed.start - self.now)
        solver = cp_model.CpSolver()
        if solver.StatusName(solver.Solve(fixed)) not in ("OPTIMAL", "FEASIBLE"):
            raise ValueError("the schedule breaks a rule of the exact model")
        self._hint(list(solver.ResponseProto().solution))

    def _hint(self, values: list[int]) -> None:
        self.model.ClearHints()  # type: ignore[no-untyped-call]
        for index, value in enumerate(values):
            self.model.AddHint(self.model.GetIntVarFromProtoIndex(index), value)

    def _solved(self, solver: cp_model.CpSolver) -> bool:
        return solver.StatusName(solver.Solve(self.model)) in ("OPTIMAL", "FEASIBLE")

    def _totals(self) -> tuple[Any, Any]:
        late, finish = [], []
        lost = {self.problem.tasks[i].job for i in self.schedule.unplaced}
        for k, job in enumerate(self.problem.jobs):
            of = [it.complete for i, it in self.moments.items() if self.problem.tasks[i].job == k]
            if k in lost or not of or not job.counts:
                continue
            delivery = self._variable(f"delivery{k}", 3 * self.horizon)
            self.model.AddMaxEquality(delivery, of)
            finish.append(job.weight * delivery)
            if job.due is not None:
                over = self._variable(f"late{k}", 3 * self.horizon)
                self.model.Add(over >= delivery - (job.due - self.now))
                late.append(job.weight * over)
        return sum(late), sum(finish)
