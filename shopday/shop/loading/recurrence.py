"""RFC 5545 recurrence rules, limited to days, and checked in bounded time."""

from __future__ import annotations

import datetime as dt
import re
from calendar import isleap

from shopday.text.wrong_input import WrongInput

FREQUENCIES = ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")
_FIELD = re.compile(r"([A-Z]+)=([A-Z0-9,+-]+)")
_LONGEST_INTERVAL = 1000


def check_rule(rule: str, first: dt.date) -> None:
    """Raise ValueError, in the form "what is wrong; what would be right", if a rule gives no days."""
    fields = _fields(rule)
    if fields.get("FREQ") not in FREQUENCIES:
        raise WrongInput("it names no days", "start it with FREQ=DAILY, WEEKLY, MONTHLY or YEARLY")
    interval = fields.get("INTERVAL", "1")
    if not interval.isdecimal() or not 1 <= int(interval) <= _LONGEST_INTERVAL:
        raise WrongInput(f"INTERVAL={interval} cannot be", "write a whole number from 1")
    if times := [name for name in ("BYHOUR", "BYMINUTE", "BYSECOND") if name in fields]:
        raise WrongInput(f"{times[0]} gives a time of day", "take it out, `hours` says when")
    _try(rule, fields, first)


def _fields(rule: str) -> dict[str, str]:
    fields: dict[str, str] = {}
    for piece in rule.upper().removeprefix("RRULE:").strip().rstrip(";").split(";"):
        match = _FIELD.fullmatch(piece.strip())
        if match is None or match[1] in fields or len(piece) > 200:
            raise WrongInput("it is no recurrence rule", 'write it as "FREQ=WEEKLY;INTERVAL=2;BYDAY=WE"')
        fields[match[1]] = match[2]
    return fields


def _try(rule: str, fields: dict[str, str], first: dt.date) -> None:
    from dateutil.rrule import rrulestr  # 13 ms, and few shops have such rules

    start = dt.datetime.combine(first, dt.time())
    twin = start.replace(year=_twin_year(first.year))
    endless = ";".join(f"{name}={value}" for name, value in fields.items() if name not in ("COUNT", "UNTIL"))
    try:
        rrulestr(_local(rule), dtstart=start)
        day = next(iter(rrulestr(endless, dtstart=twin)), None)
    except (ValueError, TypeError, KeyError, AttributeError, IndexError, OverflowError) as error:
        wrong = f"it cannot be understood ({error})"
        raise WrongInput(wrong, 'write it as "FREQ=WEEKLY;INTERVAL=2;BYDAY=WE"') from None
    if day is None or f"{first + (day - twin):%Y%m%d}" > fields.get("UNTIL", "9")[:8]:
        raise WrongInput("it gives no day at all", "check its days and UNTIL")


def _twin_year(year: int) -> int:
    """A year with the same calendar, so late that a rule without days soon runs out of years.

    dateutil looks for a first day up to the year 9999, which takes ten seconds from today.
    """
    first = dt.date(year, 1, 1).weekday(), isleap(year)
    return next(y for y in range(9944, 9972) if (dt.date(y, 1, 1).weekday(), isleap(y)) == first)


def _local(rule: str) -> str:
    """UNTIL in local time, whatever it says: only its day matters here."""
    return re.sub(r"(UNTIL=[0-9T]+)Z", r"\1", rule.strip().upper())
