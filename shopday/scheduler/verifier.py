"""Checks a finished schedule against its problem from first principles.

It shares no code with placement, so that a mistake there cannot hide here: spans are walked one by one, and uses are
added up change by change. It is slow and plain on purpose.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from shopday.scheduler.model.calendars import FOREVER, Calendar, MinuteSpan
from shopday.scheduler.model.problem import COMPLETE, END, START, Lag, Phase, Problem, Task
from shopday.scheduler.model.result import Placed, Result, Schedule

ResourceUse = tuple[int, int, int, int]
"""(from, to, amount, task)."""


def verify(problem: Problem, schedule: Schedule) -> list[str]:
    """Every rule of the problem that the schedule breaks, one line each; empty if it is right."""
    return list(_Check(problem, schedule).faults())


def verify_result(problem: Problem, result: Result) -> list[str]:
    """As `verify`; also checks that the totals are those of the schedule and not below their bounds."""
    faults = verify(problem, result.schedule)
    found = totals(problem, result.schedule)
    if result.totals != found:
        faults.append(f"totals are {result.totals}; they should be {found}")
    bounds = result.late_bound, result.short_bound, result.finish_bound
    if any(bound > total for bound, total in zip(bounds, found, strict=True)):
        faults.append(f"bounds {bounds} are over the totals {found}")
    deliveries = _deliveries(problem, result.schedule)
    for job, floor in enumerate(result.floors):
        if floor is not None and job in deliveries and deliveries[job] < floor:
            faults.append(f"job {job}: delivered at {deliveries[job]}, before its floor {floor}")
    return faults


def totals(problem: Problem, schedule: Schedule) -> tuple[int, int, int]:
    """Weighted minutes late, weighted minutes into reserves, and weighted minutes from now to delivery."""
    late = short = finish = 0
    for k, delivery in _deliveries(problem, schedule).items():
        job = problem.jobs[k]
        finish += job.weight * (delivery - problem.now)
        if job.due is not None:
            late += job.weight * max(0, delivery - job.due)
        if job.safe_by is not None:
            short += job.weight * max(0, delivery - job.safe_by)
    return late, short, finish


def _deliveries(problem: Problem, schedule: Schedule) -> dict[int, int]:
    """When each job that counts is complete; jobs with a refused task do not count."""
    out: dict[int, int] = {}
    refused = {problem.tasks[i].job for i, placed in enumerate(schedule.placed) if placed is None}
    for task, placed in zip(problem.tasks, schedule.placed, strict=True):
        if placed is not None and task.job not in refused and problem.jobs[task.job].counts:
            out[task.job] = max(out.get(task.job, placed.complete), placed.complete)
    return out


def _span_at(calendar: Calendar, minute: int) -> MinuteSpan | None:
    return next(((a, b) for a, b in calendar.spans if a <= minute < b), None)


def _opens(calendar: Calendar, minute: int) -> int:
    return next((max(a, minute) for a, b in calendar.spans if minute < b), FOREVER)


def _walk(calendar: Calendar, start: int, work: int) -> list[MinuteSpan] | None:
    """The pieces in which work from a start is done, or None if the calendar ends before that."""
    pieces: list[MinuteSpan] = []
    for a, b in calendar.spans:
        if work and start < b:
            begin = max(a, start)
            pieces.append((begin, min(b, begin + work)))
            work -= pieces[-1][1] - begin
    return None if work else pieces or [(start, start)]


class _Check:
    def __init__(self, problem: Problem, schedule: Schedule) -> None:
        self.problem, self.placed, self.unplaced = problem, schedule.placed, schedule.unplaced

    def faults(self) -> Iterator[str]:
        if len(self.placed) != len(self.problem.tasks):
            yield "not one place for every task"
            return
        for i, (task, placed) in enumerate(zip(self.problem.tasks, self.placed, strict=True)):
            if (placed is None) != (i in self.unplaced):
                yield f"task {i}: neither placed nor refused, or both"
            if placed is not None:
                yield from (f"task {i}: {fault}" for fault in self._one(task, placed))
        yield from self._people()
        yield from self._capacities()
        yield from self._dust()

    # ------------------------------------------------------------ each task by itself

    def _one(self, task: Task, placed: Placed) -> Iterator[str]:
        yield from self._phases(task, placed)
        if task.fixed is not None:
            if (placed.start, placed.end) != task.fixed:
                yield f"is over: {task.fixed}, not {(placed.start, placed.end)}"
            return
        if placed.start < max(self.problem.now, task.release):
            yield f"starts {placed.start}, before it may"
        if not task.going:
            yield from self._order(task, placed)
            yield from self._windows(task, placed)
        if task.starts_immediately:
            yield from self._eager(task, placed)
        else:
            yield from self._work(task, placed)

    def _moment(self, lag: Lag) -> int | None:
        """The minute that a lag names; None if its task has no place."""
        placed = self.placed[lag.task]
        if placed is None:
            return None
        named = {START: placed.start, END: placed.end, COMPLETE: placed.complete}
        moment = named[lag.milestone] if lag.milestone in named else placed.ends[lag.milestone]
        return moment + lag.offset

    def _order(self, task: Task, placed: Placed) -> Iterator[str]:
        for lag in task.lags:
            moment = self._moment(lag)
            if moment is None:
                yield f"waits for task {lag.task}, which has no place"
            elif placed.start < moment:
                yield f"starts {placed.start}, before task {lag.task} allows it at {moment}"
        if task.at is not None and placed.start != task.at:
            yield f"starts {placed.start}, not at its appointment {task.at}"

    def _windows(self, task: Task, placed: Placed) -> Iterator[str]:
        missed = False
        for window in task.windows:
            moments = [m for m in map(self._moment, window.refs) if m is not None]
            if moments and placed.start > max(moments) + window.within:
                missed = True
        if missed and task.adds is None:
            yield f"starts {placed.start}, outside a hard window"
        if placed.missed != (missed and task.adds is not None):
            yield f"missed is {placed.missed}"

    def _eager(self, task: Task, placed: Placed) -> Iterator[str]:
        moments = [m for m in map(self._moment, task.lags) if m is not None]
        soonest = max([self.problem.now, task.release, *moments])
        if task.at is None and placed.start != soonest:
            yield f"starts {placed.start}, could have started {soonest}"
        end = self._after(task.clock, placed.start, task.length)
        end = end if task.until is None else max(end, task.until)
        if placed.end != end:
            yield f"ends {placed.end}, should end {end}"

    def _work(self, task: Task, placed: Placed) -> Iterator[str]:
        if not 0 <= placed.crew < len(task.crews):
            yield f"has no crew {placed.crew}"
            return
        calendar = self.problem.calendars[task.crews[placed.crew].calendar]
        work = task.work + (task.adds or 0 if placed.missed else 0)
        span, pieces = _span_at(calendar, placed.start), _walk(calendar, placed.start, work)
        if span is None or pieces is None:
            yield f"starts {placed.start}, when its crew does not work"
            return
        if placed.end != pieces[-1][1]:
            yield f"ends {placed.end}, {work} minutes from {placed.start} end {pieces[-1][1]}"
        if task.going:
            return
        if task.unbroken and len(pieces) > 1:
            yield "is interrupted"
        if span[1] - placed.start < task.stretch:
            yield f"starts {placed.start}, too short before a break"
        if task.starts_in is not None:
            allowed = self.problem.calendars[task.starts_in]
            if _span_at(allowed, placed.start) is None:
                yield f"starts {placed.start}, when it may not start"

    def _after(self, clock: int | None, start: int, amount: int) -> int:
        return start + amount if clock is None else self.problem.clocks[clock].after(start, amount)

    def _phases(self, task: Task, placed: Placed) -> Iterator[str]:
        ends, frees, complete = [], [], placed.end
        for _, phase, begin in self._phase_begins(task, placed):
            ends.append(self._after(phase.clock, begin, phase.takes))
            frees.append(self._free(phase, ends[-1]))
            complete = complete if phase.informational else ends[-1]
        if placed.ends != tuple(ends) or placed.complete != complete:
            yield f"its phases end {ends}, it is complete {complete}; not {placed.ends}, {placed.complete}"
        if placed.frees != tuple(frees):
            yield f"its phases are free {frees}, not {placed.frees}"

    def _phase_begins(self, task: Task, placed: Placed) -> Iterator[tuple[int, Phase, int]]:
        begin = placed.end
        for p, phase in enumerate(task.phases):
            yield p, phase, begin
            if not phase.informational:
                begin = self._after(phase.clock, begin, phase.takes)

    def _free(self, phase: Phase, end: int) -> int:
        if phase.informational or not phase.keeps:
            return end
        return _opens(self.problem.calendars[self.problem.release_calendar], end)

    # ------------------------------------------------------------ all together

    def _given(self, i: int) -> bool:
        """True for begun tasks, which are taken as they are and never conflict with each other."""
        return self.problem.tasks[i].fixed is not None or self.problem.tasks[i].going

    def _people(self) -> Iterator[str]:
        """Nobody works on two things at once; a point in time conflicts only strictly inside other work."""
        busy: dict[int, list[tuple[int, int, int]]] = defaultdict(list)
        for i, (task, placed) in enumerate(zip(self.problem.tasks, self.placed, strict=True)):
            if (
                placed is not None
                and not task.starts_immediately
                and task.fixed is None
                and placed.crew < len(task.crews)
            ):
                for person in task.crews[placed.crew].people:
                    busy[person].append((placed.start, placed.end, i))
        for person, spans in busy.items():
            reach = -FOREVER
            for start, end, i in sorted(spans):
                if start < reach:
                    yield f"task {i}: resource {person} is at other work at {start}"
                reach = max(reach, end)

    def _holds(self, i: int, task: Task, placed: Placed) -> Iterator[tuple[int, ResourceUse]]:
        """What a task has in use: each span of a resource once, however many phases keep it."""
        for resource, amount in task.uses:
            spans = [(placed.start, placed.end)]
            for p, phase, begin in self._phase_begins(task, placed):
                if resource in phase.keeps and not phase.informational:
                    spans.append((begin, self._free(phase, placed.ends[p])))
            for a, b in _joined(spans):
                yield resource, (a, b, amount, i)

    def _capacities(self) -> Iterator[str]:
        holds: dict[int, list[ResourceUse]] = defaultdict(list)
        for i, (task, placed) in enumerate(zip(self.problem.tasks, self.placed, strict=True)):
            if placed is not None and not task.starts_immediately and len(placed.ends) == len(task.phases):
                for resource, hold in self._holds(i, task, placed):
                    holds[resource].append(hold)
        for resource, spans in holds.items():
            yield from self._too_many(resource, spans)

    def _too_many(self, resource: int, spans: list[ResourceUse]) -> Iterator[str]:
        for at in sorted({a for a, _, _, _ in spans}):
            holding = [(amount, i) for a, b, amount, i in spans if a <= at < b]
            used = sum(amount for amount, _ in holding)
            if used > self.problem.capacities[resource] and not all(self._given(i) for _, i in holding):
                who = ", ".join(str(i) for _, i in holding)
                yield f"resource {resource}: {used} in use at {at} by tasks {who}"

    def _dust(self) -> Iterator[str]:
        for i, (task, placed) in enumerate(zip(self.problem.tasks, self.placed, strict=True)):
            if placed is None or task.starts_immediately or len(placed.ends) != len(task.phases):
                continue
            for a, b in self._calm(task, placed):
                for j in self._dusty(task.room, a, b):
                    if not (self._given(i) and self._given(j)):
                        yield f"task {j}: its dust is in the still air of task {i} from {a} to {b}"

    def _calm(self, task: Task, placed: Placed) -> list[MinuteSpan]:
        spans = [(placed.start, placed.end)] if task.needs_still_air else []
        for p, phase, begin in self._phase_begins(task, placed):
            if phase.needs_still_air and not phase.informational:
                spans.append((begin, placed.ends[p]))
        return [(a, b) for a, b in spans if a < b]

    def _dusty(self, room: int, a: int, b: int) -> Iterator[int]:
        for j, (task, placed) in enumerate(zip(self.problem.tasks, self.placed, strict=True)):
            if placed is None or not task.dusty or task.starts_immediately or task.room != room:
                continue
            if placed.start < b and a < placed.end + self.problem.dust_minutes:
                yield j


def _joined(spans: list[MinuteSpan]) -> list[MinuteSpan]:
    """The spans without overlaps and without empty ones."""
    edges = sorted({edge for span in spans for edge in span})
    return [(a, b) for a, b in pairwise(edges) if any(x <= a and b <= y for x, y in spans)]
