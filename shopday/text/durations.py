"""The one way to say a length in minutes: elapsed time in days of 24 hours, hands-on work in working days of 8."""

from __future__ import annotations

HOUR, DAY = 60, 1440
WORKING_DAY = 480
"""Minutes of work that people call a day."""


def minutes_text(minutes: int) -> str:
    """A length to the minute, as it is written in files: "50m", "2h 30m", "3d"."""
    days, rest = divmod(minutes, DAY)
    hours, left = divmod(rest, HOUR)
    pieces = [f"{n}{unit}" for n, unit in ((days, "d"), (hours, "h"), (left, "m")) if n]
    return " ".join(pieces) or "0m"


def length_text(minutes: float) -> str:
    """A length of elapsed time in at most two units: "50m", "2h 30m", "3d 4h"; from a day on rounded to hours."""
    whole = max(0, round(minutes))
    return minutes_text(whole if whole < DAY else (whole + HOUR // 2) // HOUR * HOUR)


def work_text(minutes: float) -> str:
    """A length of hands-on work, in days of 8 h if it fills one: "45m", "7h 15m", "3 working days and 1h"."""
    full, rest = divmod(max(0, round(minutes)), WORKING_DAY)
    if not full:
        return minutes_text(rest)
    named = f"{full} working day{'s' if full > 1 else ''}"
    return f"{named} and {minutes_text(rest)}" if rest else named


def booked_text(minutes: int) -> str:
    """A length of work for the books, in hours and minutes however long: "45m", "32h 15m"."""
    hours, rest = divmod(minutes, HOUR)
    return " ".join(piece for n, piece in ((hours, f"{hours}h"), (rest, f"{rest}m")) if n) or "0m"


def days_text(count: int) -> str:
    """Whole days: "1 day", "3 days"."""
    return "1 day" if count == 1 else f"{count} days"


def workdays_text(count: int) -> str:
    """Days from Monday to Friday, as they are written in files: "5 workdays"."""
    return f"{count} workday{'' if count == 1 else 's'}"


def countdown_text(seconds: float) -> str:
    """The time left, to the second, in a form unlike a time of day: "12m 05s"."""
    left = max(0, round(seconds))
    return f"{left // 60}m {left % 60:02d}s"
