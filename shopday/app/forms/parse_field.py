"""Readers for lines of a form; each returns the value for the file, or raises ValueError, which says what would be
right."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from shopday.shop import parse_moment, quantities


def field_day(today: dt.date) -> Callable[[str], dt.date]:
    """A reader for dates as people say them; `today` is the current day."""
    return lambda typed: parse_moment.parse_day(typed, today)


def field_past_day(today: dt.date) -> Callable[[str], dt.date]:
    """Like `field_day`, for a day in the past."""
    return lambda typed: parse_moment.parse_past_day(typed, today)


def field_duration(typed: str) -> str:
    """The duration as it was typed, checked."""
    quantities.minutes(typed)
    return typed


def field_degrees(typed: str) -> str:
    quantities.read_degrees(typed)
    return typed


def field_amount(most: int) -> Callable[[str], float]:
    """A reader for a number from 0 to `most`, with a point or a comma."""

    def read(typed: str) -> float:
        try:
            amount = float(typed.replace(",", "."))
        except ValueError:
            amount = -1
        if not 0 <= amount <= most:
            raise ValueError(f"write a number from 0 to {most}")
        return amount

    return read


def field_yes_no(typed: str) -> bool:
    if typed.lower() not in ("yes", "no", "y", "n"):
        raise ValueError("write yes or no")
    return typed.lower().startswith("y")
