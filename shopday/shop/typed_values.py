"""Readers for answers to questions; each returns the value for the file, or raises ValueError, which says what would
be right."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable

from shopday.shop import quantities
from shopday.text.times import read_clock


def field_hours(typed: str) -> list[str]:
    """The spans of a day, separated by commas, as they stand in a file."""
    spans = quantities.day_spans([_of_files(piece) for piece in typed.split(",")])
    return [quantities.span_text(span) for span in spans]


def field_span(typed: str) -> str:
    """One span of a day, as it stands in a file."""
    return quantities.span_text(quantities.day_span(_of_files(typed)))


def _of_files(span: str) -> str:
    """A span as people write it, "8-12", "8:00–12:00", "8.30 am to 1 pm", in the form of the files; any other text is
    unchanged."""
    start, *ends = _BETWEEN.split(span.strip())
    if len(ends) != 1:
        return span.strip()
    first, last = _clock_or_hour(start), _clock_or_hour(ends[0])
    if first is None or (last is None and ends[0] not in (MIDNIGHT, MIDNIGHT[:2])):
        return span.strip()
    until = f"{last:%H:%M}" if last is not None and last != dt.time() else MIDNIGHT
    return f"{first:%H:%M}-{until}"


def _clock_or_hour(typed: str) -> dt.time | None:
    return read_clock(f"{typed}:00" if typed.isdecimal() else _HOUR.sub(r"\1:\2", typed))


_BETWEEN = re.compile(r"\s*(?:[-–]|\bto\b|\buntil\b)\s*")
_HOUR = re.compile(r"^(\d{1,2})[.h](\d\d)\b", re.ASCII)
MIDNIGHT = "24:00"
"""The end of a day."""


def field_whole(least: int, most: int) -> Callable[[str], int]:
    def read(typed: str) -> int:
        if not (typed.isascii() and typed.isdigit() and least <= int(typed[:9]) <= most):
            raise ValueError(f"write a whole number from {least} to {most}")
        return int(typed)

    return read


def field_list(typed: str) -> list[str]:
    return [piece.strip() for piece in typed.split(",") if piece.strip()]


def field_choice(*choices: str) -> Callable[[str], str]:
    def read(typed: str) -> str:
        if typed not in choices:
            raise ValueError(f"write {', '.join(choices[:-1])} or {choices[-1]}")
        return typed

    return read
