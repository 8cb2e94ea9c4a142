"""Moments of a placed task: (start, end, complete, end of each phase), and how its phases follow its end."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol

from shopday.scheduler.model.calendars import FOREVER, Calendar
from shopday.scheduler.model.clocks import Clock
from shopday.scheduler.model.problem import COMPLETE, END, START

Moments = tuple[int, ...]
"""(start, end, complete, end of each phase)."""

FIRST_PHASE = 3
"""The index of the first phase's end among the moments."""

_INDEX = {START: 0, END: 1, COMPLETE: 2}


def index(milestone: int) -> int:
    """The index of a milestone among the moments."""
    return _INDEX.get(milestone, milestone + FIRST_PHASE)


class PhaseTiming(Protocol):
    """The fields of a phase that matter here (see `problem.Phase`)."""

    @property
    def takes(self) -> int: ...
    @property
    def clock(self) -> int | None: ...
    @property
    def keeps(self) -> tuple[int, ...]: ...
    @property
    def informational(self) -> bool: ...


def phase_times(
    phases: Iterable[PhaseTiming], clocks: Sequence[Clock], release_calendar: Calendar, end: int
) -> tuple[list[int], list[int], list[int], int]:
    """Begin, end and release of every phase after work that ends at `end`, and the completion."""
    begins, ends, frees = [], [], []
    cursor = end
    for phase in phases:
        over = cursor + phase.takes if phase.clock is None else clocks[phase.clock].after(cursor, phase.takes)
        free = over
        if phase.keeps:
            opens = release_calendar.open_from(over)
            free = FOREVER if opens is None else opens
        begins.append(cursor)
        ends.append(over)
        frees.append(free)
        if not phase.informational:
            cursor = over
    return begins, ends, frees, cursor


def soonest_ends(phases: Iterable[PhaseTiming], clocks: Sequence[Clock], end: int) -> tuple[list[int], int]:
    """The earliest end of every phase, and the earliest completion, for work that ends at `end` or later."""
    ends, cursor = [], end
    for phase in phases:
        clock = phase.clock
        ends.append(cursor + phase.takes if clock is None else clocks[clock].soonest(cursor, phase.takes))
        cursor = cursor if phase.informational else ends[-1]
    return ends, cursor
