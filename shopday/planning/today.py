"""One day: what to take up now, the day in order of the clock, and what could be started instead."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from shopday.planning.glance import Day, Line, LineKind
from shopday.planning.naming import errand, full, things
from shopday.planning.plan import Moment, Plan, PlannedStep, State, elapsed

if TYPE_CHECKING:
    from shopday.planning.workshop import Workshop


def day(workshop: Workshop, plan: Plan, date: dt.date | None = None) -> Day:
    """The plan of one date (today when left out)."""
    from shopday.planning.instead import alternatives

    date = date or plan.now.date()
    take_up, until = _first(plan, date)
    today = date == plan.now.date()
    instead = alternatives(workshop, plan, take_up) if today and take_up is not None else ()
    return Day(date, take_up, until, _lines(workshop, plan, date), instead)


def _first(plan: Plan, date: dt.date) -> tuple[PlannedStep | None, Moment | None]:
    """The work under way or next on this date, and the end of the stretch in which it is then."""
    from_now = [
        (step.state is not State.UNDER_WAY, start, end, step)
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
    """Some of it is still to come; work of no length is ahead in its very minute."""
    left = elapsed(now, end)
    return left > 0 or (left == 0 and start == end)


def _lines(workshop: Workshop, plan: Plan, date: dt.date) -> tuple[Line, ...]:
    lines = [*_breaks(workshop, plan, date), *_deliveries(plan, date)]
    for step in plan.steps:
        lines += [line for line in _of_step(workshop, step, plan) if line.at.date() == date]
    return tuple(sorted(lines, key=lambda line: (line.at.timestamp(), _ORDER.index(line.kind))))


_ORDER: tuple[LineKind, ...] = ("break", "ready", "arrives", "leaves", "work", "window", "deliver")


def _of_step(workshop: Workshop, step: PlannedStep, plan: Plan) -> Iterator[Line]:
    said = full(workshop.folder, step)
    if step.kind == "away":
        who = errand(workshop.folder, step)
        if step.state is State.PLANNED:
            yield Line(step.start, f"{said} leaves for {who}", "leaves", step)
        if step.state is not State.DONE:
            yield Line(step.end, f"{said} is back from {who}", "arrives", step)
    elif step.kind == "arrives" and step.state is not State.DONE:
        late = ", overdue" if step.overdue else ""
        yield Line(
            step.end, f"{errand(workshop.folder, step)} for {said} should be here{late}", "arrives", step
        )
    elif step.kind == "work":
        yield from _work(step, said)
        yield from _ready(workshop, step, said)
        if step.window_ends is not None and step.state is State.PLANNED and not step.missed:
            yield Line(step.window_ends, f"Last moment to start {said}", "window", step)


def _work(step: PlannedStep, said: str) -> Iterator[Line]:
    for n, (start, end) in enumerate(step.stretches):
        yield Line(start, said if n == 0 else f"{said} goes on", "work", step, end)


def _ready(workshop: Workshop, step: PlannedStep, said: str) -> Iterator[Line]:
    for wait in step.waits:
        if wait.informs or wait.start == wait.end:
            continue
        if wait.free is not None:
            kept = things(workshop.folder, wait.keeps, step.gear)
            yield Line(
                wait.free, f"{wait.name} is over for {said}: take off what it kept ({kept})", "ready", step
            )
        else:
            yield Line(wait.end, f"{wait.name} is over for {said}", "ready", step)


def _breaks(workshop: Workshop, plan: Plan, date: dt.date) -> Iterator[Line]:
    hours = workshop.built(plan).hours
    spans = sorted(hours.shop_day(date))
    for (_, end), (start, _) in pairwise(spans):
        if start > end:
            at, until = (hours.zone.moment(hours.zone.minute(date, m)) for m in (end, start))
            yield Line(at, "Break", "break", None, until)


def _deliveries(plan: Plan, date: dt.date) -> Iterator[Line]:
    last: dict[str, PlannedStep] = {}
    for step in plan.steps:
        if step.job not in last or step.complete >= last[step.job].complete:
            last[step.job] = step
    for row in plan.jobs:
        if row.delivery is not None and row.delivery.date() == date and not row.delivered:
            yield Line(row.delivery, f"{row.title} is complete", "deliver", last.get(row.job))
