"""The one way to say a time of day, a date and a moment, on screens and on paper: "9:30", "Fri 18 Dec", "Fri 18 Dec 9:30".

Every clock time goes through `clock_text`, so that a shop with a clock of twelve hours reads "9:30 am" everywhere. Names
of days and months are our own and not the locale's.
"""

from __future__ import annotations

import datetime as dt
import re

WEEKDAY_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip

DATE = re.compile(
    rf"\b(?:{'|'.join(WEEKDAY_NAMES)}) \d{{1,2}} [A-Z][a-z]{{2}}(?: \d{{4}})?\b(?: \d+:\d\d\b)?"
)
"""A date as `date_text` says it, with the time if `moment_text` does."""
TWELVE, TWENTY_FOUR = 12, 24
"""Hours of a clock's face."""
FAR_OFF = 300
"""Days from which a date without its year could be mistaken for another one."""


_face = TWENTY_FOUR
_TYPED = re.compile(r"(\d{1,2})(?::(\d\d))?(?: ?([ap])\.?m\.?)?", re.ASCII)


def use_clock(hours: int) -> None:
    """From now on, say times by a clock of 12 or 24 hours. One process shows only one shop."""
    global _face
    _face = hours


def clock_cells() -> int:
    """The length of the longest time of day, in cells."""
    return len(clock_text(12, 0))


def clock_text(hour: int, minute: int) -> str:
    """A time of day: "9:30", "24:00"; "9:30 am", "12:00 am"."""
    if _face == TWENTY_FOUR:
        return f"{hour}:{minute:02d}"
    return f"{(hour - 1) % TWELVE + 1}:{minute:02d} {'pm' if hour % TWENTY_FOUR >= TWELVE else 'am'}"


def read_clock(typed: str) -> dt.time | None:
    """A time of day as people write it: "14:20", "2pm", "2:20 pm"; None if it is none."""
    found = _TYPED.fullmatch(typed.strip().lower())
    if found is None or not (found[2] or found[3]):
        return None
    hour, minute, half = int(found[1]), int(found[2] or 0), found[3]
    if half and 1 <= hour <= TWELVE:
        hour = hour % TWELVE + (TWELVE if half == "p" else 0)
    elif half:
        return None
    return dt.time(hour, minute) if hour < TWENTY_FOUR and minute < 60 else None


def time_of(moment: dt.datetime) -> str:
    """The time of day of a moment: "9:30"."""
    return clock_text(moment.hour, moment.minute)


def from_to(start: dt.datetime, end: dt.datetime | None) -> str:
    """A stretch of one day, or its start alone: "9:30–12:00", "9:30"."""
    return f"{time_of(start)}–{time_of(end)}" if end else time_of(start)


def hours_text(span: tuple[int, int]) -> str:
    """Opening hours, given in minutes after midnight: "8:00–12:00"."""
    return "–".join(clock_text(*divmod(minute, 60)) for minute in span)


def month_text(date: dt.date) -> str:
    """A month: "Dec"."""
    return MONTH_NAMES[date.month - 1][:3]


def weekday_text(date: dt.date) -> str:
    """A day of the week: "Fri"."""
    return WEEKDAY_NAMES[date.weekday()]


def date_text(date: dt.date, today: dt.date) -> str:
    """A date: "Fri 18 Dec", with its year when far off."""
    year = f" {date.year}" if abs((date - today).days) > FAR_OFF else ""
    return f"{weekday_text(date)} {date.day} {month_text(date)}{year}"


def moment_text(moment: dt.datetime, now: dt.datetime) -> str:
    """A moment as told at `now`: the time alone if it is today, otherwise with its date."""
    if moment.date() == now.date():
        return time_of(moment)
    return f"{date_text(moment.date(), now.date())} {time_of(moment)}"
