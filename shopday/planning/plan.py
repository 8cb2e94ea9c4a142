"""The plan as people and programs read it: steps of jobs at clock times of the shop's zone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from enum import StrEnum
from typing import NamedTuple

from shopday.text.names import pass_label

Moment = dt.datetime
"""Always aware, in the shop's own zone."""


EQUAL = 0.005
"""Share of the finish total up to which plans of a shop with reserves are equally soon."""


def elapsed(start: Moment, end: Moment) -> int:
    """Whole real minutes from one moment to another (negative: it is earlier).

    Python subtracts and compares the wall clocks of two moments of one zone, which a clock change makes wrong.
    """
    return int((end.timestamp() - start.timestamp()) // 60)


def later(moment: Moment, minutes: float) -> Moment:
    """The moment so many real minutes later (negative: earlier)."""
    return (moment.astimezone(dt.UTC) + dt.timedelta(minutes=minutes)).astimezone(moment.tzinfo)


class State(StrEnum):
    PLANNED = "planned"
    UNDER_WAY = "under way"
    WAITING = "waiting"
    DONE = "done"


class PlannedWait(NamedTuple):
    """One unattended wait. `free`: when what it keeps is taken off (None when it keeps nothing)."""

    name: str
    start: Moment
    end: Moment
    keeps: tuple[str, ...] = ()
    free: Moment | None = None
    still_air: bool = False
    informs: bool = False
    cures: bool = False


class Awaited(NamedTuple):
    """One thing that a planned step waits for.

    address, pass_no: the pass; over: when, in the plan, the moment of it that counts has come.
    within:           the shortest window, in minutes, that counts from this moment (None: no window does).
    """

    address: str
    pass_no: int
    over: Moment
    within: int | None = None

    @property
    def key(self) -> tuple[str, int]:
        return self.address, self.pass_no


class StartLimits(NamedTuple):
    """What the start of a step that was not begun yet hangs on.

    awaits:      what it comes after.
    not_before:  now, or the day on which its job may begin.
    ready:       from when on it might have started, hours and what is in use aside.
    passed_up:   the last minute from then on, and before its start, at which the hours and the temperature would have
                 let it begin (None: there is none).
    stretch:     unbroken minutes of working time that it needs from its start.
    unbroken:    that is all of its work.
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
    """One pass of one step. `kind` is "work", "away" or "arrives"; `part` None for whole-job steps.

    work:          hands-on minutes it takes by the estimate, with what a missed window adds.
    room, dusty:   where it happens, and whether it makes dust there; `still_air`: it wants none while it is done.
    window_opened: when the window that ends first began to count; window_ends: the last start that still keeps it
                   (None: no window).
    limits:        what its start hangs on (None: it was begun).
    overdue:       an arrival whose day is past and not logged.
    put_down:      under way, and in nobody's hands for now.
    skipped:       done, as it was not needed.
    moisture:      whether it asks for a reading of moisture, and how that stands: "", "unread", "wrong" or "right".
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
        """Whether a person is working on it."""
        return self.state is State.UNDER_WAY and not self.put_down

    @property
    def waits_for_hands(self) -> bool:
        """It can be begun, or taken up again."""
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
        """Its name, with the pass where there are several."""
        return pass_label(self.name, self.pass_no, self.passes)

    @property
    def full(self) -> str:
        """It with its place: "Glue up the top (Desk top of Cherry desk)"."""
        return f"{self.label} ({self.place})"


class JobRow(NamedTuple):
    """One job. `delivery` and `late_minutes` are None when some of its steps cannot be placed.

    floor:           no plan can deliver it before this (None: not worked out).
    reserve_minutes: from the last delivery that leaves its reserve untouched to the end of the promised day (None:
                     no promise); short_minutes: how far the delivery eats into it, lateness included.
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
        """Days from delivery to promise; negative: late; None where there is no promise or no delivery."""
        if self.promise is None or self.delivery is None:
            return None
        return (self.promise - self.delivery.date()).days

    @property
    def reserve_days(self) -> int:
        """Whole days that should be in hand; 0 where there is no promise, or no reserve is wanted."""
        return -(-(self.reserve_minutes or 0) // 1440)


class Unplaced(NamedTuple):
    """A step that cannot be planned: the reason, in a sentence that names the fields to change. Or a job that is left
    out: its id, and the first fault of its file."""

    address: str
    why: str

    @property
    def is_job(self) -> bool:
        return "/" not in self.address


class Plan(NamedTuple):
    """The whole plan. `late`, `short` and `finish`: the totals, weighted minutes.

    late_bound, short_bound, finish_bound: no plan has less (each among plans as good in those before it; None: not
    worked out, or some step has no place).
    order: the engine's order of tasks as keys, to start the next search from.
    without_exact: why the exact engine had no part in a search that was to be thorough, in a few words.
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
        """Nothing better exists: deliveries as soon as can be, give or take what counts as equal."""
        if self.finish_bound is None or self.totals[:2] != (self.late_bound, self.short_bound):
            return False
        equal = EQUAL if any(row.reserve_minutes for row in self.jobs) else 0
        return self.finish - self.finish_bound <= equal * self.finish

    @property
    def totals(self) -> tuple[int, int, int]:
        """What decides between plans, the less the better: lateness, reserves eaten into, deliveries."""
        return self.late, self.short, self.finish

    @property
    def late_jobs(self) -> frozenset[str]:
        """Those whose promise it breaks."""
        return frozenset(row.job for row in self.jobs if row.late_minutes)

    @property
    def aim(self) -> tuple[int, int, int, int]:
        """Steps without a place before all else."""
        return len(self.unplaced), *self.totals

    def step(self, address: str, pass_no: int) -> PlannedStep | None:
        return next((s for s in self.steps if s.key == (address, pass_no)), None)

    def job(self, job: str) -> JobRow | None:
        return next((row for row in self.jobs if row.job == job), None)
