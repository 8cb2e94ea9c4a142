"""Readers for values on the command line; each raises ArgumentTypeError, which says what would be right."""

from __future__ import annotations

import datetime as dt
import math
from argparse import ArgumentTypeError

from shopday.shop.quantities import AmountSpan, day_spans, minutes
from shopday.shop.typed_values import field_hours

YEARS = range(1990, 2200)

THOROUGH, PROVING = 1.0, 8.0
"""Efforts of the search: the usual one, and one that goes on until little more can be gained."""


def read_moment(text: str) -> dt.datetime:
    """A date and time, in the shop's zone if it has no offset; or as people say it, by this computer's clock."""
    try:
        found = dt.datetime.fromisoformat(text.strip())
    except ValueError:
        found = _said_moment(text)
    if found.year not in YEARS:
        raise ArgumentTypeError(f"{text!r} is out of reach; years go from {YEARS[0]} to {YEARS[-1]}")
    return found


def _said_moment(text: str) -> dt.datetime:
    from shopday.shop.parse_moment import parse_moment

    try:
        date, minute = parse_moment(text, dt.datetime.now())
    except ValueError as error:
        raise ArgumentTypeError(str(error)) from None
    if minute is None:
        raise ArgumentTypeError(f"{text!r} has no time of day; write it as 2026-12-01T08:00 or Thu 8:00")
    return dt.datetime.combine(date, dt.time(*divmod(minute, 60)))


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
        return day_spans(field_hours(text))
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
