"""Amounts: what people write, what it means, and what is refused in which words."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopday.shop import quantities as q
from shopday.shop.models import Away, Step, Wait
from shopday.shop.typed_values import field_hours


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("45m", 45),
        ("2h 30m", 150),
        ("2h30m", 150),
        ("3d", 4320),
        ("1d 2h 3m", 1563),
        ("1.5h", 90),
        (" 20 min ", 20),
        ("2 hours", 120),
        ("3 days", 4320),
        ("0m", 0),
        ("0", 0),
        (0, 0),
        ("3653d", 3653 * 1440),
    ],
)
def test_a_duration_is_whole_minutes(text: Any, minutes: int) -> None:
    assert q.minutes(text) == minutes


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (30, '30 is not a duration in quotes; write "30m"'),
        (1.5, "1.5 is not a duration in quotes"),
        (True, "true is not a duration"),
        (["1h"], "a list is not a duration"),
        ({"h": 1}, "a table is not a duration"),
        (dt.time(8, 30), "08:30:00 is not a duration"),
        ("30", '"30" is not a duration; write it as "45m", "2h 30m" or "3d"'),
        ("", "is not a duration"),
        ("soon", "is not a duration"),
        ("1h 2", "is not a duration"),
        ("1y", "is not a duration"),
        ("-2h", '"-2h" is negative; a duration is 0m or more'),
        ("0.3m", "not a whole number of minutes"),
        ("3654d", "longer than ten years; write at most 3653d"),
        ("999999999d", "longer than ten years"),
        ("5 workdays", "counts workdays"),
        ("٣h", "is not a duration"),
        ("1h\x1b[31m", r"\x1b[31m"),
    ],
)
def test_a_wrong_duration_is_refused(value: Any, said: str) -> None:
    with pytest.raises(ValueError, match=re.escape(said)):
        q.minutes(value)


def test_workdays_are_for_time_away() -> None:
    assert q.minutes_or_workdays("5 workdays") == ("workdays", 5)
    assert q.minutes_or_workdays("1 workday") == ("workdays", 1)
    assert q.minutes_or_workdays("3d") == ("minutes", 4320)
    with pytest.raises(ValueError, match="ten years"):
        q.minutes_or_workdays("9999 workdays")


@pytest.mark.parametrize(
    ("text", "celsius"), [("20C", 20), ("68F", 20), ("-5 C", -5), ("20.5°C", 20.5), ("32f", 0)]
)
def test_temperatures_are_read_in_celsius_and_fahrenheit(text: str, celsius: float) -> None:
    assert q.read_degrees(text) == pytest.approx(celsius)


@pytest.mark.parametrize("value", [20, "20", "20K", "500C", "-99C", "C", None, [], "1e3C"])
def test_a_wrong_temperature_is_refused(value: Any) -> None:
    with pytest.raises(ValueError, match='"20C" or "68F"'):
        q.read_degrees(value)


@pytest.mark.parametrize(
    ("text", "span"), [("08:00-12:00", (480, 720)), ("8:00 – 24:00", (480, 1440)), ("00:00-00:01", (0, 1))]
)
def test_a_span_of_hours_is_read_in_minutes(text: str, span: tuple[int, int]) -> None:
    assert q.day_span(text) == span


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("8-12, 13-17", ["08:00-12:00", "13:00-17:00"]),
        ("9.30 am to 5 pm", ["09:30-17:00"]),
        ("20:15–24", ["20:15-24:00"]),
        ("7h30 until 12", ["07:30-12:00"]),
    ],
)
def test_hours_are_read_as_people_write_them(typed: str, kept: list[str]) -> None:
    assert field_hours(typed) == kept


@pytest.mark.parametrize("typed", ["8", "9-", "-", "9-12-13", "to 9", "9-25", "9-5"])
def test_hours_that_could_mean_anything_are_refused(typed: str) -> None:
    with pytest.raises(ValueError, match=r"span of hours|no such time|ends before"):
        field_hours(typed)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("22:00-02:00", 'split it at midnight: "22:00-24:00", and "00:00-02:00" on the next day'),
        ("12:00-12:00", "the earlier time comes first"),
        ("09:00-24:30", "no such time of day"),
        ("09:60-10:00", "no such time of day"),
        ("8-12", 'write it as "08:00-12:00"'),
        (8, "in quotes"),
    ],
)
def test_a_wrong_span_is_refused(value: Any, said: str) -> None:
    with pytest.raises(ValueError, match=re.escape(said)):
        q.day_span(value)


def test_spans_of_a_day_are_sorted_may_touch_and_must_not_overlap() -> None:
    assert q.day_spans(["13:00-17:00", "08:00-13:00"]) == ((480, 780), (780, 1020))
    assert q.day_spans("08:00-12:00") == ((480, 720),)
    with pytest.raises(ValueError, match="overlap"):
        q.day_spans(["08:00-12:00", "11:59-13:00"])


@given(st.integers(0, q.LONGEST))
def test_minutes_written_are_read_again(amount: int) -> None:
    assert q.minutes(q.minutes_text(amount)) == amount


@given(st.integers(0, 1439), st.integers(1, 1440))
def test_spans_written_are_read_again(start: int, end: int) -> None:
    if start < end:
        assert q.day_span(q.span_text((start, end))) == (start, end)


@given(st.one_of(st.text(), st.integers(), st.floats(), st.none(), st.binary(), st.lists(st.text())))
def test_nothing_but_a_value_error_comes_of_anything(value: Any) -> None:
    for read in (q.minutes, q.minutes_or_workdays, q.read_degrees, q.day_span, q.day_spans):
        said = ""
        try:
            read(value)
        except ValueError as error:
            said = str(error)
        assert said.isprintable()


def test_amounts_are_written_as_in_files() -> None:
    assert q.minutes_text(150) == "2h 30m"
    assert q.minutes_text(0) == "0m"
    assert q.minutes_text(4320) == "3d"
    assert q.takes_text(("workdays", 1)) == "1 workday"
    assert q.takes_text(("minutes", 60)) == "1h"
    assert q.degrees_text(20.0) == "20C"
    assert q.span_text((480, 1440)) == "08:00-24:00"


def test_models_take_numbers_from_python_code() -> None:
    assert Step(id="x", hands_on=30).hands_on == 30
    assert Wait(name="x", takes="2h").takes == 120
    assert Away(takes=("workdays", 5)).takes == ("workdays", 5)
