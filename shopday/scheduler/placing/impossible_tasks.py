"""Finds tasks that no order can place, before any task is placed."""

from __future__ import annotations

from shopday.scheduler.model.problem import Problem
from shopday.scheduler.model.result import Cause, Refusal
from shopday.scheduler.placing.prepared_task import PreparedTask


def impossible(prepared: PreparedTask, problem: Problem) -> Refusal | None:
    """Why a task cannot be placed; None if it may be possible."""
    task = prepared.task
    for r, n, _ in prepared.uses:
        if n > problem.capacities[r]:
            return Refusal(Cause.CAPACITY, limit=r)
    if task.starts_immediately or task.going:
        return None
    if _own_dust(prepared, problem.dust_minutes):
        return Refusal(Cause.DUST)
    if not any(s.starts and s.starts[-1] > prepared.release for s in prepared.staff):
        return Refusal(_no_start(prepared))
    if task.at is not None and task.at < problem.now:
        return Refusal(Cause.APPOINTMENT, limit=task.at)
    return None


def _no_start(prepared: PreparedTask) -> Cause:
    """Why it cannot start: its work is longer than any stretch, or no crew ever comes."""
    opens = any(s.calendar.open_from(prepared.release) is not None for s in prepared.staff)
    if prepared.task.unbroken and opens:
        longest = max(b - a for s in prepared.staff for a, b in s.calendar.spans)
        if longest < prepared.task.work:
            return Cause.STRETCH
    return Cause.NOBODY


def _own_dust(prepared: PreparedTask, dust_minutes: int) -> bool:
    """True if its own dust would spoil the still air that it or one of its phases needs."""
    task = prepared.task
    longest = prepared.grown if prepared.soft and prepared.windows else prepared.work
    if not task.dusty or (task.needs_still_air and longest):
        return task.dusty and task.needs_still_air and longest > 0
    gap = 0
    for phase in prepared.phases:
        if phase.needs_still_air and phase.takes and gap < dust_minutes:
            return True
        gap += 0 if phase.informational else phase.takes
    return False
