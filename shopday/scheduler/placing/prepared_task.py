"""PreparedTask: a task made ready for placing, in flat tuples."""

from __future__ import annotations

from typing import NamedTuple

from shopday.scheduler.model.calendars import Calendar
from shopday.scheduler.model.phase_times import index
from shopday.scheduler.model.problem import Lag, Task

Ref = tuple[int, int, int]
"""(task, index into its moments, offset)."""


def ref(lag: Lag) -> Ref:
    """A lag with its milestone as an index into the moments."""
    return lag.task, index(lag.milestone), lag.offset


class Staffing(NamedTuple):
    """One crew of a task: who, the calendar, and the minutes at which it may start.

    `starts` is a flat ascending list of spans of allowed starts; `grown_starts` the same when a window
    was missed and the work is longer.
    """

    people: tuple[int, ...]
    calendar: Calendar
    starts: list[int]
    grown_starts: list[int]


class PreparedPhase(NamedTuple):
    """A phase as it is placed: one that is aside wants no still air."""

    takes: int
    clock: int | None
    keeps: tuple[int, ...]
    needs_still_air: bool
    informational: bool


class PhaseOffsets(NamedTuple):
    """Phases in plain minutes, told by the minutes from the end of the work.

    ends:  of each phase.
    over:  the completion.
    keeps: (resource, amount, how long it is kept), in use without a break since the work began.
    still: (phase, from, to) of those that want clean air.
    """

    ends: tuple[int, ...]
    over: int
    keeps: tuple[tuple[int, int, int], ...]
    still: tuple[tuple[int, int, int], ...]


class PreparedTask(NamedTuple):
    """A task, compiled.

    uses:    (resource, amount, phases that keep it).
    exclusive:    resources of capacity 1 among them.
    counted: (resource, amount, level that leaves room for it) of the others.
    avoids:  the profile of the air that must be free from start to end (None: any air will do), and
             `dust_lasts`, the minutes after the end for which it must be free too.
    fills:   the profile of the air that is taken meanwhile.
    course:  how the phases run on, where those are plain minutes (None: see `phases`); `no_side_effects` where
             they keep nothing and want no still air.
    """

    task: Task
    staff: tuple[Staffing, ...]
    uses: tuple[tuple[int, int, tuple[int, ...]], ...]
    exclusive: tuple[int, ...]
    counted: tuple[tuple[int, int, int], ...]
    avoids: int | None
    fills: int | None
    dust_lasts: int
    phases: tuple[PreparedPhase, ...]
    course: PhaseOffsets | None
    no_side_effects: bool
    lags: tuple[Ref, ...]
    windows: tuple[tuple[tuple[Ref, ...], int], ...]
    release: int
    work: int
    grown: int
    soft: bool

    def alone(self) -> PreparedTask:
        """The same, in need of nothing but its people, over with its work, and no longer for a window missed."""
        nothing: tuple[()] = ()
        return self._replace(uses=nothing, exclusive=nothing, counted=nothing, avoids=None, fills=None,
            phases=nothing, course=NO_PHASES, no_side_effects=True, soft=False,
        )  # fmt: skip


NO_PHASES = PhaseOffsets((), 0, (), ())
