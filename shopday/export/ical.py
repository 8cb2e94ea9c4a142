"""The plan as an RFC 5545 calendar, to bring into a phone.

Every event has a UID made from what it is about, so that bringing the file in again updates it. Alarms ring
when hands are needed and somebody is in: clamps come off, the next coat may go on, a window is about to close.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

from icalendar import Alarm, Calendar, Event, Timezone

from shopday.planning.plan import Moment, Plan, PlannedStep, PlannedWait, State
from shopday.planning.step_names import errand, full, things, written
from shopday.shop.materials.cautions import cautions_for
from shopday.text.names import slug
from shopday.text.safe import clean

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

BEFORE_CLOSING = dt.timedelta(hours=1)
"""How long before a window closes its alarm rings."""


def icalendar(open_shop: OpenShop, plan: Plan) -> bytes:
    """The whole file, with the time zone in it, from today's first minute on."""
    found = Calendar()
    found.add("prodid", "-//shopday//plan//EN")
    found.add("version", "2.0")
    found.add("method", "PUBLISH")
    found.add("x-wr-calname", clean(open_shop.folder.shop.name))
    found.add_component(_zone(open_shop, plan))
    for event in _Events(open_shop, plan).all():
        found.add_component(event)
    return bytes(found.to_ical())


def _zone(open_shop: OpenShop, plan: Plan) -> Timezone:
    first, last = plan.now.date(), max([plan.now, *(s.complete for s in plan.steps)]).date()
    return Timezone.from_tzinfo(
        open_shop.zone.tz,
        open_shop.folder.shop.timezone,
        first_date=dt.date(first.year - 1, 1, 1),
        last_date=dt.date(last.year + 2, 1, 1),
    )


class _Events:
    def __init__(self, open_shop: OpenShop, plan: Plan) -> None:
        self.folder, self.plan, self.days = open_shop.folder, plan, open_shop.days()
        self.domain = f"{slug(self.folder.shop.name) or 'shop'}.shopday"
        self.stamp = plan.now.astimezone(dt.UTC)

    def all(self) -> Iterator[Event]:
        today = self.plan.now.date()
        for step in self.plan.steps:
            yield from (event for event in self._step(step) if event.DTSTART.date() >= today)
        for row in self.plan.jobs:
            if row.delivery is not None and not row.delivered:
                yield self._event(f"delivery.{row.job}", f"✓ {row.title or row.job} complete", row.delivery)
            if row.promise is not None and not row.delivered and row.promise >= today:
                yield self._promise(row.job, row.title or row.job, row.promise)

    def _step(self, step: PlannedStep) -> Iterator[Event]:
        if step.kind == "work":
            yield from self._work(step)
        elif step.state is not State.DONE:
            yield from self._absence(step)

    def _work(self, step: PlannedStep) -> Iterator[Event]:
        told = self._told(step)
        for n, (start, end) in enumerate(step.stretches, 1):
            event = self._event(f"work.{_id(step)}.{n}", full(self.folder, step), start, end, told)
            if step.stations:
                event.add("location", clean(things(self.folder, step.stations, {})))
            yield event
        for n, wait in enumerate(step.waits, 1):
            if not wait.informs and wait.end > wait.start:
                yield self._over(step, wait, n)
        if step.window_ends is not None and step.state is State.PLANNED and not step.missed:
            said = f"! Last moment to start {full(self.folder, step)}"
            yield self._alarmed(
                self._event(f"window.{_id(step)}", said, step.window_ends), step.window_ends, BEFORE_CLOSING
            )

    def _over(self, step: PlannedStep, wait: PlannedWait, n: int) -> Event:
        """The end of a wait: hands are needed when it kept something, and may be when it did not."""
        at = wait.free or wait.end
        told = clean(f"Frees {things(self.folder, wait.keeps, step.gear)}.") if wait.free else ""
        said = f"{wait.name} is over: {full(self.folder, step)}"
        event = self._event(f"wait.{_id(step)}.{n}", said, at, told=told)
        return self._alarmed(event, at, dt.timedelta()) if self.days.is_open(at) else event

    def _absence(self, step: PlannedStep) -> Iterator[Event]:
        said, who = full(self.folder, step), errand(self.folder, step)
        if step.kind == "away" and step.state is State.PLANNED:
            yield self._event(f"leaves.{_id(step)}", f"{said} leaves for {who}", step.start)
        back = f"{said} is back from {who}" if step.kind == "away" else f"{who} for {said} should be here"
        yield self._event(f"comes.{_id(step)}", back, step.end)

    def _promise(self, job: str, title: str, date: dt.date) -> Event:
        event = self._blank(f"promise.{job}", f"Promised: {title}")
        event.add("dtstart", date)
        event.add("dtend", date + dt.timedelta(days=1))
        event.add("transp", "TRANSPARENT")
        return event

    def _event(self, uid: str, said: str, start: Moment, end: Moment | None = None, told: str = "") -> Event:
        event = self._blank(uid, said)
        event.add("dtstart", start)
        if end is not None:
            event.add("dtend", end)
        event.add("transp", "OPAQUE" if end is not None else "TRANSPARENT")
        if told:
            event.add("description", told)
        return event

    def _blank(self, uid: str, said: str) -> Event:
        event = Event()
        event.add("uid", f"{uid}@{self.domain}")
        event.add("dtstamp", self.stamp)
        event.add("sequence", int(self.stamp.timestamp() // 60))
        event.add("summary", clean(said))
        return event

    def _alarmed(self, event: Event, at: Moment, before: dt.timedelta) -> Event:
        if at - before >= self.plan.now:
            alarm = Alarm()
            alarm.add("action", "DISPLAY")
            alarm.add("description", str(event["summary"]))
            alarm.add("trigger", -before)
            event.add_component(alarm)
        return event

    def _told(self, step: PlannedStep) -> str:
        """Cautions and the address, a line each."""
        own = written(self.folder, step)
        material = self.folder.materials.get(own.material) if own.material else None
        return "\n".join(map(clean, (*cautions_for(own, material, self.folder.shop), step.address)))


def _id(step: PlannedStep) -> str:
    return f"{step.address.replace('/', '.')}.{step.pass_no}"
