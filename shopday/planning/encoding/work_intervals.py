"""When a pass was worked on: without breaks, nights, and the time in which it was paused."""

from __future__ import annotations

from collections.abc import Iterator

from shopday.planning.encoding.open_hours import OpenHours
from shopday.planning.encoding.passes import Pass
from shopday.scheduler import Calendar, MinuteSpan


def spans_worked(hours: OpenHours, p: Pass, now: int, usual: Calendar) -> Iterator[MinuteSpan]:
    """The open minutes of each spell, by the hours of those who worked, or by `usual` if nobody knows who did."""
    for spell in p.log.worked(now) if p.log is not None else ():
        calendar = hours_of(hours, p, spell.people, usual)
        yield from open_intervals(calendar, spell.start, now if spell.end is None else spell.end)


def minutes_worked(hours: OpenHours, p: Pass, now: int, usual: Calendar) -> int:
    return sum(end - start for start, end in spans_worked(hours, p, now, usual))


def open_intervals(calendar: Calendar, start: int, end: int) -> tuple[MinuteSpan, ...]:
    """The open minutes between two minutes."""
    amount = calendar.worked(end) - calendar.worked(start)
    return calendar.stretches(start, amount) if amount > 0 else ()


def hours_of(hours: OpenHours, p: Pass, people: tuple[str, ...], usual: Calendar) -> Calendar:
    """When these people can do such work; `usual` if none of them is known."""
    of_shop = {person.id for person in hours.shop.people}
    known = tuple(person for person in people if person in of_shop)
    return hours.calendars[hours.crew(known, p.noisy, p.step.only)] if known else usual
