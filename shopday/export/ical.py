"""The plan as an RFC 5545 calendar, for a phone that imports the file or subscribes to it.

Every event has a UID made from its subject. What calendars were told before is remembered (`calendar_memory.py`): an
event that has changed gets a higher SEQUENCE, one that is gone is cancelled. Alarms ring when somebody is needed and
somebody is in: clamps come off, the next coat may go on, a window is about to close.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from icalendar import Alarm, Calendar, Event, Timezone

from shopday.export.calendar_memory import CalendarMemory, ToldEvent, read_memory
from shopday.planning.plan import Moment, Plan, PlannedStep, PlannedWait, State, later
from shopday.planning.step_names import errand, things, written
from shopday.shop.materials.cautions import cautions_for
from shopday.text.safe import clean

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

BEFORE_CLOSING = 60
"""Minutes before a window closes at which its alarm rings."""
LOOK_AGAIN = dt.timedelta(minutes=15)
"""How often a subscribed calendar should ask."""


@dataclass(frozen=True, slots=True)
class DatedEvent:
    """One event without number, stamp and alarm.

    uid:   the part of its UID that names its subject.
    ends:  its last day.
    rings: minutes before it at which an alarm rings (None: never).
    """

    uid: str
    event: Event
    start: Moment | None
    ends: dt.date
    rings: int | None = None

    @property
    def body(self) -> str:
        """The text that is compared with what was told before. It includes that the event has an alarm, but not
        whether the alarm is still to come."""
        rings = "" if self.rings is None else f"X-RINGS:{self.rings}\r\n"
        return f"{rings}{self.event.to_ical().decode()}"


def icalendar(open_shop: OpenShop, plan: Plan) -> tuple[bytes, CalendarMemory]:
    """The whole file, with its time zone, from the start of today; and the memory to write once the file is told."""
    planned = {dated.uid: dated for dated in _Events(open_shop, plan).all()}
    memory = read_memory(open_shop.path).told_now(
        {uid: (dated.body, dated.ends) for uid, dated in planned.items()}, plan.now
    )
    found = _frame(open_shop, plan)
    for uid, told in memory.to_tell(plan.now):
        event = _told_event(f"{uid}@{memory.id}.shopday", told)
        if uid in planned and not told.cancelled:
            _add_alarm(event, planned[uid], plan.now)
        found.add_component(event)
    return bytes(found.to_ical()), memory


def _frame(open_shop: OpenShop, plan: Plan) -> Calendar:
    found = Calendar()
    found.add("prodid", "-//shopday//plan//EN")
    found.add("version", "2.0")
    found.add("x-wr-calname", clean(open_shop.folder.shop.name))
    found.add("refresh-interval", LOOK_AGAIN, parameters={"VALUE": "DURATION"})
    found.add("x-published-ttl", "PT15M")
    found.add_component(_zone(open_shop, plan))
    return found


def _zone(open_shop: OpenShop, plan: Plan) -> Timezone:
    first, last = plan.now.date(), max([plan.now, *(s.complete for s in plan.steps)]).date()
    return Timezone.from_tzinfo(
        open_shop.zone.tz,
        open_shop.folder.shop.timezone,
        first_date=dt.date(first.year - 1, 1, 1),
        last_date=dt.date(last.year + 2, 1, 1),
    )


def _told_event(uid: str, told: ToldEvent) -> Event:
    text = told.body.partition("\r\n")[2] if told.body.startswith("X-RINGS") else told.body
    event = Event()
    event.update(Event.from_ical(text))
    event.add("uid", uid)
    event.add("dtstamp", dt.datetime.fromtimestamp(told.stamp, dt.UTC))
    event.add("last-modified", dt.datetime.fromtimestamp(told.stamp, dt.UTC))
    event.add("sequence", told.sequence)
    event.add("status", "CANCELLED" if told.cancelled else "CONFIRMED")
    return event


def _add_alarm(event: Event, dated: DatedEvent, now: Moment) -> None:
    """Add the alarm if it is still to ring."""
    if (
        dated.rings is None
        or dated.start is None
        or later(dated.start, -dated.rings).timestamp() < now.timestamp()
    ):
        return
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", str(event["summary"]))
    alarm.add("trigger", -dt.timedelta(minutes=dated.rings))
    event.add_component(alarm)


class _Events:
    def __init__(self, open_shop: OpenShop, plan: Plan) -> None:
        self.folder, self.plan, self.days = open_shop.folder, plan, open_shop.days()
        self.names = {station.id: station.name or station.id for station in self.folder.shop.stations}

    def all(self) -> Iterator[DatedEvent]:
        for step in self.plan.steps:
            yield from self._step(step)
        for row in self.plan.jobs:
            if row.delivery is not None and not row.delivered:
                yield self._event(f"delivery.{row.job}", f"✓ {row.title or row.job} complete", row.delivery)
            if row.promise is not None and not row.delivered:
                yield self._promise(row.job, row.title or row.job, row.promise)

    def _step(self, step: PlannedStep) -> Iterator[DatedEvent]:
        if step.kind == "work":
            yield from self._work(step)
        elif step.state is not State.DONE:
            yield from self._absence(step)

    def _work(self, step: PlannedStep) -> Iterator[DatedEvent]:
        told, where = self._told(step), ", ".join(self.names[id] for id in step.stations)
        for n, (start, end) in enumerate(step.stretches, 1):
            said = step.full
            yield self._event(f"work.{_id(step)}.{n}", said, start, end, told=told, where=where)
        for n, wait in enumerate(step.waits, 1):
            if not wait.informs and wait.end > wait.start:
                yield self._over(step, wait, n)
        if step.window_ends is not None and step.state is State.PLANNED and not step.missed:
            said = f"! Last moment to start {step.full}"
            yield self._event(f"window.{_id(step)}", said, step.window_ends, rings=BEFORE_CLOSING)

    def _over(self, step: PlannedStep, wait: PlannedWait, n: int) -> DatedEvent:
        """The event at the end of a wait. Hands are needed if the wait kept something, and may be otherwise."""
        at = wait.free or wait.end
        told = f"Frees {things(self.folder, wait.keeps, step.gear)}." if wait.free else ""
        said = f"{wait.name} is over: {step.full}"
        rings = 0 if self.days.is_open(at) else None
        return self._event(f"wait.{_id(step)}.{n}", said, at, told=clean(told), rings=rings)

    def _absence(self, step: PlannedStep) -> Iterator[DatedEvent]:
        said, who = step.full, errand(self.folder, step)
        if step.kind == "away" and step.state is State.PLANNED:
            yield self._event(f"leaves.{_id(step)}", f"{said} leaves for {who}", step.start)
        back = f"{said} is back from {who}" if step.kind == "away" else f"{who} for {said} should be here"
        yield self._event(f"comes.{_id(step)}", back, step.end)

    def _promise(self, job: str, title: str, date: dt.date) -> DatedEvent:
        event = Event()
        event.add("summary", clean(f"Promised: {title}"))
        event.add("dtstart", date)
        event.add("dtend", date + dt.timedelta(days=1))
        event.add("transp", "TRANSPARENT")
        return DatedEvent(f"promise.{job}", event, None, date)

    def _event(
        self,
        uid: str,
        said: str,
        start: Moment,
        end: Moment | None = None,
        told: str = "",
        where: str = "",
        rings: int | None = None,
    ) -> DatedEvent:
        event = Event()
        event.add("summary", clean(said))
        event.add("dtstart", _clear(start))
        if end is not None:
            event.add("dtend", _clear(end))
        event.add("transp", "OPAQUE" if end is not None else "TRANSPARENT")
        if told:
            event.add("description", told)
        if where:
            event.add("location", clean(where))
        return DatedEvent(uid, event, start, (end or start).date(), rings)

    def _told(self, step: PlannedStep) -> str:
        """Cautions and the address, one line each."""
        own = written(self.folder, step)
        material = self.folder.materials.get(own.material) if own.material else None
        return "\n".join(map(clean, (*cautions_for(own, material, self.folder.shop), step.address)))


def _clear(moment: Moment) -> Moment:
    """The moment unchanged; in UTC if its local time occurs twice."""
    twice = moment.replace(fold=0).utcoffset() != moment.replace(fold=1).utcoffset()
    return moment.astimezone(dt.UTC) if twice else moment


def _id(step: PlannedStep) -> str:
    return f"{step.address.replace('/', '.')}.{step.pass_no}"
