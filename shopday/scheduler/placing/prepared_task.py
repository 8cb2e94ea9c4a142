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
    """One crew of a task: its people, its calendar, and the minutes at which it may start.

    `starts` is a flat ascending list of spans of allowed starts; `grown_starts` is the same for the longer work
    after a missed window.
    """

    people: tuple[int, ...]
    calendar: Calendar
    starts: list[int]
    grown_starts: list[int]


class PreparedPhase(NamedTuple):
    """A phase as it is placed: an informational one needs no still air."""

    takes: int
    clock: int | None
    keeps: tuple[int, ...]
    needs_still_air: bool
    informational: bool


class PhaseOffsets(NamedTuple):
    """Phases in plain minutes, as offsets from the end of the work.

    ends:  of each phase.
    over:  the completion.
    keeps: (resource, amount, until when it is kept), in use without a break since the work began.
    still: (phase, from, to) of the phases that need still air.
    """

    ends: tuple[int, ...]
    over: int
    keeps: tuple[tuple[int, int, int], ...]
    still: tuple[tuple[int, int, int], ...]


class PreparedTask(NamedTuple):
    """A task made ready for placing.

    uses:            (resource, amount, phases that keep it).
    exclusive:       the resources of capacity 1 among them.
    counted:         (resource, amount, level that leaves room for it) of the others.
    avoids:          the profile of the air that must be free from start to end (None: any air will do), and for
                     `dust_lasts` minutes after the end.
    fills:           the profile of the air that is taken meanwhile.
    course:          how the phases run, if they are in plain minutes (None: see `phases`).
    no_side_effects: its phases keep nothing and need no still air.
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
        """The same task with only its people and its work: no uses, no air, no phases, and no soft window."""
        nothing: tuple[()] = ()
        return self._replace(uses=nothing, exclusive=nothing, counted=nothing, avoids=None, fills=None,
            phases=nothing, course=NO_PHASES, no_side_effects=True, soft=False,
        )  # fmt: skip


NO_PHASES = PhaseOffsets((), 0, (), ())
