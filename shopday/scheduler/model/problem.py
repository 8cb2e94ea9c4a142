"""What the scheduler is asked: a resource-constrained project (RCPSP) with minimum and maximum time lags.

Attended work follows calendars and stops at their breaks; unattended phases run day and night on
clocks of their own. Every number is a whole minute, every reference an index into a tuple of the
`Problem`. Nothing here knows what is being made.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from shopday.scheduler.model.calendars import Calendar
from shopday.scheduler.model.clocks import Clock

START = -1
"""Milestone: the task starts."""
END = -2
"""Milestone: its attended work is over."""
COMPLETE = -3
"""Milestone: its work and all its phases, except informational ones, are over."""


class Lag(NamedTuple):
    """A minimum time lag: not before `milestone` of `task`, plus `offset` minutes.

    `milestone` is START, END, COMPLETE or the index of a phase of that task, which stands for the end of the phase.
    """

    task: int
    milestone: int = COMPLETE
    offset: int = 0


class Window(NamedTuple):
    """A maximum time lag: start at most `within` minutes after the latest moment of `refs`.

    `refs` name moments as in `Lag` (`offset` is added). If the task's `adds` is None the window must be kept;
    otherwise the task may start later, and its work grows by `adds`, once.
    """

    refs: tuple[Lag, ...]
    within: int


class Phase(NamedTuple):
    """Unattended time after the work; phases follow one another.

    takes:           minutes on `clock` (an index into `Problem.clocks`; None: plain elapsed minutes).
    keeps:           resources of the task's `uses` that stay in use until the phase is over and
                     `Problem.release_calendar` is open.
    needs_still_air: its room must be free of dust meanwhile.
    informational:   only told to people: it delays nothing, keeps nothing, and the next phase does not wait for it.
    """

    takes: int
    clock: int | None = None
    keeps: tuple[int, ...] = ()
    needs_still_air: bool = False
    informational: bool = False


class Crew(NamedTuple):
    """One way to staff a task: people (resources of capacity 1) in use from start to end, and when all of them work."""

    people: tuple[int, ...] = ()
    calendar: int = 0


class Task(NamedTuple):
    """One pass of one step.

    job:                the index of its job.
    work:               attended minutes on the calendar of the chosen crew; 0 is a point in time.
    crews:              the ways to staff it, the preferred ones first; exactly one is chosen.
    uses:               (resource, amount) in use from the start to the end of the work.
    lags:               what must come before its start.
    windows:            how soon after those it must start; `adds` None makes them hard.
    release:            the earliest start.
    at:                 an appointment: the only start allowed.
    unbroken:           the work may not be interrupted (it fits one open span of the calendar).
    stretch:            at least this many minutes must be left in the open span at the start.
    starts_in:          the calendar of minutes at which it may start (None: any).
    room:               where it takes place. `dusty` work fills the room from its start to `Problem.dust_minutes`
                        after its end; `needs_still_air` work needs it free of dust from start to end.
    starts_immediately: it starts at the very minute that its lags and release allow; nothing may delay it. Such
                        tasks have no crew; they end `length` minutes on `clock` after the start, and never before
                        `until`.
    going:              it is under way: placed before anything else, at once.
    fixed:              (start, end) of work that is over, taken as it is; its phases may still run.
    """

    job: int
    work: int = 0
    crews: tuple[Crew, ...] = (Crew(),)
    uses: tuple[tuple[int, int], ...] = ()
    phases: tuple[Phase, ...] = ()
    lags: tuple[Lag, ...] = ()
    windows: tuple[Window, ...] = ()
    adds: int | None = None
    release: int = 0
    at: int | None = None
    unbroken: bool = False
    stretch: int = 0
    starts_in: int | None = None
    room: int = 0
    dusty: bool = False
    needs_still_air: bool = False
    starts_immediately: bool = False
    length: int = 0
    clock: int | None = None
    until: int | None = None
    going: bool = False
    fixed: tuple[int, int] | None = None


class Delivery(NamedTuple):
    """The delivery of a job.

    due:     the minute by which it is on time (None: never late).
    safe_by: the last minute of a delivery that leaves its reserve before `due` untouched (None: no reserve).
    counts:  False leaves it out of all totals (delivered already).
    """

    weight: int = 1
    due: int | None = None
    counts: bool = True
    safe_by: int | None = None

    @property
    def wanted(self) -> int | None:
        """The minute to aim at: `safe_by` if there is one, else `due`."""
        return self.due if self.safe_by is None else self.safe_by


class Problem(NamedTuple):
    """Everything that the scheduler knows.

    now:              nothing starts earlier; the totals count from here.
    jobs:             weights, due minutes and reserves.
    tasks:            in an order in which no task waits for a later one, if there is such an order.
    capacities:       units of each resource (people, stations, gear alike).
    calendars:        index 0 is always open.
    clocks:           how unattended time passes if it is not plain elapsed minutes.
    release_calendar: the calendar at whose open minutes kept resources can be freed.
    dust_minutes:     minutes that dust hangs in a room after dusty work.
    infeasible:       tasks known from outside to be impossible, each with a word for the report.
    """

    now: int
    jobs: tuple[Delivery, ...]
    tasks: tuple[Task, ...]
    capacities: tuple[int, ...] = ()
    calendars: tuple[Calendar, ...] = (Calendar.always(),)
    clocks: tuple[Clock, ...] = ()
    release_calendar: int = 0
    dust_minutes: int = 0
    infeasible: Mapping[int, str] = {}
