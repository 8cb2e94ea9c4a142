"""Calendars against counting minute by minute."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from shopday.scheduler import Calendar, merge_spans

SPANS = st.lists(
    st.tuples(st.integers(0, 120), st.integers(0, 30)).map(lambda x: (x[0], x[0] + x[1])), max_size=8
)
MINUTES = st.integers(-10, 160)


def minutes(spans: list[tuple[int, int]]) -> list[int]:
    return sorted({minute for a, b in spans for minute in range(a, b)})


@given(SPANS)
def test_merged_spans_hold_the_same_minutes_and_do_not_touch(spans: list[tuple[int, int]]) -> None:
    out = merge_spans(spans)
    assert minutes(list(out)) == minutes(spans)
    assert all(b < c for (_, b), (c, _) in pairwise(out))


@given(SPANS, SPANS)
def test_what_both_have_open(left: list[tuple[int, int]], right: list[tuple[int, int]]) -> None:
    both = Calendar.of(left) & Calendar.of(right)
    assert minutes(list(both.spans)) == sorted(set(minutes(left)) & set(minutes(right)))


@given(SPANS, MINUTES)
def test_open_and_when_it_opens_next(spans: list[tuple[int, int]], at: int) -> None:
    calendar, opened = Calendar.of(spans), minutes(spans)
    span = calendar.span_at(at)
    assert (span is not None) == (at in opened)
    assert span is None or (span in calendar.spans and span[0] <= at < span[1])
    assert calendar.open_from(at) == next((minute for minute in opened if minute >= at), None)
    assert calendar.worked(at) == sum(minute < at for minute in opened)


@given(SPANS, MINUTES, st.integers(0, 40))
def test_work_is_over_after_so_many_open_minutes(spans: list[tuple[int, int]], start: int, work: int) -> None:
    calendar = Calendar.of(spans)
    ahead = [minute for minute in minutes(spans) if minute >= start]
    end = calendar.finish(start, work)
    if work == 0:
        assert end == start
    elif work > len(ahead):
        assert end is None
    else:
        assert end == ahead[work - 1] + 1
        assert minutes(list(calendar.stretches(start, work))) == ahead[:work]


@given(SPANS, MINUTES, st.integers(1, 40))
def test_the_way_back_is_never_after_a_start_that_ends_late_enough(
    spans: list[tuple[int, int]], end: int, work: int
) -> None:
    calendar = Calendar.of(spans)
    late_enough = [s for s in minutes(spans) if (calendar.finish(s, work) or -1) >= end]
    if late_enough:
        assert calendar.latest_start(end, work) <= late_enough[0]


@given(SPANS, MINUTES, st.integers(1, 40))
def test_the_way_back_finds_the_last_start_that_is_over_in_time(
    spans: list[tuple[int, int]], end: int, work: int
) -> None:
    calendar = Calendar.of(spans)
    in_time = [s for s in minutes(spans) if (over := calendar.finish(s, work)) is not None and over <= end]
    if calendar.spans:
        assert calendar.latest_start(end, work) == (max(in_time) if in_time else calendar.starts[0])


def test_the_calendar_that_is_always_open_has_no_end() -> None:
    always = Calendar.always()
    assert always.finish(-5, 10) == 5
    assert always.open_from(7) == 7
