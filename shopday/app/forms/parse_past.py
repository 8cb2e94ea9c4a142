"""Read when something happened, as people say it: "8:45", "-20m", "yesterday 16:00", "Tue 14:00"."""

from __future__ import annotations

import datetime as dt
import re

from shopday.app.forms import parse_moment
from shopday.shop import quantities
from shopday.shop.models import WEEKDAYS
from shopday.text.times import moment_text, read_clock

RIGHT = "write it as 8:45, -20m, yesterday 16:00 or Tue 14:00"
WEEK = dt.timedelta(days=7)


def parse_past(text: str, now: dt.datetime) -> dt.datetime:
    """The moment, not after now and in the same zone. Raises ValueError, which says what would be right."""
    said = text.strip()
    if ago := re.fullmatch(r"[-\u2212]\s*(.+)", said):
        return _ago(ago[1], now)
    day, _, clock = re.sub(r"(?i)(\d) ([ap]\.?m)", r"\1\2", said).rpartition(" ")
    found = read_clock(clock)
    if found is None:
        raise ValueError(f"{said or 'Nothing'} is no time; {RIGHT}")
    date = _date(day.strip(), now.date()) if day.strip() else now.date()
    moment = dt.datetime.combine(date, found, now.tzinfo)
    if day and moment > now and date - WEEK < now.date() and _is_weekday(day):
        moment -= WEEK  # in local time
    if moment > now:
        raise ValueError(f"{moment_text(moment, now)} is still to come; {RIGHT}")
    return moment


def _ago(length: str, now: dt.datetime) -> dt.datetime:
    try:
        minutes = quantities.minutes(length)
    except ValueError:
        raise ValueError(f"{length} is no length of time; {RIGHT}") from None
    return (now.astimezone(dt.UTC) - dt.timedelta(minutes=minutes)).astimezone(now.tzinfo)


def _date(day: str, today: dt.date) -> dt.date:
    if day.lower() == "yesterday":
        return today - dt.timedelta(days=1)
    now = dt.datetime.combine(today, dt.time())
    try:
        return parse_moment.parse_moment(day, now)[0]
    except ValueError:
        raise ValueError(f"{day} is no day; {RIGHT}") from None


def _is_weekday(day: str) -> bool:
    return len(day) >= 2 and any(name.startswith(day.lower()) for name in WEEKDAYS)
