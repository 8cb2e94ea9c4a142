"""Days off from a calendar file (RFC 5545): every whole day in it, including holidays that recur each year."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from dateutil.rrule import rrulestr
from icalendar import Calendar, Component

from shopday.shop.faults import ShopdayError
from shopday.shop.models import Closed
from shopday.text.safe import clean

AHEAD = dt.timedelta(days=2 * 366)
"""How far ahead recurring days are written down."""


def closed_days(data: bytes, today: dt.date, known: Iterable[Closed]) -> list[Closed]:
    """The days from today on that are not closed already. Raises ShopdayError if the data is no calendar."""
    try:
        events = Calendar.from_ical(data).walk("VEVENT")
        spans = sorted({span for event in events for span in _spans(event, today)})
    except (ValueError, TypeError, KeyError, IndexError, AttributeError) as error:
        raise ShopdayError(
            f"this is no calendar that can be read ({error})", "export it as .ics again"
        ) from None
    there = [(day.first, day.last or day.first) for day in known]
    found = []
    for first, last, why in spans:
        if not any(start <= first and last <= end for start, end in there):
            found.append(
                Closed.model_validate({"from": first, "to": last if last > first else None, "why": why})
            )
            there.append((first, last))
    return found


def _spans(event: Component, today: dt.date) -> Iterator[tuple[dt.date, dt.date, str]]:
    """First and last day, and what it is; nothing for events of some hours, or cancelled ones."""
    start = event.decoded("dtstart")
    if isinstance(start, dt.datetime) or str(event.get("status", "")) == "CANCELLED":
        return
    end = event.decoded("dtend", start + event.decoded("duration", dt.timedelta(days=1)))
    length = max(end - start, dt.timedelta(days=1)) - dt.timedelta(days=1)
    why = clean(str(event.get("summary", ""))).strip()
    for first in _starts(event, start, today):
        if today <= first + length:
            yield first, first + length, why


def _starts(event: Component, start: dt.date, today: dt.date) -> Iterator[dt.date]:
    """Its own day, and the days on which it recurs."""
    if "rrule" not in event:
        yield start
        return
    first = dt.datetime.combine(start, dt.time())
    written = event["rrule"].to_ical()
    rule = written.decode() if isinstance(written, bytes) else str(written)
    until = dt.datetime.combine(today, dt.time()) + AHEAD
    since = dt.datetime.combine(today, dt.time()) - dt.timedelta(days=60)
    yield from (
        moment.date()
        for moment in rrulestr(rule, dtstart=first, ignoretz=True).between(since, until, inc=True)
    )
