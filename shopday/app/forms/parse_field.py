"""Reading what is typed in a form's line as a value for the file; each raises ValueError with what would be right."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from shopday.app.forms import parse_moment
from shopday.shop import quantities


def field_day(today: dt.date) -> Callable[[str], dt.date]:
    """A reader of dates as people say them on that day."""
    return lambda typed: parse_moment.parse_day(typed, today)


def field_past_day(today: dt.date) -> Callable[[str], dt.date]:
    """As `field_day`, for a day that has been."""
    return lambda typed: parse_moment.parse_past_day(typed, today)


def field_duration(typed: str) -> str:
    """Kept as it was typed, once it is known to be a duration."""
    quantities.minutes(typed)
    return typed


def field_degrees(typed: str) -> str:
    quantities.read_degrees(typed)
    return typed


def field_span(typed: str) -> str:
    quantities.day_span(typed)
    return typed


def field_amount(most: int) -> Callable[[str], float]:
    """A number from 0 on, with a point or a comma."""

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
