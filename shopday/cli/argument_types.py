"""Readers for values on the command line; each raises ArgumentTypeError, which says what would be right."""

from __future__ import annotations

import datetime as dt
import math
from argparse import ArgumentTypeError
from collections.abc import Callable

from shopday.shop.quantities import AmountSpan, day_spans, minutes
from shopday.text.times import read_clock

YEARS = range(1990, 2200)
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

THOROUGH, PROVING = 1.0, 8.0
"""Efforts of the search: the usual one, and one that goes on until little more can be gained."""


def read_moment(text: str) -> dt.datetime:
    """A date and time; in the shop's zone if it has no offset."""
    try:
        found = dt.datetime.fromisoformat(text.strip())
    except ValueError:
        raise ArgumentTypeError(f"{text!r} is no time; write it as 2026-12-01T08:00") from None
    if found.year not in YEARS:
        raise ArgumentTypeError(f"{text!r} is out of reach; years go from {YEARS[0]} to {YEARS[-1]}")
    return found


def at(text: str) -> dt.datetime | dt.time:
    """A date and time, or a time of today."""
    if (found := read_clock(text)) is not None:
        return found
    try:
        return read_moment(text)
    except ArgumentTypeError:
        raise ArgumentTypeError(
            f"{text!r} is no time; write it as 14:20, 2:20pm or 2026-12-01T14:20"
        ) from None


def on_day(when: dt.datetime | dt.time | None, today: dt.date) -> dt.datetime | None:
    """What `at` read, as a time of the shop."""
    return dt.datetime.combine(today, when) if isinstance(when, dt.time) else when


ReadDay = Callable[[dt.date, dt.date], dt.date]
"""Returns the day meant, given today and the first day that can be meant."""

NAMED_DAYS = {"yesterday": -1, "today": 0, "tomorrow": 1}


def read_day(text: str) -> ReadDay:
    """A date, "today", "tomorrow", or a weekday, which means the next one of that name."""
    said = text.strip().lower()
    if said in NAMED_DAYS:
        return lambda today, _: today + dt.timedelta(days=NAMED_DAYS[said])
    for number, name in enumerate(WEEKDAYS):
        if len(said) >= 2 and name.startswith(said):
            return lambda _, least: least + dt.timedelta(days=(number - least.weekday()) % 7)
    try:
        date = dt.date.fromisoformat(said)
    except ValueError:
        raise ArgumentTypeError(f"{text!r} is no day; write it as 2026-12-01, tomorrow or thu") from None
    if date.year not in YEARS:
        raise ArgumentTypeError(f"{text!r} is out of reach; years go from {YEARS[0]} to {YEARS[-1]}")
    return lambda _today, _least: date


def read_length(text: str) -> int:
    """A length of time, in minutes."""
    try:
        return minutes(text)
    except ValueError as error:
        raise ArgumentTypeError(str(error)) from None


def read_passes(text: str) -> int:
    """A number of further passes."""
    if not (text.isascii() and text.isdigit() and int(text[:9]) >= 1):
        raise ArgumentTypeError(f"{text!r} is no number of passes; write one from 1 on")
    return int(text[:9])


def read_percent(text: str) -> float:
    """A percentage, with a point or a comma."""
    try:
        return float(text.strip().rstrip("%").replace(",", "."))
    except ValueError:
        raise ArgumentTypeError(f"{text!r} is no per cent; write it as 8.5") from None


def read_hours(text: str) -> tuple[AmountSpan, ...]:
    """Spans of a day, separated by commas."""
    try:
        return day_spans([piece.strip() for piece in text.split(",")])
    except ValueError as error:
        raise ArgumentTypeError(str(error)) from None


def read_names(text: str) -> tuple[str, ...]:
    """Names, separated by commas."""
    found = tuple(filter(None, map(str.strip, text.split(","))))
    if not found:
        raise ArgumentTypeError(f"{text!r} is no name; write one, or several as ana,kim")
    return found


SEPARATORS = {",": ",", ";": ";", "tab": "\t", "\t": "\t"}


def read_separator(text: str) -> str:
    """The separator between columns of a table."""
    if text not in SEPARATORS:
        raise ArgumentTypeError(f"{text!r} separates no columns; write , or ; or tab")
    return SEPARATORS[text]


def read_effort(text: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not 0 <= number <= 100:
        raise ArgumentTypeError(f"{text!r} is no effort; write a number from 0 to 100")
    return number


MOST_DRAWS = 100_000


def read_draws(text: str) -> int:
    return _number(text, 1, MOST_DRAWS, "number of draws")


def read_seed(text: str) -> int:
    return _number(text, 0, 10**9, "seed")


def read_port(text: str) -> int:
    return _number(text, 0, 65535, "port")


def _number(text: str, least: int, most: int, what: str) -> int:
    """A whole number between limits; overlong ones are refused."""
    if not (text.isascii() and text.isdigit() and least <= int(text[:12]) <= most and len(text) <= 12):
        raise ArgumentTypeError(f"{text!r} is no {what}; write a number from {least} to {most}")
    return int(text)
