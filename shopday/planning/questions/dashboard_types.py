"""The types of what is read off a plan for this very day. Light to import: they cross from the planner's process to the app."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal, NamedTuple

from shopday.planning.plan import Moment, Plan, PlannedStep

if TYPE_CHECKING:
    from shopday.planning.questions.job_costs import JobCosts
    from shopday.planning.questions.material_needs import MaterialNeed
    from shopday.planning.questions.purchase_text import Purchase

LineKind = Literal["work", "break", "ready", "window", "arrives", "leaves", "deliver"]
WaitKind = Literal["wait", "window", "away", "arrives", "informs"]


class DayLine(NamedTuple):
    """One moment of the day. `until` is set where it lasts: work and breaks."""

    at: Moment
    text: str
    kind: LineKind
    step: PlannedStep | None = None
    until: Moment | None = None


class Alternative(NamedTuple):
    """A step that could be taken up now as well, and in a sentence why it is not first."""

    step: PlannedStep
    why_not_first: str


class DayView(NamedTuple):
    """`take_up`: the step under way or to start now or next this day; `until`: when its first stretch ends.

    concerns: what is not as it should be for that step: heat, cold, a place that is lacking. cautions: what to mind at it.
    batches:  what could be done in one go with other work of the coming week, and what that saves.
    stuck: why nothing can be started now, and the ways out. closes: when the shop closes that day (None: it is closed).
    """

    date: dt.date
    take_up: PlannedStep | None
    until: Moment | None
    lines: tuple[DayLine, ...]
    could_start: tuple[Alternative, ...] = ()
    concerns: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    batches: tuple[str, ...] = ()
    stuck: tuple[str, ...] = ()
    closes: Moment | None = None


class WaitingItem(NamedTuple):
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


class Dashboard(NamedTuple):
    """A plan with its day, what is waited on, what to see to before the lights go out, what to order and to have.

    pinned: passes that go before all else, by hand.
    costs:  what each job takes and costs, by its id.
    """

    plan: Plan
    day: DayView
    waits: tuple[WaitingItem, ...]
    lights_out: tuple[str, ...] = ()
    orders: tuple[Purchase, ...] = ()
    needs: tuple[MaterialNeed, ...] = ()
    pinned: tuple[tuple[str, int], ...] = ()
    costs: Mapping[str, JobCosts] = {}
