"""What must be ordered or sent away, by which day so that no promise slips, and its state."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING

from shopday.journal.state import OrderState
from shopday.planning.plan import Moment, Plan, PlannedStep, State, later
from shopday.planning.questions.purchase_text import Purchase, PurchaseState, purchase_text
from shopday.planning.questions.waiting import first_followers
from shopday.planning.step_names import errand, place, thing_and_source, written
from shopday.shop.models import Step

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop


SOON = dt.timedelta(days=3)
"""A last day this near is urgent."""
MOST_CLOSED = 60
"""The most days to look back for an open one."""
STAYS_LISTED = dt.timedelta(days=7)
"""How long a thing stays listed after its arrival."""


def purchases(open_shop: OpenShop, plan: Plan) -> tuple[Purchase, ...]:
    """Everything ordered, expected or away, the most pressing first; what arrived in the past week comes last."""
    reader = _Reader(open_shop, plan)
    found = [reader.purchase(step) for step in plan.steps if step.kind in ("away", "arrives")]
    return tuple(sorted(filter(None, found), key=_rank))


def _rank(row: Purchase) -> tuple[bool, dt.date, dt.date]:
    days = [day for day in (row.by, row.call_by) if day is not None]
    return row.state == "here", min(days, default=dt.date.max), row.planned


class _Reader:
    """Reads the purchases off a plan."""

    def __init__(self, open_shop: OpenShop, plan: Plan) -> None:
        self.open_shop, self.plan, self.today = open_shop, plan, plan.now.date()
        self.orders = open_shop.state().orders
        self.followers = first_followers(plan)
        self.days, self.latest = open_shop.days(), open_shop.scheduler(plan).latest

    def purchase(self, step: PlannedStep) -> Purchase | None:
        """The purchase of a step; None if it arrived longer ago."""
        own, known = written(self.open_shop.folder, step), self.orders.get(step.key, OrderState())
        state = _state(step, own, known)
        planned = step.start.date() if state == "to send" else step.complete.date()
        if state == "here" and (step.skipped or planned < self.today - STAYS_LISTED):
            return None
        lead = own.arrives.lead if own.arrives is not None else None
        needed = None if state == "here" else self._needed(step, state)
        by = _before(needed, lead) if needed and lead and state == "to order" else needed
        call_by = self._call_by(step, state, known)
        late = needed is not None and (planned > needed or (by is not None and by < self.today))
        near = state in ("to order", "to send") and by is not None and by - self.today <= SOON
        to_call = call_by is not None and call_by <= self.today
        follower = self.followers.get(step.key)
        row = Purchase(
            step, state, errand(self.open_shop.folder, step), *thing_and_source(self.open_shop.folder, step),
            follower.full if follower else step.place, by, planned,
            urgent=state != "here" and (late or step.overdue or near or to_call),
            late=late, text="", ordered=self._ordered(step, known), asked=self._date(known.asked), call_by=call_by,
        )  # fmt: skip
        return replace(row, text=purchase_text(row, place(self.open_shop.folder, step), self.today, lead))

    def _needed(self, step: PlannedStep, state: PurchaseState) -> dt.date | None:
        """The last day on which it may leave or arrive; None if no promise depends on it."""
        moment = self.latest.start(step) if state == "to send" else self.latest.complete(step)
        return None if moment is None else self._open_day(moment)

    def _open_day(self, moment: Moment) -> dt.date:
        """The last date on which the shop opens by this moment: things come and go only while somebody is in."""
        date = moment.date()
        for _ in range(MOST_CLOSED):
            opens = self.days.opening(date)
            if opens is not None and opens <= self.open_shop.zone.of(moment):
                break
            date -= dt.timedelta(days=1)
        return date

    def _call_by(self, step: PlannedStep, state: PurchaseState, known: OrderState) -> dt.date | None:
        """The day set for the call; else today if it is overdue, or the open day before it is expected."""
        if state not in ("ordered", "away", "overdue"):
            return None
        if known.call is not None:
            return known.call
        if state == "overdue":
            return self.today
        return max(self.today, self._open_day(later(step.complete, -1440)))

    def _ordered(self, step: PlannedStep, known: OrderState) -> dt.date | None:
        if step.kind == "away":
            return step.start.date() if step.state is not State.PLANNED else None
        return self._date(known.ordered)

    def _date(self, minute: int | None) -> dt.date | None:
        return None if minute is None else self.open_shop.zone.date(minute)


def _state(step: PlannedStep, own: Step, known: OrderState) -> PurchaseState:
    if step.state is State.DONE:
        return "here"
    if step.overdue:
        return "overdue"
    if step.kind == "away":
        return "to send" if step.state is State.PLANNED else "away"
    if known.ordered is not None:
        return "ordered"
    return "to order" if own.arrives is not None and own.arrives.lead is not None else "expected"


def _before(date: dt.date, lead: tuple[str, int]) -> dt.date:
    kind, amount = lead
    if kind == "minutes":
        return date - dt.timedelta(days=-(-amount // 1440))
    while amount:
        date -= dt.timedelta(days=1)
        amount -= date.weekday() < 5
    return date
