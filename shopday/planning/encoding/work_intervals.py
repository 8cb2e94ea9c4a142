"""What was worked on a pass so far: neither breaks nor nights, nor the time in which it was put down."""

from __future__ import annotations

from collections.abc import Iterator

from shopday.planning.encoding.open_hours import OpenHours
from shopday.planning.encoding.passes import Pass
from shopday.scheduler import Calendar, MinuteSpan


def spans_worked(hours: OpenHours, p: Pass, now: int, usual: Calendar) -> Iterator[MinuteSpan]:
    """Open minutes of each spell, in the hours of those who had it; of nobody known, in the `usual` ones."""
    for spell in p.log.worked(now) if p.log is not None else ():
        calendar = hours_of(hours, p, spell.people, usual)
        yield from open_intervals(calendar, spell.start, now if spell.end is None else spell.end)


def minutes_worked(hours: OpenHours, p: Pass, now: int, usual: Calendar) -> int:
    return sum(end - start for start, end in spans_worked(hours, p, now, usual))


def open_intervals(calendar: Calendar, start: int, end: int) -> tuple[MinuteSpan, ...]:
    """The open minutes from one to another."""
    amount = calendar.worked(end) - calendar.worked(start)
    return calendar.stretches(start, amount) if amount > 0 else ()


def hours_of(hours: OpenHours, p: Pass, people: tuple[str, ...], usual: Calendar) -> Calendar:
    """When these people can be at such work; the usual hours where nobody knows who."""
    of_shop = {person.id for person in hours.shop.people}
    known = tuple(person for person in people if person in of_shop)
    return hours.calendars[hours.crew(known, p.noisy, p.step.only)] if known else usual
