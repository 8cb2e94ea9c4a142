"""Jobs that are over: still shown to people, but no longer part of the scheduler's problem.

A shop keeps its old jobs for years; what is planned every minute must not grow with them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from shopday.planning.encoding.passes import Pass
from shopday.scheduler import Calendar, Clock, Placed, Task, phase_times
from shopday.shop.step_graph import Predecessor


class Past(NamedTuple):
    """One pass that is over, as the scheduler would have been asked about it, and where it stood."""

    of: Pass
    task: Task
    placed: Placed


def finished_passes(task: Task, clocks: Sequence[Clock], release_calendar: Calendar) -> Placed:
    """Where a task stands whose work is over: its phases ran on from its end."""
    assert task.fixed is not None
    start, end = task.fixed
    _, ends, frees, complete = phase_times(task.phases, clocks, release_calendar, end)
    return Placed(start, end, complete, 0, tuple(ends), tuple(frees))


def over_by_job(
    passes: Sequence[Pass],
    before: Mapping[str, tuple[Predecessor, ...]],
    over: Callable[[Pass], bool],
    past: Callable[[Pass], Past | None],
) -> dict[str, list[Past]]:
    """The passes of each job of which nothing goes on and that nothing still to be done waits for.

    over: its work is logged as done. past: the pass where nothing of it goes on either, None otherwise.
    """
    passes = tuple(passes)
    found: dict[str, list[Past]] = defaultdict(list)
    alive = set[str]()
    for p in passes:
        if p.ref.job not in alive and (it := past(p)) is not None:
            found[p.ref.job].append(it)
        else:
            alive.add(p.ref.job)
    waits = (p for p in passes if p.ref.job in alive and not over(p))
    alive |= {b.address.split("/")[0] for p in waits for b in before[p.address]}
    return {job: each for job, each in found.items() if job not in alive}
