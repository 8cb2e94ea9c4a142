"""Clocks against adding up minute by minute, and against the calendar on the wall."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopday.scheduler import RatedClock, WeekdayClock

RATES = st.sampled_from([0.25, 0.5, 1.0, 2.0])
"""Powers of two add up without rounding."""


@st.composite
def rated(draw: st.DrawFn) -> RatedClock:
    edges = sorted(draw(st.sets(st.integers(0, 100), max_size=5)))
    return RatedClock(tuple(edges), tuple(draw(RATES) for _ in range(len(edges) + 1)))


def counted(clock: RatedClock, start: int, amount: int) -> int:
    """The first minute at which the sum of the rates since the start reaches the amount."""
    minute, passed = start, 0.0
    while passed < amount:
        passed += clock.rates[sum(edge <= minute for edge in clock.edges)]
        minute += 1
    return minute


@given(rated(), st.integers(-30, 130), st.integers(0, 60))
def test_a_rated_clock_adds_up_its_minutes(clock: RatedClock, start: int, amount: int) -> None:
    assert clock.after(start, amount) == counted(clock, start, amount)


@given(rated(), st.integers(-30, 130), st.integers(0, 60))
def test_a_rated_clock_never_ends_earlier_for_starting_later(
    clock: RatedClock, start: int, amount: int
) -> None:
    assert clock.after(start, amount) <= clock.after(start + 1, amount)


@pytest.mark.slow
@given(rated(), st.integers(-30, 130), st.integers(0, 60))
def test_the_way_back_on_a_rated_clock_is_early_enough(clock: RatedClock, end: int, amount: int) -> None:
    late_enough = next(s for s in range(-400, 400) if clock.after(s, amount) >= end)
    assert clock.latest_start(end, amount) <= late_enough


def test_a_rated_clock_needs_a_rate_for_every_span() -> None:
    with pytest.raises(ValueError, match="rate"):
        RatedClock((10,), (1.0,))
    with pytest.raises(ValueError, match="rate"):
        RatedClock((), (0.0,))


CHICAGO = ZoneInfo("America/Chicago")
SPRING = dt.datetime(2027, 3, 14, 8, tzinfo=dt.UTC)
"""02:00 becomes 03:00 there: from -360 to -300 minutes."""


def minute(moment: dt.datetime) -> int:
    return int(moment.timestamp()) // 60


WEEKDAYS = WeekdayClock((minute(SPRING),), (-360, -300))


@given(st.integers(-20 * 1440, 20 * 1440), st.integers(0, 12))
def test_weekdays_on_the_wall(shift: int, amount: int) -> None:
    start = SPRING + dt.timedelta(minutes=shift)
    wall = start.astimezone(CHICAGO).replace(tzinfo=None)
    left = amount
    while left:
        wall += dt.timedelta(days=1)
        left -= wall.weekday() < 5
    assert WEEKDAYS.after(minute(start), amount) == minute(wall.replace(tzinfo=CHICAGO))


@given(st.integers(-20 * 1440, 20 * 1440), st.integers(0, 12))
def test_the_way_back_over_weekdays_is_early_enough(shift: int, amount: int) -> None:
    end = minute(SPRING) + shift
    assert WEEKDAYS.after(WEEKDAYS.latest_start(end, amount), amount) <= end
