"""What the scheduler answers: where each task is placed, what cannot be placed and why, and how good it is."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from typing import NamedTuple

from shopday.scheduler.model.problem import COMPLETE, END, START


class Cause(Enum):
    """Why a task has no place."""

    OUTSIDE = "known from outside to be impossible"
    NEEDS = "what it waits for has no place"
    CAPACITY = "asks for more of something than there is"
    NOBODY = "no crew ever works at a minute at which it may start"
    STRETCH = "its unbroken work is longer than any open stretch"
    WINDOW = "a hard window cannot be kept"
    APPOINTMENT = "the appointed start is not possible"
    DUST = "its own dust spoils the still air it wants"
    HORIZON = "the calendars end before it is over"


class Refusal(NamedTuple):
    """A task without a place. other: the task to blame; limit: the minute or amount that was exceeded."""

    cause: Cause
    other: int | None = None
    limit: int | None = None


class Placed(NamedTuple):
    """Where a task is placed, in minutes.

    crew:   the index into its crews.
    ends:   when each phase is over, including informational ones.
    frees:  when what each phase keeps is freed (the phase's end if it keeps nothing).
    missed: a window was missed, and the work grew.
    """

    start: int
    end: int
    complete: int
    crew: int = 0
    ends: tuple[int, ...] = ()
    frees: tuple[int, ...] = ()
    missed: bool = False

    def moment(self, milestone: int) -> int:
        """The minute of START, END, COMPLETE, or of the end of a phase."""
        named = {START: self.start, END: self.end, COMPLETE: self.complete}
        return named[milestone] if milestone in named else self.ends[milestone]


class Schedule(NamedTuple):
    """A place for every task, or a refusal."""

    placed: tuple[Placed | None, ...]
    unplaced: Mapping[int, Refusal] = {}


class Result(NamedTuple):
    """A schedule and how good it is.

    late, short, finish: the totals, weighted minutes: after `Job.due`, after `Job.safe_by`, and from now to the
                         deliveries; jobs with a refused task count nothing.
    late_bound, short_bound, finish_bound: no schedule is less late; none as little late is less short; none as good
                         in both has a smaller finish total.
    floors:                   per job, no schedule delivers it earlier (None: cannot be placed).
    order:                    the order of tasks that builds this schedule again; where freeing or the exact engine put
                              tasks later than they had to be, that takes their starts besides (see `repair`).
    iterations:               schedules built so far.
    without_exact:            why the exact engine had no part in a search that was to be thorough, in a few words.
    """

    schedule: Schedule
    late: int
    finish: int
    order: tuple[int, ...]
    short: int = 0
    late_bound: int = 0
    short_bound: int = 0
    finish_bound: int = 0
    floors: tuple[int | None, ...] = ()
    iterations: int = 1
    without_exact: str = ""

    @property
    def totals(self) -> tuple[int, int, int]:
        """The totals, the most important first."""
        return self.late, self.short, self.finish

    @property
    def aim(self) -> tuple[int, int, int, int]:
        """What decides, less being better: tasks without a place, then the totals."""
        return len(self.schedule.unplaced), *self.totals

    def knowing(self, other: Result) -> Result:
        """This result with the bounds and floors of another that is no better."""
        floors = other.floors
        if len(self.floors) == len(floors):
            both = zip(self.floors, floors, strict=True)
            floors = tuple(a if b is None else b if a is None else max(a, b) for a, b in both)
        return self._replace(
            late_bound=min(self.late, max(self.late_bound, other.late_bound)),
            short_bound=min(self.short, max(self.short_bound, other.short_bound)),
            finish_bound=min(self.finish, max(self.finish_bound, other.finish_bound)),
            floors=floors,
        )

    @property
    def optimal(self) -> bool:
        """True if no schedule is better."""
        return self.totals == (self.late_bound, self.short_bound, self.finish_bound)

    @property
    def status(self) -> str:
        return "optimal" if self.optimal else "feasible"
