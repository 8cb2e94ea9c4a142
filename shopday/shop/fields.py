"""Kinds of fields: how the text in a file becomes a value, and the reverse."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BeforeValidator,
    Field,
    PlainSerializer,
    SerializationInfo,
    Strict,
    ValidationInfo,
)

from shopday.shop import quantities as q
from shopday.shop.ratios import ratio_of
from shopday.text.wrong_input import WrongInput


def _read(parse: Callable[[Any], Any]) -> BeforeValidator:
    """Parse text. Other values are accepted unchanged from Python code, but not from a file."""

    def read(value: Any, info: ValidationInfo) -> Any:
        return parse(value) if info.context is WRITTEN or _has_text(value) else value

    return BeforeValidator(read)


def _write(text: Callable[[Any], str | list[str]]) -> PlainSerializer:
    """In the context `WRITTEN` a value is dumped as it is written in a file; otherwise it stays a number."""

    def write(value: Any, info: SerializationInfo) -> Any:
        return text(value) if info.context is WRITTEN and not _has_text(value) else value

    return PlainSerializer(write)


def _spans_text(spans: tuple[tuple[int, int], ...]) -> list[str]:
    return [q.span_text(span) for span in spans]


def _has_text(value: Any) -> bool:
    """True for text and lists with text. A `takes` of ("minutes", 30) is a parsed value, so tuples do not count."""
    return isinstance(value, str) or (isinstance(value, list) and any(isinstance(v, str) for v in value))


def _sensible_year(value: dt.date) -> dt.date:
    if not 2000 <= value.year < 2200:
        raise WrongInput(f"the year {value.year} is out of reach", "write one from 2000 to 2199")
    return value


def _shorter_first(value: tuple[int, int]) -> tuple[int, int]:
    if value[0] > value[1]:
        raise WrongInput("the shortest is longer than the longest", "write the shorter one first")
    return value


def _a_ratio(value: str) -> str:
    if value:
        ratio_of(value)
    return value


def _wall_clock(value: dt.datetime) -> dt.datetime:
    if value.tzinfo is not None:
        raise WrongInput(
            "it has a UTC offset", "write the shop's own time without one, as 2026-12-19T10:00:00"
        )
    if value.second or value.microsecond:
        raise WrongInput("it has seconds", "write whole minutes, as 2026-12-19T10:00:00")
    return value


WRITTEN = {"written": True}
"""The validation context for values from a file: `takes = 30` there is a fault (30 of what?)."""

Id = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=60)]
Whole = Annotated[int, Strict()]
Number = Annotated[float, Strict(), Field(allow_inf_nan=False)]
Flag = Annotated[bool, Strict()]
Date = Annotated[dt.date, Strict(), AfterValidator(_sensible_year)]
DateTime = Annotated[dt.datetime, Strict(), AfterValidator(_sensible_year), AfterValidator(_wall_clock)]
MixRatio = Annotated[str, AfterValidator(_a_ratio)]
Minutes = Annotated[int, Field(ge=0), _read(q.minutes), _write(q.minutes_text)]
Spread = Annotated[tuple[Minutes, Minutes], AfterValidator(_shorter_first)]
Degrees = Annotated[float, _read(q.read_degrees), _write(q.degrees_text)]
DaySpan = Annotated[tuple[int, int], _read(q.day_span), _write(q.span_text)]
DaySpans = Annotated[tuple[tuple[int, int], ...], _read(q.day_spans), _write(_spans_text)]
Takes = Annotated[
    tuple[Literal["minutes", "workdays"], int], _read(q.minutes_or_workdays), _write(q.takes_text)
]
