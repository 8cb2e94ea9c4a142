"""Values as people type them on the command line; each reader raises ArgumentTypeError with what is right."""

from __future__ import annotations

import datetime as dt
import math
from argparse import ArgumentTypeError

YEARS = range(1990, 2200)

THOROUGH, PROVING = 1.0, 8.0
"""Efforts of the search: the usual one, and one that goes on until little more can be hoped for."""


def moment(text: str) -> dt.datetime:
    """A date and time, of the shop's zone where it has no offset."""
    try:
        found = dt.datetime.fromisoformat(text.strip())
    except ValueError:
        raise ArgumentTypeError(f"{text!r} is no time; write it as 2026-12-01T08:00") from None
    if found.year not in YEARS:
        raise ArgumentTypeError(f"{text!r} is out of reach; years go from {YEARS[0]} to {YEARS[-1]}")
    return found


def at(text: str) -> dt.datetime | dt.time:
    """A date and time, or a time of today."""
    try:
        return dt.time.fromisoformat(text.strip().zfill(5)).replace(tzinfo=None)
    except ValueError:
        pass
    try:
        return moment(text)
    except ArgumentTypeError:
        raise ArgumentTypeError(f"{text!r} is no time; write it as 14:20 or 2026-12-01T14:20") from None


def on_day(when: dt.datetime | dt.time | None, today: dt.date) -> dt.datetime | None:
    """What `at` read, as a time of the shop."""
    return dt.datetime.combine(today, when) if isinstance(when, dt.time) else when


def names(text: str) -> tuple[str, ...]:
    """Names with commas between them."""
    found = tuple(filter(None, map(str.strip, text.split(","))))
    if not found:
        raise ArgumentTypeError(f"{text!r} is no name; write one, or several as ana,kim")
    return found


def effort(text: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not 0 <= number <= 100:
        raise ArgumentTypeError(f"{text!r} is no effort; write a number from 0 to 100")
    return number


MOST_DRAWS = 100_000


def draws(text: str) -> int:
    return _number(text, 1, MOST_DRAWS, "number of draws")


def seed(text: str) -> int:
    return _number(text, 0, 10**9, "seed")


def port(text: str) -> int:
    return _number(text, 1, 65535, "port")


def _number(text: str, least: int, most: int, what: str) -> int:
    """A whole number; more digits than a number of them can have are none."""
    if not (text.isascii() and text.isdigit() and least <= int(text[:12]) <= most and len(text) <= 12):
        raise ArgumentTypeError(f"{text!r} is no {what}; write a number from {least} to {most}")
    return int(text)
