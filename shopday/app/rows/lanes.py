"""Lanes over days: what is solid (hands on), light (waiting) and marked, for a job, a station or a person."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import groupby
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.text.cells import fit
from shopday.text.times import MONTH_NAMES, weekday_text

if TYPE_CHECKING:
    from shopday.planning.encoding.open_hours import ShopDays
    from shopday.planning.plan import Plan, PlannedStep
    from shopday.shop.models import Gear, Shop, Station

LaneSpan = tuple[dt.datetime, dt.datetime]
LABEL = 20
SOLID, LIGHT, PROMISED, DELIVERED, CLOSED = "█", "░", "◆", "▸", "·"
LOOKS = {
    SOLID: "$primary",
    LIGHT: "$secondary",
    PROMISED: "bold $accent",
    DELIVERED: "bold $success",
    CLOSED: "dim",
}


@dataclass
class Lane:
    key: str
    label: str
    solid: list[LaneSpan] = field(default_factory=list)
    light: list[LaneSpan] = field(default_factory=list)
    promise: dt.date | None = None
    delivery: dt.date | None = None
    steps: list[PlannedStep] = field(default_factory=list)


def by_job(plan: Plan, shop: Shop) -> list[Lane]:
    lanes = {
        r.job: Lane(r.job, r.title or r.job, promise=r.promise, delivery=_date(r.delivery)) for r in plan.jobs
    }
    for step in plan.steps:
        lane = lanes.setdefault(step.job, Lane(step.job, step.job))
        lane.steps.append(step)
        lane.solid += _worked(step)
        lane.light += list(_waited(step))
    return list(lanes.values())


def by_station(plan: Plan, shop: Shop) -> list[Lane]:
    things: list[Station | Gear] = [*shop.stations, *shop.gear]
    lanes = {thing.id: Lane(thing.id, thing.name or thing.id) for thing in things}
    for step in plan.steps:
        for id in (*step.stations, *step.gear):
            lane = lanes.setdefault(id, Lane(id, id))
            lane.steps.append(step)
            lane.solid += _worked(step)
            lane.light += [
                (w.start, w.free or w.end) for w in step.waits if id in w.keeps or "all" in w.keeps
            ]
    return list(lanes.values())


def by_person(plan: Plan, shop: Shop) -> list[Lane]:
    lanes = {p.id: Lane(p.id, p.name or p.id) for p in shop.people}
    for step in plan.steps:
        for id in step.people:
            lane = lanes.setdefault(id, Lane(id, id))
            lane.steps.append(step)
            lane.solid += _worked(step)
    return list(lanes.values())


BY = {"job": by_job, "station": by_station, "person": by_person}


def _date(moment: dt.datetime | None) -> dt.date | None:
    return moment.date() if moment else None


def _worked(step: PlannedStep) -> list[LaneSpan]:
    if step.kind != "work":
        return []
    return list(step.stretches) or [(step.start, step.end)]


def _waited(step: PlannedStep) -> Iterator[LaneSpan]:
    if step.kind != "work":
        yield step.start, step.complete
    yield from ((wait.start, wait.end) for wait in step.waits if not wait.informs)


def draw_lane(lane: Lane, days: ShopDays, first: dt.date, cells: int, width: int) -> Content:
    """One lane: its label, then so many cells a day from the first date on."""
    count = max(1, (width - LABEL) // cells)
    dates = [first + dt.timedelta(days=n) for n in range(count)]
    drawn = [sign for date in dates for sign in (" " if days.shop_day(date) else CLOSED) * cells]
    _paint(drawn, lane.light, first, cells, LIGHT)
    _paint(drawn, lane.solid, first, cells, SOLID)
    for date, sign, back in ((lane.delivery, DELIVERED, min(2, cells)), (lane.promise, PROMISED, 1)):
        if date is not None and 0 <= (date - first).days < count:
            drawn[((date - first).days + 1) * cells - back] = sign
    runs = (("".join(run), LOOKS.get(sign, "")) for sign, run in groupby(drawn))
    return Content.assemble(fit(lane.label, LABEL - 1) + " ", *runs)


def _paint(drawn: list[str], spans: list[LaneSpan], first: dt.date, cells: int, sign: str) -> None:
    """Mark the cells that spans touch; times are read off the clock on the wall."""
    for start, end in spans:
        if end > start:
            low, high = _cell(start, first, cells), _cell(end, first, cells, before=1)
            for i in range(max(low, 0), min(max(high, low) + 1, len(drawn))):
                drawn[i] = sign


def _cell(moment: dt.datetime, first: dt.date, cells: int, before: int = 0) -> int:
    """Of a moment, or of so little before it that it is still the cell that ends there."""
    minutes = ((moment.date() - first).days * 1440 + moment.hour * 60 + moment.minute) * cells
    return (minutes - before) // 1440


def day_heads(first: dt.date, today: dt.date, cells: int, width: int) -> Content:
    """Two lines over the lanes: weekdays, and days of the month."""
    count = max(1, (width - LABEL) // cells)
    dates = [first + dt.timedelta(days=n) for n in range(count)]
    above = "".join(fit(weekday_text(d)[: max(1, cells - 1)], cells) for d in dates)
    month = fit(f"{MONTH_NAMES[first.month - 1]} {first.year}", LABEL)
    pieces: list[str | tuple[str, str]] = [" " * LABEL, above, "\n", month]
    for date in dates:
        said = f"{date.day}" if cells > 2 or date.weekday() == 0 else ""
        pieces.append((fit(said, cells), "reverse bold" if date == today else ""))
    return Content.assemble(*pieces)
