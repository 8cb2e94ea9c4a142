"""Calendars: when something is open, in whole minutes, with queries by bisection."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import accumulate

MinuteSpan = tuple[int, int]

FOREVER = 1 << 40
"""A minute that no plan reaches."""


def merge_spans(spans: Iterable[MinuteSpan]) -> tuple[MinuteSpan, ...]:
    """Sort half-open spans, drop the empty ones and join those that touch."""
    out: list[MinuteSpan] = []
    reach = -FOREVER - 1
    for span in sorted(spans):
        start, end = span
        if start >= end:
            continue
        if start > reach:
            out.append(span)
            reach = end
        elif end > reach:
            out[-1] = (out[-1][0], end)
            reach = end
    return tuple(out)


def spans_overlap(left: Iterable[MinuteSpan], right: Iterable[MinuteSpan]) -> tuple[MinuteSpan, ...]:
    """The minutes that lie in both of two merged, sorted lists of spans."""
    a, b = list(left), list(right)
    out: list[MinuteSpan] = []
    i = j = 0
    while i < len(a) and j < len(b):
        (from_a, to_a), (from_b, to_b) = a[i], b[j]  # `min` and `max` would take twice as long
        start = from_a if from_a > from_b else from_b
        if to_a < to_b:
            if start < to_a:
                out.append((start, to_a))
            i += 1
        else:
            if start < to_b:
                out.append((start, to_b))
            j += 1
    return tuple(out)


@dataclass(frozen=True, slots=True)
class Calendar:
    """Merged half-open spans of open minutes, with the open minutes before each."""

    spans: tuple[MinuteSpan, ...]
    starts: list[int] = field(init=False, repr=False, compare=False)
    ends: list[int] = field(init=False, repr=False, compare=False)
    before: list[int] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        starts = [start for start, _ in self.spans]
        ends = [end for _, end in self.spans]
        lengths = (end - start for start, end in self.spans)
        object.__setattr__(self, "starts", starts)
        object.__setattr__(self, "ends", ends)
        object.__setattr__(self, "before", list(accumulate(lengths, initial=0)))

    @classmethod
    def of(cls, spans: Iterable[MinuteSpan]) -> Calendar:
        """Build from spans in any order."""
        return cls(merge_spans(spans))

    @classmethod
    def always(cls) -> Calendar:
        """Open day and night, forever."""
        return cls(((-FOREVER, FOREVER),))

    def __and__(self, other: Calendar) -> Calendar:
        return Calendar(spans_overlap(self.spans, other.spans))

    def span_at(self, minute: int) -> MinuteSpan | None:
        """The open span that contains this minute, or None."""
        i = bisect_right(self.starts, minute) - 1
        return self.spans[i] if i >= 0 and minute < self.ends[i] else None

    def open_from(self, minute: int) -> int | None:
        """The first open minute at or after this one, or None if it never opens again."""
        i = bisect_right(self.ends, minute)
        return max(minute, self.starts[i]) if i < len(self.starts) else None

    def worked(self, minute: int) -> int:
        """The number of open minutes before this one, counted from the first span."""
        i = bisect_right(self.starts, minute) - 1
        if i < 0:
            return 0
        return self.before[i] + min(minute, self.ends[i]) - self.starts[i]

    def minute_at(self, worked: int) -> int:
        """The minute at which this many open minutes have passed; the inverse of `worked`. The first and the last
        span count as unlimited."""
        i = max(0, min(bisect_right(self.before, worked), len(self.starts)) - 1)
        return self.starts[i] + worked - self.before[i]

    def finish(self, start: int, work: int) -> int | None:
        """The minute at which `work` open minutes from `start` are over, or None past the last span."""
        if work == 0:
            return start
        goal = self.worked(start) + work
        i = bisect_left(self.before, goal, 1) - 1
        return self.starts[i] + goal - self.before[i] if i < len(self.starts) else None

    def latest_start(self, end: int, work: int) -> int:
        """A start no later than every start whose `work` ends at or after `end`; the inverse of `finish`."""
        goal = self.worked(end) - work
        if goal < 0:
            return self.starts[0] if self.starts else end
        i = max(0, bisect_right(self.before, goal) - 1)
        return self.starts[i] + goal - self.before[i] if i < len(self.starts) else end

    def stretches(self, start: int, work: int) -> tuple[MinuteSpan, ...]:
        """The parts of open spans in which `work` minutes from `start` are done."""
        if work == 0:
            return ((start, start),)
        end = self.finish(start, work)
        if end is None:
            raise ValueError("the calendar is too short")
        i = bisect_right(self.ends, start)
        out: list[MinuteSpan] = []
        while i < len(self.spans) and self.starts[i] < end:
            out.append((max(start, self.starts[i]), min(end, self.ends[i])))
            i += 1
        return tuple(out)
