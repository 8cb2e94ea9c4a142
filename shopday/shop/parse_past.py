"""Read when something happened, as people say it: "8:45", "-20m", "yesterday 16:00", "Tue 14:00"."""

from __future__ import annotations

import datetime as dt
import re

from shopday.shop import quantities
from shopday.shop.parse_moment import WEEK, YEARS, parse_last_day, weekday_meant
from shopday.text.times import moment_text, read_clock
from shopday.text.wrong_input import WrongInput

RIGHT = "write it as 8:45, -20m, yesterday 16:00 or Tue 14:00"
_EXACT = re.compile(r"\d{4}-?\d\d-?\d\dT\d.*", re.ASCII)


def parse_past(text: str, now: dt.datetime) -> dt.datetime:
    """The moment, not after now and in the same zone. Raises WrongInput."""
    said = text.strip()
    if ago := re.fullmatch(r"[-\u2212]\s*(.+)", said):
        return _ago(ago[1], now)
    moment = _exact(said, now) if _EXACT.fullmatch(said) else _said(said, now)
    if moment is None:
        raise WrongInput(f"{said or 'Nothing'} is no time", RIGHT)
    if moment > now:
        raise WrongInput(f"{moment_text(moment, now)} is still to come", RIGHT)
    return moment


def _ago(length: str, now: dt.datetime) -> dt.datetime:
    try:
        minutes = quantities.minutes(length)
    except ValueError:
        raise WrongInput(f"{length} is no length of time", RIGHT) from None
    return (now.astimezone(dt.UTC) - dt.timedelta(minutes=minutes)).astimezone(now.tzinfo)


def _exact(said: str, now: dt.datetime) -> dt.datetime | None:
    """A moment as JSON has it: "2026-12-01T14:20", with or without an offset; None if it is none."""
    try:
        found = dt.datetime.fromisoformat(said)
    except ValueError:
        return None
    if found.year not in YEARS:
        return None
    return found.astimezone(now.tzinfo) if found.tzinfo else found.replace(tzinfo=now.tzinfo)


def _said(said: str, now: dt.datetime) -> dt.datetime | None:
    """A time of day, with or without its day before it; None if there is none."""
    day, _, clock = re.sub(r"(?i)(\d) ([ap]\.?m)", r"\1\2", said).rpartition(" ")
    found = read_clock(clock)
    if found is None:
        return None
    date = _date(day.strip(), now.date()) if day.strip() else now.date()
    moment = dt.datetime.combine(date, found, now.tzinfo)
    if moment > now and weekday_meant(day.strip()) is not None:
        moment -= WEEK  # in local time
    return moment


def _date(day: str, today: dt.date) -> dt.date:
    try:
        return parse_last_day(day, today)
    except ValueError:
        raise WrongInput(f"{day} is no day", RIGHT) from None
