"""Reads and writes amounts as they are written in files: durations, temperatures, times of day.

Every reader takes the value from the file, and raises WrongInput with what is wrong and what would be right.
"""

from __future__ import annotations

import re
from decimal import Decimal
from itertools import pairwise
from typing import Any, Literal

from shopday.text.durations import minutes_text, workdays_text
from shopday.text.safe import clean
from shopday.text.wrong_input import WrongInput

AmountSpan = tuple[int, int]
TakesValue = tuple[Literal["minutes", "workdays"], int]

HOUR = 60
DAY = 1440
LONGEST = 3653 * DAY
"""Ten years: nothing in a shop takes longer, so anything beyond is a mistake."""
LONGEST_WORKDAYS = 2610
COLDEST, HOTTEST = -60.0, 120.0

_UNITS = {"m": 1, "min": 1, "minute": 1, "h": HOUR, "hr": HOUR, "hour": HOUR, "d": DAY, "day": DAY}
_PIECE = re.compile(r"\s*([0-9]{1,9}(?:\.[0-9]{1,6})?)\s*([a-z]+)", re.ASCII)
_WORKDAYS = re.compile(r"([0-9]{1,9})\s*(?:workdays?|working days?)", re.ASCII)
_DEGREES = re.compile(r"([+-]?[0-9]{1,4}(?:\.[0-9]{1,6})?)\s*°?\s*([CF])", re.ASCII | re.IGNORECASE)
_SPAN = re.compile(r"([0-9]{1,2}):([0-9]{2})\s*[-–]\s*([0-9]{1,2}):([0-9]{2})", re.ASCII)
_DURATION = 'write it as "45m", "2h 30m" or "3d"'


def minutes(value: Any) -> int:
    """Whole minutes of a duration such as "2h 30m"; a bare 0 is as clear as "0m"."""
    if value == 0 and type(value) is int:
        return 0
    if not isinstance(value, str):
        raise _not_text(value, "a duration", f'"{abs(value)}m"' if type(value) is int else '"45m"')
    if value.strip() == "0":
        return 0
    return _within(_sum(value), value)


def _sum(text: str) -> int:
    total, at, lowered = Decimal(0), 0, text.strip().lower()
    if lowered.startswith("-"):
        raise WrongInput(f"{shown(text)} is negative", "a duration is 0m or more")
    while match := _PIECE.match(lowered, at):
        unit = _UNITS.get(match[2]) or _UNITS.get(match[2].removesuffix("s"))
        if unit is None:
            break
        total, at = total + Decimal(match[1]) * unit, match.end()
    if not at or at != len(lowered):
        raise _not_a_duration(text)
    if total != int(total):
        raise WrongInput(f"{shown(text)} is not a whole number of minutes", _DURATION)
    return int(total)


def _not_a_duration(text: str) -> WrongInput:
    if _WORKDAYS.fullmatch(text.strip().lower()):
        return WrongInput(f"{shown(text)} counts workdays, which only `takes` of `away` can", _DURATION)
    return WrongInput(f"{shown(text)} is not a duration", _DURATION)


def _within(total: int, text: str) -> int:
    if total > LONGEST:
        raise WrongInput(f"{shown(text)} is longer than ten years", "write at most 3653d")
    return total


def minutes_or_workdays(value: Any) -> TakesValue:
    """("minutes", n) or ("workdays", n), for time away from the shop."""
    match = _WORKDAYS.fullmatch(value.strip().lower()) if isinstance(value, str) else None
    if match is None:
        return "minutes", minutes(value)
    if int(match[1]) > LONGEST_WORKDAYS:
        raise WrongInput(
            f"{shown(value)} is longer than ten years", f"write at most {LONGEST_WORKDAYS} workdays"
        )
    return "workdays", int(match[1])


def read_degrees(value: Any) -> float:
    """Degrees Celsius of "20C" or "68F"."""
    if not isinstance(value, str):
        raise _not_text(value, "a temperature", '"20C" or "68F"')
    match = _DEGREES.fullmatch(value.strip())
    if match is None:
        raise WrongInput(f"{shown(value)} is not a temperature", 'write it as "20C" or "68F"')
    number = float(match[1])
    celsius = number if match[2] in "cC" else (number - 32) / 1.8
    if not COLDEST <= celsius <= HOTTEST:
        raise WrongInput(f"{shown(value)} is no temperature of a shop", 'write it as "20C" or "68F"')
    return celsius


def day_span(value: Any) -> AmountSpan:
    """Minutes after midnight of "08:00-12:00"; the end may be 24:00."""
    if not isinstance(value, str):
        raise _not_text(value, "a span of hours", '"08:00-12:00"')
    match = _SPAN.fullmatch(value.strip())
    if match is None:
        raise WrongInput(f"{shown(value)} is not a span of hours", 'write it as "08:00-12:00"')
    start, end = _time(match[1], match[2], value), _time(match[3], match[4], value)
    if start >= end:
        raise WrongInput(f"{shown(value)} ends before it starts", _day_only(start, end))
    return start, end


def _time(hours: str, mins: str, text: str) -> int:
    if int(mins) > 59 or int(hours) * HOUR + int(mins) > DAY:
        raise WrongInput(f"{shown(text)} has no such time of day", "write times from 00:00 to 24:00")
    return int(hours) * HOUR + int(mins)


def _day_only(start: int, end: int) -> str:
    if end and start < DAY and start != end:
        first, rest = span_text((start, DAY)), span_text((0, end))
        return f'split it at midnight: "{first}", and "{rest}" on the next day'
    return "the earlier time comes first"


def day_spans(value: Any) -> tuple[AmountSpan, ...]:
    """Spans of one day in order; a single one may be written without a list. They may touch, not overlap."""
    items = [value] if isinstance(value, str) else value
    if not isinstance(items, (list, tuple)):
        raise _not_text(value, "a list of hours", '["08:00-12:00", "12:45-17:00"]')
    spans = sorted(day_span(item) for item in items)
    for one, two in pairwise(spans):
        if two[0] < one[1]:
            raise WrongInput(
                f'"{span_text(one)}" and "{span_text(two)}" overlap', "make them one span, or part them"
            )
    return tuple(spans)


def shown(text: str) -> str:
    """A person's text in a message: quoted, shortened, control characters made visible."""
    cut = text if len(text) <= 40 else text[:39] + "…"
    return f'"{clean(cut)}"'


def _not_text(value: Any, what: str, right: str) -> WrongInput:
    kind = "a list" if isinstance(value, (list, tuple)) else "a table" if isinstance(value, dict) else None
    found = kind or shown(str(value).lower() if isinstance(value, bool) else str(value)).strip('"')
    return WrongInput(f"{found} is not {what} in quotes", f"write {right}")


def takes_text(takes: TakesValue) -> str:
    kind, amount = takes
    return minutes_text(amount) if kind == "minutes" else workdays_text(amount)


def degrees_text(celsius: float) -> str:
    return f"{round(celsius, 2):g}C"


def time_text(minute: int) -> str:
    return f"{minute // HOUR:02d}:{minute % HOUR:02d}"


def span_text(span: AmountSpan) -> str:
    return f"{time_text(span[0])}-{time_text(span[1])}"
