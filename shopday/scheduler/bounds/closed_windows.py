"""Windows that close at a known minute: they count from work over or under way, which is the same in every schedule."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from shopday.scheduler.model.calendars import FOREVER
from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.placing.builder import Builder


def last_starts(builder: Builder) -> list[int]:
    """By task: the last start that keeps its soft window, the same in every schedule; FOREVER if none is known."""
    certain = _certain(builder)
    return [
        builder.placer.windows.deadline(prepared, certain) if prepared.soft and prepared.windows else FOREVER
        for prepared in builder.compiled.prepared
    ]


def least_work(builder: Builder, tasks: Iterable[int]) -> dict[int, int]:
    """The least work of some unplaced tasks: with the extra work of a window that is missed already."""
    closes, prepared, start = last_starts(builder), builder.compiled.prepared, builder.start
    found = {}
    for i in tasks:
        given = ((start.moments[j], m, offset) for j, m, offset in prepared[i].lags)
        ready = max([prepared[i].release, *(moments[m] + offset for moments, m, offset in given if moments)])
        found[i] = prepared[i].grown if max(ready, prepared[i].task.at or 0) > closes[i] else prepared[i].work
    return found


def _certain(builder: Builder) -> list[Moments | None]:
    """The moments that are the same in every schedule: those of work that is over, and of work under way that has
    only one possible crew and waits for no other work under way."""
    prepared = builder.compiled.prepared
    going = [i for i, one in enumerate(prepared) if one.task.going and i not in builder.refused]
    at_work = Counter(person for i in going for staff in prepared[i].staff for person in staff.people)
    alone = {
        i
        for i in going
        if len(prepared[i].staff) == 1 and all(at_work[p] == 1 for p in prepared[i].staff[0].people)
    }
    return [
        moments if prepared[i].task.fixed is not None or i in alone else None
        for i, moments in enumerate(builder.start.moments)
    ]
