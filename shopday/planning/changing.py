"""Changes a maker could make to the shop or its jobs, each as a folder that has it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from shopday.planning.hours import Hours, Spans, Zone
from shopday.planning.naming import full, written
from shopday.planning.plan import Plan, PlannedStep, State
from shopday.planning.wording import day
from shopday.schedule.calendar import Span
from shopday.shop.fields import Takes
from shopday.shop.folder import ShopFolder
from shopday.shop.models import (
    Also,
    Away,
    Job,
    OpenDay,
    Person,
    Step,
    Wait,
)
from shopday.shop.models import Hours as WeekHours
from shopday.shop.quantities import takes_text

EVENING = 60
MORNING = (8 * 60, 12 * 60)
AFTERNOON = (13 * 60, 17 * 60)
MORE_GEAR = 6
EVENINGS = AFTERNOONS = 5
AHEAD = dt.timedelta(days=20)
SATURDAY = 5
LATER = dt.timedelta(days=7)
OUTSIDE: Takes = ("workdays", 5)
LONG_WORK = 180
MOST_SENT = 5
"""What is tried: minutes of an evening, spans of a day, pieces of gear, evenings together and afternoons to choose from,
how far ahead both are looked for, a later promise, how long a workshop nearby takes, and the work that is worth
sending there."""

HELP: dict[Literal["maker", "helper"], str] = {"helper": "a helper", "maker": "another maker"}

FASTER = {
    "glue": "a glue that sets twice as fast as",
    "resin": "a hardener twice as fast for",
    "finish": "a finish that dries twice as fast as",
}
"""How a faster material is called, by kind."""


@dataclass(frozen=True, slots=True)
class Change:
    """A change in words, and the folder with it. `gives_way`: the job whose promise it moves, if it does."""

    text: str
    folder: ShopFolder
    gives_way: str | None = None


def changes(folder: ShopFolder, plan: Plan) -> Iterator[Change]:
    """Every change that has to do with what is still to be done."""
    ahead = [row for row in plan.steps if row.state is State.PLANNED and row.kind == "work"]
    today = plan.now.date()
    coming = Hours(folder.shop, Zone(folder.shop.timezone), today, today + AHEAD)
    yield from _hours(folder, coming, today)
    yield from _help(folder, coming, plan, ahead)
    yield from _things(folder, ahead)
    yield from _hardeners(folder, ahead)
    yield from _sent_out(folder, ahead)
    yield from _promises(folder, plan)


# ------------------------------------------------------------ hours and hands


def _hours(folder: ShopFolder, coming: Hours, today: dt.date) -> Iterator[Change]:
    """For good, and for the next days alone."""
    yield Change("an hour more on weekday evenings", _with_hours(folder, _evenings))
    longer = {date: _evening(coming.shop_day(date)) for date in _open_days(coming)[:EVENINGS]}
    if longer:
        text = f"an hour more every evening until {day(max(longer), today)}"
        yield Change(text, _with_days(folder, coming, longer))
    if not folder.shop.hours.get("saturday"):
        yield Change("working on Saturday mornings", _with_hours(folder, _saturdays))
    for date in _next_saturday(coming):
        text = f"working on the morning of {day(date, today)}"
        yield Change(text, _with_days(folder, coming, {date: MORNING}))


def _with_hours(folder: ShopFolder, change: Callable[[WeekHours], WeekHours]) -> ShopFolder:
    """The shop's hours and those of makers with own hours, changed alike. Helpers come when they come."""
    people = tuple(
        person.model_copy(update={"hours": change(person.hours)})
        if person.hours is not None and person.role == "maker"
        else person
        for person in folder.shop.people
    )
    return _with_shop(folder, hours=change(folder.shop.hours), people=people)


def _evenings(hours: WeekHours) -> WeekHours:
    return {
        name: (*spans[:-1], (spans[-1][0], _evening(spans)[1]))
        if spans and name not in ("saturday", "sunday")
        else spans
        for name, spans in hours.items()
    }


def _evening(spans: Spans) -> Span:
    """The hour after the last span of a day."""
    closes = spans[-1][1]
    return closes, min(1440, closes + EVENING)


def _saturdays(hours: WeekHours) -> WeekHours:
    return hours if hours.get("saturday") else {**hours, "saturday": (MORNING,)}


def _open_days(coming: Hours) -> list[dt.date]:
    return [date for date in coming.days if coming.shop_day(date)]


def _next_saturday(coming: Hours) -> list[dt.date]:
    """The first one from tomorrow on that is a day off, though not one closed for a reason."""
    off = (date for date in coming.days[1:] if not coming.shop_day(date) and not coming.is_closed(date))
    return [date for date in off if date.weekday() == SATURDAY][:1]


def _with_days(folder: ShopFolder, coming: Hours, more: Mapping[dt.date, Span]) -> ShopFolder:
    """The shop, and every maker, in for another span on these dates."""
    also = tuple(_once(date, span) for date, span in more.items())
    people = tuple(
        person.model_copy(update={"also": (*person.also, *also)}) if person.role == "maker" else person
        for person in folder.shop.people
    )
    opened = tuple(OpenDay(on=date, hours=(*coming.shop_day(date), span)) for date, span in more.items())
    others = tuple(date for date in folder.shop.open if date.on not in more)
    return _with_shop(folder, open=(*others, *opened), people=people)


def _once(date: dt.date, span: Span) -> Also:
    return Also(rule="FREQ=DAILY;COUNT=1", first=date, hours=(span,))


def _help(folder: ShopFolder, coming: Hours, plan: Plan, ahead: list[PlannedStep]) -> Iterator[Change]:
    """A helper only lends a hand, so without work for two only another maker is of use."""
    taken = {person.id for person in folder.shop.people}
    name = next(name for n in range(99) if (name := f"help-{n}") not in taken)
    for_two = any(len(row.people) > 1 for row in ahead) or bool(plan.unplaced)
    afternoons = [date for date in _open_days(coming) if date > plan.now.date()]
    for date in afternoons[:AFTERNOONS]:
        for role, who in HELP.items():
            if role == "maker" or for_two:
                there = Person(id=name, role=role, hours={}, also=(_once(date, AFTERNOON),))
                text = f"{who} on the afternoon of {day(date, plan.now.date())}"
                yield Change(text, _with_shop(folder, people=(*folder.shop.people, there)))


# ------------------------------------------------------------ things


def _things(folder: ShopFolder, ahead: list[PlannedStep]) -> Iterator[Change]:
    gear = {id for row in ahead for id in row.gear}
    stations = {id for row in ahead for id in row.stations}
    for kind in folder.shop.gear:
        if kind.id in gear:
            own = kind.model_copy(update={"count": kind.count + MORE_GEAR})
            more = tuple(own if x is kind else x for x in folder.shop.gear)
            yield Change(f"{MORE_GEAR} more {_plain(kind.name, kind.id)}", _with_shop(folder, gear=more))
    for station in folder.shop.stations:
        if station.id in stations:
            second = station.model_copy(update={"count": station.count + 1})
            both = tuple(second if x is station else x for x in folder.shop.stations)
            yield Change(f"one more {_plain(station.name, station.id)}", _with_shop(folder, stations=both))


def _with_shop(folder: ShopFolder, **fields: object) -> ShopFolder:
    return replace(folder, shop=folder.shop.model_copy(update=fields))


def _plain(name: str, id: str) -> str:
    """A name in the middle of a sentence."""
    said = (name or id).replace("-", " ")
    return said[:1].lower() + said[1:] if said[1:2].islower() else said


# ------------------------------------------------------------ steps


def _hardeners(folder: ShopFolder, ahead: list[PlannedStep]) -> Iterator[Change]:
    """Half of what cures, for one material at a time, also where a step writes its own waits."""
    used = {written(folder, row).material for row in ahead}
    for id, material in folder.materials.items():
        if id not in used or material.kind not in FASTER:
            continue

        def faster(address: str, step: Step, id: str = id) -> Step:
            own = step.material == id and step.waits is not None
            return step.model_copy(update={"waits": _halved(step.waits or ())}) if own else step

        quick = material.model_copy(update={"waits": _halved(material.waits)})
        changed = replace(_with_steps(folder, faster), materials={**folder.materials, id: quick})
        if changed.materials != folder.materials or changed.jobs != folder.jobs:
            yield Change(f"{FASTER[material.kind]} {_plain(material.name, id)}", changed)


def _halved(waits: tuple[Wait, ...]) -> tuple[Wait, ...]:
    return tuple(
        w.model_copy(update={"takes": w.takes // 2}) if w.cures and not w.informs else w for w in waits
    )


def _sent_out(folder: ShopFolder, ahead: list[PlannedStep]) -> Iterator[Change]:
    """The longest plain work, given to a workshop nearby; what cures or must be followed soon stays here."""
    plain = [(step.hands_on, row) for row in ahead if _can_leave(step := written(folder, row), row)]
    for _, row in sorted(plain, key=lambda pair: -pair[0])[:MOST_SENT]:
        address = row.address

        def away(other: str, step: Step, address: str = address) -> Step:
            return _outside(step) if other == address else step

        text = f"sending {full(folder, row)} out for {takes_text(OUTSIDE)}"
        yield Change(text, _with_steps(folder, away))


def _can_leave(step: Step, row: PlannedStep) -> bool:
    plain = not row.waits and row.passes == 1 and step.on is None and step.within is None
    return plain and step.hands_on >= LONG_WORK and not step.material


def _outside(step: Step) -> Step:
    return Step(
        id=step.id, name=step.name, after=step.after, away=Away(who="a workshop nearby", takes=OUTSIDE)
    )


def _with_steps(folder: ShopFolder, change: Callable[[str, Step], Step]) -> ShopFolder:
    def changed(at: str, steps: Iterable[Step]) -> tuple[Step, ...]:
        return tuple(change(f"{at}/{step.id}", step) for step in steps)

    def of(id: str, job: Job) -> Job:
        parts = tuple(
            part.model_copy(update={"steps": changed(f"{id}/{part.id}", part.steps)}) for part in job.parts
        )
        return job.model_copy(update={"parts": parts, "steps": changed(id, job.steps)})

    return replace(folder, jobs={id: of(id, job) for id, job in folder.jobs.items()})


# ------------------------------------------------------------ promises


def _promises(folder: ShopFolder, plan: Plan) -> Iterator[Change]:
    for row in plan.jobs:
        if row.promise is not None and not row.delivered:
            later = folder.jobs[row.job].model_copy(update={"promise": row.promise + LATER})
            text = f"promising {row.title or row.job} a week later"
            yield Change(text, replace(folder, jobs={**folder.jobs, row.job: later}), row.job)
