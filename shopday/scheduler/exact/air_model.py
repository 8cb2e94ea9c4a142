"""Dust and still air in the exact model: in one room one comes before the other."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from shopday.scheduler.exact.encoding import Encoding, Literal, Time
from shopday.scheduler.exact.scope import Scope
from shopday.scheduler.exact.task_times import TaskTimes


@dataclass(frozen=True)
class StillBeforeDust:
    """A literal: task `still` needs its still air before the dusty work of `dusty` begins, and not after it."""

    still: int
    dusty: int
    literal: Literal
    ends: Time
    begins: Time


def add_air(encoding: Encoding, scope: Scope, times: dict[int, TaskTimes]) -> list[StillBeforeDust]:
    """Keep dust and still air apart; return the orders that are left to decide."""
    problem, given = scope.problem, set(scope.given)
    dusty: dict[int, list[int]] = defaultdict(list)
    for i in times:
        if problem.tasks[i].dusty and not problem.tasks[i].starts_immediately:
            dusty[problem.tasks[i].room].append(i)
    found = []
    for i in times:
        for a, b, unless in _still(scope, times, i):
            for j in dusty[problem.tasks[i].room]:
                if not (i in given and j in given):
                    settled = times[j].end.later(problem.dust_minutes)
                    if b.high > times[j].start.low and settled.high > a.low:
                        literal = _apart(encoding, (a, b), (times[j].start, settled), unless)
                        found.append(StillBeforeDust(i, j, literal, b, times[j].start))
    return found


def _apart(encoding: Encoding, still: tuple[Time, Time], dust: tuple[Time, Time], unless: Literal) -> Literal:
    before = encoding.literal()
    others = [] if unless is None else [unless]
    first = encoding.model.add(still[1].of <= dust[0].of)
    second = encoding.model.add(dust[1].of <= still[0].of)
    first.only_enforce_if([before, *others])
    second.only_enforce_if([~before, *others])
    return before


def _still(scope: Scope, times: dict[int, TaskTimes], i: int) -> list[tuple[Time, Time, Literal]]:
    """When a task needs still air, with the condition that there is such a time at all."""
    task, mine = scope.problem.tasks[i], times[i]
    if task.starts_immediately:
        return []
    out: list[tuple[Time, Time, Literal]] = []
    if task.needs_still_air and (task.work or task.fixed is not None):
        out.append((mine.start, mine.end, None))
    elif task.needs_still_air and task.adds and mine.missed is not None:
        out.append((mine.start, mine.end, mine.missed))
    begin = mine.end
    for phase, end in zip(task.phases, mine.ends, strict=True):
        if phase.needs_still_air and phase.takes and not phase.informational:
            out.append((begin, end, None))
        begin = begin if phase.informational else end
    return [(a, b, when) for a, b, when in out if b.high > a.low]
