"""The plan as people and programs read it: steps of jobs at clock times in the shop's zone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from enum import StrEnum
from typing import NamedTuple

from shopday.text.names import pass_label

Moment = dt.datetime
"""Always with an offset, in the shop's zone."""


EQUAL = 0.005
"""Plans of a shop with reserves count as equal if their finish totals differ by at most this share."""


def elapsed(start: Moment, end: Moment) -> int:
    """Whole real minutes from one moment to another (negative if it is earlier).

    Python subtracts and compares two moments of one zone by their local times, which is wrong across a clock change.
    """
    return int((end.timestamp() - start.timestamp()) // 60)


def later(moment: Moment, minutes: float) -> Moment:
    """The moment this many real minutes later (negative: earlier)."""
    return (moment.astimezone(dt.UTC) + dt.timedelta(minutes=minutes)).astimezone(moment.tzinfo)


class State(StrEnum):
    PLANNED = "planned"
    UNDER_WAY = "under way"
    WAITING = "waiting"
    DONE = "done"


class PlannedWait(NamedTuple):
    """One unattended wait. free: when somebody frees what it keeps (None if it keeps nothing)."""

    name: str
    start: Moment
    end: Moment
    keeps: tuple[str, ...] = ()
    free: Moment | None = None
    still_air: bool = False
    informs: bool = False
    cures: bool = False


class Awaited(NamedTuple):
    """A moment that a planned step waits for.

    address, pass_no: the pass that it belongs to.
    over:             when it comes, by the plan.
    within:           the shortest window, in minutes, that counts from it (None: there is none).
    """

    address: str
    pass_no: int
    over: Moment
    within: int | None = None

    @property
    def key(self) -> tuple[str, int]:
        return self.address, self.pass_no


class StartLimits(NamedTuple):
    """What limits the start of a step that was not begun.

    awaits:      what it comes after.
    not_before:  now, or the day on which its job may begin.
    ready:       the earliest start, hours and things in use aside.
    passed_up:   the last minute, from `ready` and before the start, at which hours and temperature would have let it
                 begin (None: there is none).
    stretch:     unbroken minutes of working time that it needs from its start.
    unbroken:    `stretch` is all of its work.
    appointment: its start is fixed.
    cold:        the shop is at times too cold for its material.
    """

    awaits: tuple[Awaited, ...]
    not_before: Moment
    ready: Moment
    passed_up: Moment | None = None
    stretch: int = 1
    unbroken: bool = False
    appointment: bool = False
    cold: bool = False


class PlannedStep(NamedTuple):
    """One pass of one step. `kind` is "work", "away" or "arrives"; `part` is None for steps of the whole job.

    work:          hands-on minutes by the estimate, with the extra work of a missed window.
    room:          where it is done.
    dusty:         it makes dust there.
    still_air:     it needs air without dust while it is done.
    window_opened: when its next window to close began to count.
    window_ends:   the last start that keeps that window (None: no window).
    limits:        what limits its start (None: it was begun).
    overdue:       it should have arrived or come back, and that is not logged.
    put_down:      it is under way but paused.
    skipped:       it is done because it was not needed.
    unclocked:     its end was logged and not its start: the start is what the estimate makes of it.
    moisture:      its state if it needs a reading of moisture: "unread", "wrong" or "right"; else "".
    place:         where it belongs, in words: "Desk top of Cherry desk".
    """

    job: str
    part: str | None
    step: str
    pass_no: int
    passes: int
    name: str
    state: State
    start: Moment
    end: Moment
    complete: Moment
    stretches: tuple[tuple[Moment, Moment], ...] = ()
    people: tuple[str, ...] = ()
    stations: tuple[str, ...] = ()
    gear: Mapping[str, int] = {}
    waits: tuple[PlannedWait, ...] = ()
    missed: bool = False
    kind: str = "work"
    work: int = 0
    room: str = ""
    dusty: bool = False
    still_air: bool = False
    window_opened: Moment | None = None
    window_ends: Moment | None = None
    limits: StartLimits | None = None
    overdue: bool = False
    put_down: bool = False
    skipped: bool = False
    unclocked: bool = False
    moisture: str = ""
    place: str = ""

    @property
    def address(self) -> str:
        return "/".join(piece for piece in (self.job, self.part, self.step) if piece is not None)

    @property
    def key(self) -> tuple[str, int]:
        return self.address, self.pass_no

    @property
    def awaits(self) -> tuple[Awaited, ...]:
        """What it comes after; empty once it was begun."""
        return self.limits.awaits if self.limits is not None else ()

    @property
    def in_hand(self) -> bool:
        """True if somebody is working on it."""
        return self.state is State.UNDER_WAY and not self.put_down

    @property
    def waits_for_hands(self) -> bool:
        """True if it can be begun or resumed."""
        return self.state is State.PLANNED or self.put_down

    @property
    def stands(self) -> str:
        """Its state as people say it."""
        return "put down" if self.put_down else "not needed" if self.skipped else self.state.value

    def next_work(self, now: Moment) -> Moment:
        """When it is worked on next: its start, or that of the stretch in which it goes on."""
        return next((start for start, end in self.stretches if end > now), self.start)

    @property
    def label(self) -> str:
        """Its name, with the pass if there are several."""
        return pass_label(self.name, self.pass_no, self.passes)

    @property
    def full(self) -> str:
        """Its label and its place: "Glue up the top (Desk top of Cherry desk)"."""
        return f"{self.label} ({self.place})"


class JobRow(NamedTuple):
    """One job. `delivery` and `late_minutes` are None if some of its steps have no place.

    floor:           no plan can deliver it earlier (None: not worked out).
    reserve_minutes: the reserve before the end of the promised day (None: no promise).
    short_minutes:   how far the delivery eats into the reserve, lateness included.
    """

    job: str
    title: str
    customer: str
    promise: dt.date | None
    delivery: Moment | None
    late_minutes: int | None
    weight: int = 1
    delivered: bool = False
    floor: Moment | None = None
    reserve_minutes: int | None = None
    short_minutes: int | None = None

    @property
    def days_in_hand(self) -> int | None:
        """Days from delivery to promise (negative: late); None without a promise or a delivery."""
        if self.promise is None or self.delivery is None:
            return None
        return (self.promise - self.delivery.date()).days

    @property
    def reserve_days(self) -> int:
        """The reserve in whole days, rounded up; 0 without a promise or a reserve."""
        return -(-(self.reserve_minutes or 0) // 1440)


class Unplaced(NamedTuple):
    """A step that cannot be planned, and why, in a sentence that names the fields to change. Or a job that is left
    out: its id, and the first fault of its file.

    name:  the step with its place; empty for a job.
    waits: it could be planned but for another step that cannot.
    """

    address: str
    why: str
    name: str = ""
    waits: bool = False

    @property
    def is_job(self) -> bool:
        return "/" not in self.address


class Plan(NamedTuple):
    """The whole plan.

    late, short, finish:                   the totals, in weighted minutes.
    late_bound, short_bound, finish_bound: lower bounds of the totals, each among plans that are as good in the
                                           totals before it (None: not worked out, or some step has no place).
    order:                                 the scheduler's order of tasks as keys, from which the next search starts.
    without_exact:                         why the exact engine took no part in a thorough search, in a few words.
    """

    now: Moment
    late: int
    short: int
    finish: int
    jobs: tuple[JobRow, ...]
    steps: tuple[PlannedStep, ...]
    unplaced: tuple[Unplaced, ...] = ()
    late_bound: int | None = None
    short_bound: int | None = None
    finish_bound: int | None = None
    order: tuple[tuple[str, int], ...] = ()
    without_exact: str = ""

    @property
    def proven(self) -> bool:
        """True if no plan is better: lateness and reserves meet their bounds, and so does the finish up to EQUAL."""
        if self.finish_bound is None or self.totals[:2] != (self.late_bound, self.short_bound):
            return False
        equal = EQUAL if any(row.reserve_minutes for row in self.jobs) else 0
        return self.finish - self.finish_bound <= equal * self.finish

    @property
    def totals(self) -> tuple[int, int, int]:
        """What decides between plans, less being better: lateness, missing reserves, deliveries."""
        return self.late, self.short, self.finish

    @property
    def late_jobs(self) -> frozenset[str]:
        """The ids of jobs whose promise the plan breaks."""
        return frozenset(row.job for row in self.jobs if row.late_minutes)

    @property
    def aim(self) -> tuple[int, int, int, int]:
        """The number of steps without a place, then the totals."""
        return len(self.unplaced), *self.totals

    def step(self, address: str, pass_no: int) -> PlannedStep | None:
        return next((s for s in self.steps if s.key == (address, pass_no)), None)

    def job(self, job: str) -> JobRow | None:
        return next((row for row in self.jobs if row.job == job), None)
