"""One day: what to take up now, the day by the clock, and what could be started instead."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

from shopday.planning.plan import Moment, Plan, PlannedStep, State, elapsed
from shopday.planning.questions.alternatives import alternatives
from shopday.planning.questions.batches import batches
from shopday.planning.questions.concerns import step_concerns
from shopday.planning.questions.dashboard_types import DayLine, DayView, LineKind
from shopday.planning.questions.standstill import standstill
from shopday.planning.questions.step_cautions import cautions
from shopday.planning.step_names import errand, things
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop


def day_view(open_shop: OpenShop, plan: Plan, date: dt.date | None = None) -> DayView:
    """The view of one date, today by default."""
    date = date or plan.now.date()
    take_up, until = _first(plan, date)
    today = date == plan.now.date()
    instead = alternatives(open_shop, plan, take_up) if today and take_up is not None else ()
    minded = (
        ((), ())
        if take_up is None
        else (step_concerns(open_shop, plan, take_up), cautions(open_shop, take_up))
    )
    needs = (
        "" if take_up is None else things(open_shop.folder, (*take_up.stations, *take_up.gear), take_up.gear)
    )
    told = tuple(batch.text for batch in batches(open_shop, plan)) if today else ()
    return DayView(
        date,
        take_up,
        until,
        _lines(open_shop, plan, date),
        instead,
        needs,
        *minded,
        batches=told,
        stuck=standstill(open_shop, plan) if today else (),
        closes=open_shop.days().closing(date),
    )


def _first(plan: Plan, date: dt.date) -> tuple[PlannedStep | None, Moment | None]:
    """The work under way or next on this date, and the end of its first stretch that is not over."""
    from_now = [
        (not step.in_hand, start, end, step)
        for step in plan.steps
        if step.kind == "work" and step.state in (State.PLANNED, State.UNDER_WAY)
        for start, end in step.stretches
        if start.date() == date and _is_ahead(start, end, plan.now)
    ]
    if not from_now:
        return None, None
    _, _, end, step = min(from_now, key=lambda row: row[:2])
    return step, end


def _is_ahead(start: Moment, end: Moment, now: Moment) -> bool:
    """True if part of it is still to come. Work of no length is ahead only in its own minute."""
    left = elapsed(now, end)
    return left > 0 or (left == 0 and start == end)


def _lines(open_shop: OpenShop, plan: Plan, date: dt.date) -> tuple[DayLine, ...]:
    lines = [*_breaks(open_shop, date), *_deliveries(plan, date)]
    for step in plan.steps:
        lines += [line for line in _of_step(open_shop, step, plan) if line.at.date() == date]
    return tuple(sorted(lines, key=lambda line: (line.at.timestamp(), _ORDER.index(line.kind))))


_ORDER: tuple[LineKind, ...] = ("break", "ready", "arrives", "leaves", "work", "window", "deliver")


def _of_step(open_shop: OpenShop, step: PlannedStep, plan: Plan) -> Iterator[DayLine]:
    said = step.full
    if step.kind == "away":
        who = errand(open_shop.folder, step)
        if step.state is State.PLANNED:
            yield DayLine(step.start, f"{said} leaves for {who}", "leaves", step)
        if step.state is not State.DONE:
            yield DayLine(step.end, f"{said} is back from {who}", "arrives", step)
    elif step.kind == "arrives" and step.state is not State.DONE:
        late = ", overdue" if step.overdue else ""
        yield DayLine(step.end, f"Due: {errand(open_shop.folder, step)}{late}, for {said}", "arrives", step)
    elif step.kind == "work":
        yield from _work(step, said)
        yield from _ready(open_shop, step, said)
        if step.window_ends is not None and step.state is State.PLANNED and not step.missed:
            yield DayLine(step.window_ends, f"Last moment to start {said}", "window", step)


def _work(step: PlannedStep, said: str) -> Iterator[DayLine]:
    for n, (start, end) in enumerate(step.stretches):
        yield DayLine(start, said if n == 0 else f"{said} goes on", "work", step, end)


def _ready(open_shop: OpenShop, step: PlannedStep, said: str) -> Iterator[DayLine]:
    lasting = [wait for wait in step.waits if not wait.informs and wait.start < wait.end]
    for wait, after in zip(lasting, (*lasting[1:], None), strict=False):
        free = [id for id in wait.keeps if after is None or id not in after.keeps]
        if wait.free is not None and free:
            kept = things(open_shop.folder, free, step.gear)
            since = f" since {moment_text(wait.end, wait.free)}" if elapsed(wait.end, wait.free) > 0 else ""
            yield DayLine(wait.free, f"Over{since}: {wait.name}, {said}; frees {kept}", "ready", step)
        else:
            yield DayLine(wait.end, f"Over: {wait.name}, {said}", "ready", step)


def _breaks(open_shop: OpenShop, date: dt.date) -> Iterator[DayLine]:
    for at, until in open_shop.days().breaks(date):
        yield DayLine(at, "Break", "break", None, until)


def _deliveries(plan: Plan, date: dt.date) -> Iterator[DayLine]:
    last: dict[str, PlannedStep] = {}
    for step in plan.steps:
        if step.job not in last or step.complete >= last[step.job].complete:
            last[step.job] = step
    for row in plan.jobs:
        if row.delivery is not None and row.delivery.date() == date and not row.delivered:
            yield DayLine(row.delivery, f"{row.title} is complete", "deliver", last.get(row.job))
