"""What is read off a plan for this very day. Light to import: it crosses from the planner's process to the app."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from shopday.planning.plan import Moment, Plan, PlannedStep

if TYPE_CHECKING:
    from shopday.planning.ordering import Need, Order
    from shopday.planning.workshop import Workshop

LineKind = Literal["work", "break", "ready", "window", "arrives", "leaves", "deliver"]
WaitKind = Literal["wait", "window", "away", "arrives", "informs"]


@dataclass(frozen=True, slots=True)
class Line:
    """One moment of the day. `until` is set where it lasts: work and breaks."""

    at: Moment
    text: str
    kind: LineKind
    step: PlannedStep | None = None
    until: Moment | None = None


@dataclass(frozen=True, slots=True)
class Alternative:
    """A step that could be taken up now as well, and in a sentence why it is not first."""

    step: PlannedStep
    why_not_first: str


@dataclass(frozen=True, slots=True)
class Day:
    """`take_up`: the step under way or to start now or next this day; `until`: when its first stretch ends."""

    date: dt.date
    take_up: PlannedStep | None
    until: Moment | None
    lines: tuple[Line, ...]
    could_start: tuple[Alternative, ...] = ()


@dataclass(frozen=True, slots=True)
class Waiting:
    """One thing that takes its time.

    what:    in words: "in clamps", "powder coater", "hinges from the supplier".
    kind:    a wait in the shop, a window that runs, somebody outside, or something only told.
    share:   how much of it is over, 0 to 1.
    frees:   what it sets free when over ("the bench and 6 long clamps"), "" for nothing.
    next:    what it holds up, in words, "" for nothing.
    closing: the window of what comes next closes within half a day.
    closes:  when that window closes, whether soon or not.
    overdue: it should have been here.
    """

    what: str
    step: PlannedStep
    kind: WaitKind
    since: Moment
    until: Moment | None
    share: float
    frees: str
    next: str
    closing: bool = False
    overdue: bool = False
    closes: Moment | None = None


@dataclass(frozen=True, slots=True)
class Glance:
    """A plan with its day, what is waited on, what to see to before the lights go out, what to order and to have.

    pinned: passes that go before all else, by hand.
    """

    plan: Plan
    day: Day
    waits: tuple[Waiting, ...]
    lights_out: tuple[str, ...] = ()
    orders: tuple[Order, ...] = ()
    needs: tuple[Need, ...] = ()
    pinned: tuple[tuple[str, int], ...] = ()


def glance(workshop: Workshop, plan: Plan) -> Glance:
    """Read off the shop's newest plan."""
    from shopday.planning.foremost import foremost
    from shopday.planning.minding import day_end
    from shopday.planning.ordering import needs, orders
    from shopday.planning.today import day
    from shopday.planning.waiting import waiting

    return Glance(
        plan,
        day(workshop, plan),
        waiting(workshop, plan),
        day_end(workshop, plan),
        orders(workshop, plan),
        needs(workshop, plan),
        foremost(workshop.state()),
    )
