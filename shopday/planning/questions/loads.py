"""How full the coming days are, for each person, station and kind of gear."""

from __future__ import annotations

import datetime as dt
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

from shopday.planning.encoding.open_hours import OpenHours

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Moment, Plan, PlannedStep

TakenSpans = Iterable[tuple["Moment", "Moment", int]]
"""Spans as (start, end, how many units are taken)."""


@dataclass(slots=True)
class Load:
    """Minutes taken and minutes there are, by day, from today to the last day with work."""

    taken: dict[dt.date, int] = field(default_factory=lambda: defaultdict(int))
    there: dict[dt.date, int] = field(default_factory=dict)

    def share(self, date: dt.date) -> float | None:
        """How full a day is, 0 to 1; None if it has no minutes."""
        there = self.there.get(date, 0)
        return self.taken.get(date, 0) / there if there else None


def loads(open_shop: OpenShop, plan: Plan) -> dict[str, dict[str, Load]]:
    """Loads by kind, "person" or "station" (with gear), and by id."""
    first = plan.now.date()
    last = max((step.complete.date() for step in plan.steps), default=first)
    shop = open_shop.folder.shop
    hours = OpenHours(shop, open_shop.zone, first, max(first, last), open_shop.state().closed)
    people = {
        person.id: _Filling(hours, hours.person(person)).load(1, _of_person(plan, person.id))
        for person in shop.people
    }
    counts = {station.id: station.count for station in shop.stations} | {
        gear.id: gear.count for gear in shop.gear
    }
    opening = _Filling(hours, hours.open)
    things = {id: opening.load(count, _of_thing(plan, id)) for id, count in counts.items()}
    return {"person": people, "station": things}


def work_spans(step: PlannedStep) -> list[tuple[Moment, Moment]]:
    """When people work on a step; empty for steps that are away or arrive."""
    if step.kind != "work":
        return []
    return list(step.stretches) or [(step.start, step.end)]


def tied_up_spans(step: PlannedStep, id: str) -> list[tuple[Moment, Moment]]:
    """When the waits of a step keep a station or a kind of gear."""
    keeping = (wait for wait in step.waits if id in wait.keeps or "all" in wait.keeps)
    return [(wait.start, wait.free or wait.end) for wait in keeping]


def _of_person(plan: Plan, id: str) -> TakenSpans:
    return ((*span, 1) for step in plan.steps if id in step.people for span in work_spans(step))


def _of_thing(plan: Plan, id: str) -> TakenSpans:
    for step in plan.steps:
        if count := 1 if id in step.stations else step.gear.get(id, 0):
            yield from ((*span, count) for span in (*work_spans(step), *tied_up_spans(step, id)))


class _Filling:
    """Adds work to the days of one calendar."""

    def __init__(self, hours: OpenHours, calendar: int) -> None:
        self.hours, self.calendar = hours, hours.calendars[calendar]
        of_day = zip(hours.days, pairwise(hours.midnights), strict=True)
        self.there = {day: self._open(*edges) for day, edges in of_day}

    def load(self, count: int, spans: TakenSpans) -> Load:
        """The load of something of which there are `count`."""
        load = Load(there={day: count * minutes for day, minutes in self.there.items()})
        for start, end, taken in spans:
            for day, low, high in self._split(self.hours.zone.of(start), self.hours.zone.of(end)):
                load.taken[day] += taken * self._open(low, high)
        return load

    def _open(self, start: int, end: int) -> int:
        return self.calendar.worked(end) - self.calendar.worked(start)

    def _split(self, start: int, end: int) -> Iterator[tuple[dt.date, int, int]]:
        """Cut a span at each midnight, as (date, start, end)."""
        midnights = self.hours.midnights
        place = max(0, bisect_right(midnights, start) - 1)
        while place < len(self.hours.days) and midnights[place] < end:
            yield self.hours.days[place], max(start, midnights[place]), min(end, midnights[place + 1])
            place += 1
