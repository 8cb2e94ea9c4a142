"""Jobs that are over: people still see them, but the scheduler no longer plans them.

A shop keeps its old jobs for years; planning must not get slower with them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from shopday.planning.encoding.passes import Pass
from shopday.scheduler import Calendar, Clock, Placed, Task, phase_times
from shopday.shop.step_graph import Predecessor


class Past(NamedTuple):
    """A pass that is over: the task it would have been, and when it took place."""

    of: Pass
    task: Task
    placed: Placed


def finished_passes(task: Task, clocks: Sequence[Clock], release_calendar: Calendar) -> Placed:
    """Place a task whose work is over; its phases run on from its end."""
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
    """The passes of each job that is wholly over and that no unfinished pass waits for.

    over: whether the work of a pass is logged as done. past: the pass if its waits are over too, else None.
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
