"""The types of a Dashboard. Light to import, as they cross from the planner's process to the app."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal, NamedTuple

from shopday.planning.plan import Moment, Plan, PlannedStep
from shopday.text.times import time_of

if TYPE_CHECKING:
    from shopday.planning.questions.job_costs import JobCosts
    from shopday.planning.questions.material_needs import MaterialNeed
    from shopday.planning.questions.purchase_text import Purchase

LineKind = Literal["work", "break", "ready", "window", "arrives", "leaves", "deliver"]
WaitKind = Literal["wait", "window", "away", "arrives", "informs"]


class DayLine(NamedTuple):
    """One line of the day. `until` is set for work and breaks, which last."""

    at: Moment
    text: str
    kind: LineKind
    step: PlannedStep | None = None
    until: Moment | None = None


class Alternative(NamedTuple):
    """A step that could be taken up now as well, and why it does not come first, in a sentence."""

    step: PlannedStep
    why_not_first: str


class DayView(NamedTuple):
    """One day.

    take_up:  the step under way, or the next to start on this day; `until`: the end of its current stretch.
    needs:    the stations and gear of that step: "the bench and 6 long clamps", or "".
    concerns: risks of that step: heat, cold, a place that is lacking.
    cautions: what to mind at that step.
    batches:  what could be done in one go with other work of the coming week, and what that saves.
    stuck:    why nothing can be started now, and the ways out.
    closes:   when the shop closes on this day (None: it is closed all day).
    """

    date: dt.date
    take_up: PlannedStep | None
    until: Moment | None
    lines: tuple[DayLine, ...]
    could_start: tuple[Alternative, ...] = ()
    needs: str = ""
    concerns: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    batches: tuple[str, ...] = ()
    stuck: tuple[str, ...] = ()
    closes: Moment | None = None

    def instead(self, now: Moment) -> str:
        """The heading of what could be started in the place of `take_up`, which may begin later than now."""
        at = now if self.take_up is None else max(now, self.take_up.next_work(now))
        return f"Could be started {'now' if at == now else f'at {time_of(at)}'} instead"


class WaitingItem(NamedTuple):
    """One thing that runs unattended.

    what:    in words: "in clamps", "powder coater", "hinges from the supplier".
    kind:    a wait in the shop, an open window, work away, an arrival, or a wait that only informs.
    share:   how much of it is over, 0 to 1.
    frees:   what it frees when over ("the bench and 6 long clamps"), or "".
    next:    the step that waits for it, in words, or "".
    closing: the window of the next step closes within half a day.
    closes:  when that window closes (None: there is none).
    overdue: it should have arrived or come back already.
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
    """A plan with its day, what is waited for, what to do before closing, what to order, and the materials to have.

    pinned: passes pinned to go first, as (address, pass).
    costs:  what each job takes and costs, by its id.
    mark:   of what a plan on offer was made for.
    """

    plan: Plan
    day: DayView
    waits: tuple[WaitingItem, ...]
    lights_out: tuple[str, ...] = ()
    orders: tuple[Purchase, ...] = ()
    needs: tuple[MaterialNeed, ...] = ()
    pinned: tuple[tuple[str, int], ...] = ()
    costs: Mapping[str, JobCosts] = {}
    mark: str | None = None
