"""What is waited for: cures, clamps, deliveries, work outside; until when, and what it frees."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

from shopday.planning.plan import Moment, Plan, PlannedStep, PlannedWait, State, elapsed, later
from shopday.planning.questions.dashboard_types import WaitingItem, WaitKind
from shopday.planning.step_names import brief, errand, things, written

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

SOON = 12 * 60
"""Minutes: a window that closes within this time comes first."""


def waiting_items(open_shop: OpenShop, plan: Plan) -> tuple[WaitingItem, ...]:
    """Everything that runs unattended now: windows about to close first, then the soonest, and last what only
    informs."""
    reader = _Reader(open_shop, plan)
    return tuple(sorted(reader.rows(), key=_rank))


def _rank(row: WaitingItem) -> tuple[bool, bool, dt.datetime]:
    first = row.closes if row.closing and row.closes is not None else row.until or row.since
    return not row.closing, row.kind == "informs", first


def first_followers(plan: Plan) -> dict[tuple[str, int], PlannedStep]:
    """By key of a step: the first planned step that waits for it."""
    first: dict[tuple[str, int], PlannedStep] = {}
    for row in plan.steps:
        for awaited in row.awaits if row.state is State.PLANNED else ():
            known = first.get(awaited.key)
            if known is None or row.start < known.start:
                first[awaited.key] = row
    return first


class _Reader:
    def __init__(self, open_shop: OpenShop, plan: Plan) -> None:
        self.folder, self.plan, self.now = open_shop.folder, plan, plan.now
        self.followers = first_followers(plan)

    def rows(self) -> Iterator[WaitingItem]:
        for step in self.plan.steps:
            if step.kind == "work" and step.state in (State.WAITING, State.DONE):
                yield from self._waits(step)
            elif step.kind != "work" and step.state is State.WAITING:
                yield self._absence(step)
            elif step.state is State.PLANNED and step.window_ends is not None:
                yield from self._window(step)

    def _waits(self, step: PlannedStep) -> Iterator[WaitingItem]:
        for wait in step.waits:
            set_free = _set_free(step, wait)
            free = wait.free if set_free and wait.free is not None and wait.free > wait.end else None
            if wait.informs and step.pass_no < step.passes:
                continue  # the last pass tells it for all
            if self._runs(wait.start, wait.end):
                yield self._row(step, wait, "informs" if wait.informs else "wait", wait.end)
            elif free is not None and self._runs(wait.end, free):
                yield self._row(step, wait, "wait", free)

    def _runs(self, start: Moment, end: Moment) -> bool:
        return elapsed(start, self.now) >= 0 and elapsed(self.now, end) > 0

    def _row(self, step: PlannedStep, wait: PlannedWait, kind: WaitKind, until: Moment) -> WaitingItem:
        following = None if wait.informs else self._following(step, wait, until)
        goes_on = [
            more.name for more in step.waits if not (wait.informs or more.informs) and more.end > until
        ]
        later = wait.free if wait.free is not None and wait.free > until else None
        return WaitingItem(
            what=wait.name,
            step=step,
            kind=kind,
            since=wait.start,
            until=until,
            share=_share(wait.start, self.now, wait.end),
            frees=things(self.folder, _set_free(step, wait), step.gear)
            if later is None or later == wait.free
            else "",
            next=brief(following, step) if following is not None else next(iter(goes_on), ""),
            closing=self._closing(following),
            closes=None if following is None else following.window_ends,
        )

    def _following(self, step: PlannedStep, wait: PlannedWait, until: Moment) -> PlannedStep | None:
        """The first step that this wait, and none after it, keeps waiting."""
        freed = (
            row
            for row in self.plan.steps
            for awaited in (row.awaits if row.state is State.PLANNED else ())
            if awaited.key == step.key
            and elapsed(wait.start, awaited.over) > 0
            and elapsed(until, awaited.over) <= 0
        )
        return min(freed, key=lambda row: row.start.timestamp(), default=None)

    def _absence(self, step: PlannedStep) -> WaitingItem:
        following = self.followers.get(step.key)
        since = min(step.start, self.now, self._ordered(step))
        return WaitingItem(
            what=errand(self.folder, step),
            step=step,
            kind="away" if step.kind == "away" else "arrives",
            since=since,
            until=step.end,
            share=1.0 if step.overdue else _share(since, self.now, step.end),
            frees="",
            next="" if following is None else brief(following, step),
            closing=self._closing(following),
            overdue=step.overdue,
            closes=None if following is None else following.window_ends,
        )

    def _ordered(self, step: PlannedStep) -> Moment:
        """When an arrival must have been ordered to come on its day; its end if no lead time is written."""
        arrives = written(self.folder, step).arrives
        if arrives is None or arrives.lead is None:
            return step.end
        kind, amount = arrives.lead
        days = amount * 7 / 5 if kind == "workdays" else amount / 1440
        return later(step.end, -days * 1440)

    def _window(self, step: PlannedStep) -> Iterator[WaitingItem]:
        """An open window: it has begun to count, and the step has not begun."""
        opened = step.window_opened
        if step.window_ends is None or opened is None:
            return
        left = elapsed(self.now, step.window_ends)
        if left < 0 or elapsed(opened, self.now) < 0:
            return
        yield WaitingItem(
            what="window closes",
            step=step,
            kind="window",
            since=opened,
            until=step.window_ends,
            share=_share(opened, self.now, step.window_ends),
            frees="",
            next=brief(step),
            closing=left <= SOON,
            closes=step.window_ends,
        )

    def _closing(self, following: PlannedStep | None) -> bool:
        if following is None or following.window_ends is None:
            return False
        return elapsed(self.now, following.window_ends) <= SOON


def _set_free(step: PlannedStep, wait: PlannedWait) -> list[str]:
    """The ids that a wait keeps and no later wait of the step keeps."""
    waits = [other for other in step.waits if not other.informs]
    after = waits[waits.index(wait) + 1 :] if wait in waits else []
    return [id for id in wait.keeps if not any(id in other.keeps for other in after)]


def _share(start: Moment, now: Moment, end: Moment) -> float:
    whole = elapsed(start, end)
    return 1.0 if whole <= 0 else min(1.0, max(0.0, elapsed(start, now) / whole))
