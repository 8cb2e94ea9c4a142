"""A clock in pieces: spans of starts whose end is a linear function of the start, rounded down to a minute.

They are found by trying every minute, so the pieces are the clock itself and not an approximation.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shopday.scheduler.model.calendars import MinuteSpan
from shopday.scheduler.model.clocks import Clock, RatedClock

SCALE = 1 << 20
"""Slopes are whole multiples of 1/SCALE."""


@dataclass(frozen=True, slots=True)
class ClockPiece:
    """For starts from `first` to `last`, the end is (slope * start + shift) // SCALE, in minutes from now."""

    first: int
    last: int
    slope: int
    shift: int

    @property
    def gap(self) -> int | None:
        """The minutes between start and end, if they are the same throughout; else None."""
        return self.shift // SCALE if self.slope == SCALE else None


def clock_pieces(clock: Clock, amount: int, now: int, spans: Iterable[MinuteSpan]) -> list[ClockPiece]:
    """The pieces for all starts in these half-open spans of minutes from now, in order."""
    slopes = _slopes(clock)
    minutes = ((t, clock.after(now + t, amount) - now) for a, b in spans for t in range(a, b))
    return list(_pieces(minutes, slopes))


def _slopes(clock: Clock) -> list[int]:
    """All rates at a start over rates at an end: how far the end moves when the start moves by a minute."""
    rates = set(clock.rates) if isinstance(clock, RatedClock) else {1.0}
    return sorted({round(SCALE * a / b) for a in rates for b in rates}, key=lambda slope: slope != SCALE)


def _pieces(minutes: Iterable[tuple[int, int]], slopes: list[int]) -> Iterator[ClockPiece]:
    """Each piece extends as long as some slope has a shift that fits all its minutes."""
    first = last = 0
    fits: dict[int, tuple[int, int]] = {}
    for start, end in minutes:
        again = _narrowed(fits, start, end)
        if not again:
            if fits:
                yield _piece(first, last, fits)
            first, again = start, _narrowed(dict.fromkeys(slopes, (-(1 << 62), 1 << 62)), start, end)
        last, fits = start, again
    if fits:
        yield _piece(first, last, fits)


def _narrowed(fits: dict[int, tuple[int, int]], start: int, end: int) -> dict[int, tuple[int, int]]:
    """The slopes that fit one more minute, each with its least and greatest shift."""
    out = {}
    for slope, (least, most) in fits.items():
        at = SCALE * end - slope * start
        least, most = max(least, at), min(most, at + SCALE - 1)
        if least <= most:
            out[slope] = least, most
    return out


def _piece(first: int, last: int, fits: dict[int, tuple[int, int]]) -> ClockPiece:
    slope, (least, most) = next(iter(fits.items()))
    if slope == SCALE:
        return ClockPiece(first, last, slope, most // SCALE * SCALE)
    return ClockPiece(first, last, slope, (least + most) // 2)
