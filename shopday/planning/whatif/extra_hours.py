"""More hours and more hands: each change in words, with the changed folder."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import replace
from typing import Literal

from shopday.planning.encoding.open_hours import OpenHours, Spans, Zone
from shopday.scheduler import MinuteSpan
from shopday.shop.folder import ShopFolder
from shopday.shop.models import Also, OpenDay, Person, WeekHours
from shopday.text.times import date_text

EVENING = 60
MORNING = (8 * 60, 12 * 60)
AFTERNOON = (13 * 60, 17 * 60)
EVENINGS = AFTERNOONS = 5
AHEAD = dt.timedelta(days=20)
"""What is tried: minutes of an evening, spans of a day, how many evenings together and how many afternoons, and how
far ahead to look for them."""

SATURDAY = 5
HELP: dict[Literal["maker", "helper"], str] = {"helper": "a helper", "maker": "another maker"}

Changed = tuple[str, ShopFolder]


def more_hands(
    folder: ShopFolder, today: dt.date, for_two: bool, waiting: Collection[dt.date] = ()
) -> Iterator[Changed]:
    """Changes of hours and of people.

    for_two: some work needs two people, so that a helper is of use.
    waiting: days from which such work waits for the second one.
    """
    last = max((today, *waiting)) + AHEAD
    coming = OpenHours(folder.shop, Zone(folder.shop.timezone), today, last)
    yield from _hours(folder, coming, today)
    yield from _help(folder, coming, today, for_two, waiting)


def with_shop(folder: ShopFolder, **fields: object) -> ShopFolder:
    """The folder with these fields of its shop replaced."""
    return replace(folder, shop=folder.shop.model_copy(update=fields))


def _hours(folder: ShopFolder, coming: OpenHours, today: dt.date) -> Iterator[Changed]:
    """Longer hours for good, and on the coming days only."""
    yield "an hour more on weekday evenings", _with_hours(folder, _evenings)
    longer = {date: _evening(coming.shop_day(date)) for date in _open_days(coming)[:EVENINGS]}
    if longer:
        text = f"an hour more every evening until {date_text(max(longer), today)}"
        yield text, _with_days(folder, coming, longer)
    if not folder.shop.hours.get("saturday"):
        yield "working on Saturday mornings", _with_hours(folder, _saturdays)
    for date in _next_saturday(coming):
        text = f"working on the morning of {date_text(date, today)}"
        yield text, _with_days(folder, coming, {date: MORNING})


def _with_hours(folder: ShopFolder, change: Callable[[WeekHours], WeekHours]) -> ShopFolder:
    """Change the hours of the shop and of makers with hours of their own. Helpers keep theirs."""
    people = tuple(
        person.model_copy(update={"hours": change(person.hours)})
        if person.hours is not None and person.role == "maker"
        else person
        for person in folder.shop.people
    )
    return with_shop(folder, hours=change(folder.shop.hours), people=people)


def _evenings(hours: WeekHours) -> WeekHours:
    return {
        name: (*spans[:-1], (spans[-1][0], _evening(spans)[1]))
        if spans and name not in ("saturday", "sunday")
        else spans
        for name, spans in hours.items()
    }


def _evening(spans: Spans) -> MinuteSpan:
    """The hour after the last span of a day."""
    closes = spans[-1][1]
    return closes, min(1440, closes + EVENING)


def _saturdays(hours: WeekHours) -> WeekHours:
    return hours if hours.get("saturday") else {**hours, "saturday": (MORNING,)}


def _open_days(coming: OpenHours) -> list[dt.date]:
    return [date for date in coming.days if coming.shop_day(date)]


def _next_saturday(coming: OpenHours) -> list[dt.date]:
    """The first Saturday from tomorrow on without hours, unless it is a closed day."""
    off = (date for date in coming.days[1:] if not coming.shop_day(date) and not coming.is_closed(date))
    return [date for date in off if date.weekday() == SATURDAY][:1]


def _with_days(folder: ShopFolder, coming: OpenHours, more: Mapping[dt.date, MinuteSpan]) -> ShopFolder:
    """The shop open, and every maker in, for one more span on these dates."""
    also = tuple(_once(date, span) for date, span in more.items())
    people = tuple(
        person.model_copy(update={"also": (*person.also, *also)}) if person.role == "maker" else person
        for person in folder.shop.people
    )
    opened = tuple(OpenDay(on=date, hours=(*coming.shop_day(date), span)) for date, span in more.items())
    others = tuple(date for date in folder.shop.open if date.on not in more)
    return with_shop(folder, open=(*others, *opened), people=people)


def _once(date: dt.date, span: MinuteSpan) -> Also:
    return Also(rule="FREQ=DAILY;COUNT=1", first=date, hours=(span,))


def _help(
    folder: ShopFolder, coming: OpenHours, today: dt.date, for_two: bool, waiting: Collection[dt.date]
) -> Iterator[Changed]:
    taken = {person.id for person in folder.shop.people}
    name = next(name for n in range(99) if (name := f"help-{n}") not in taken)
    days = [date for date in _open_days(coming) if date > today]
    soon = days[:AFTERNOONS]
    then = sorted({next((date for date in days if date >= day), today) for day in waiting} - {*soon, today})
    for date in soon + then[:AFTERNOONS]:
        for role, who in HELP.items():
            if for_two if role == "helper" else date in soon:
                there = Person(id=name, role=role, hours={}, also=(_once(date, AFTERNOON),))
                text = f"{who} on the afternoon of {date_text(date, today)}"
                yield text, with_shop(folder, people=(*folder.shop.people, there))
