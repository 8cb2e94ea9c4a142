"""How plans say times, amounts and steps in sentences."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from shopday.planning.plan import Moment
from shopday.shop.models import Out
from shopday.shop.quantities import minutes_text, span_text

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def clock(moment: Moment) -> str:
    return f"{moment.hour:02d}:{moment.minute:02d}"


def when(moment: Moment, now: Moment) -> str:
    """A time as said at `now`: the clock alone today, with its day otherwise, with its year when far off."""
    if moment.date() == now.date():
        return clock(moment)
    return f"{day(moment.date(), now.date())} {clock(moment)}"


def day(date: dt.date, today: dt.date) -> str:
    """A date: "Fri 18 Dec", with its year when far off."""
    year = f" {date.year}" if abs((date - today).days) > 300 else ""
    return f"{_DAYS[date.weekday()]} {date.day} {_MONTHS[date.month - 1]}{year}"


def days_out(out: Out, today: dt.date) -> str:
    """When somebody is not in: "Tue 1 Dec to Wed 2 Dec", "Tue 1 Dec, 09:00-12:00"."""
    days = day(out.first, today) + (f" to {day(out.end, today)}" if out.end > out.first else "")
    return ", ".join([days, *map(span_text, out.hours or ())])


def span(minutes: int) -> str:
    """A length of time: "2h 30m", days only when they come out even or it is long."""
    if minutes >= 2880 and minutes % 1440:
        hours = round(minutes / 60)
        days, rest = divmod(hours, 24)
        return f"{days}d {rest}h" if rest else f"{days}d"
    if 1440 <= minutes < 2880 and minutes % 1440:
        hours, rest = divmod(minutes, 60)
        return f"{hours}h {rest}m" if rest else f"{hours}h"
    return minutes_text(minutes)


STANDING = {
    "quote": "a quote that is not accepted",
    "shelved": "shelved",
    "cancelled": "cancelled",
    "delivered": "delivered",
}


def standing(status: str) -> str:
    """How a job stands that is not planned: "the job is shelved"."""
    return STANDING.get(status, status)


def both(names: Iterable[str]) -> str:
    """a, b and c."""
    items = list(names)
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} and {items[-1]}" if items else ""


def sentence(text: str) -> str:
    """The text with a capital and a full stop."""
    text = text.strip()
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '?', '!')) else '.'}"
