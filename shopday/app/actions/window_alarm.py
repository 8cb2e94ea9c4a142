"""Windows about to close: one bell and one toast, and a countdown in the last minutes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.text.durations import countdown_text
from shopday.text.safe import clean
from shopday.text.times import time_of

if TYPE_CHECKING:
    from shopday.planning.questions.dashboard_types import WaitingItem

ANNOUNCED_MINUTES = 30
"""Minutes before a window closes from which it is announced and counted down."""


def closing_soon(waits: Sequence[WaitingItem], now: dt.datetime) -> Iterator[WaitingItem]:
    """Windows that close within SOON minutes and are not missed yet."""
    for wait in waits:
        closes = wait.closes or wait.until
        if wait.closing and closes is not None and 0 < _seconds(now, closes) <= ANNOUNCED_MINUTES * 60:
            yield wait


def countdown_line(wait: WaitingItem, now: dt.datetime) -> Content:
    """ "! 12m 05s left, until 10:17: Buff off"."""
    closes = wait.closes or wait.until or now
    left = countdown_text(_seconds(now, closes))
    what = wait.next or wait.step.label
    return Content.assemble(
        (f"! {left} left", "$urgent"), f", until {time_of(closes)}: ", (clean(what), "bold")
    )


def _seconds(start: dt.datetime, end: dt.datetime) -> float:
    """Real seconds from one moment to another, also across a clock change."""
    return end.timestamp() - start.timestamp()


class WindowAlarm:
    """Rings once for each window. announce: shows the text that goes with the bell."""

    def __init__(self, announce: Callable[[str], object]) -> None:
        self._announce = announce
        self._rung: set[tuple[str, int, dt.datetime]] = set()

    def ring(self, waits: Sequence[WaitingItem], now: dt.datetime) -> None:
        for wait in closing_soon(waits, now):
            closes = wait.closes or wait.until or now
            key = (*wait.step.key, closes)
            if key not in self._rung:
                self._rung.add(key)
                what = wait.next or wait.step.label
                self._announce(f"{what}: the window closes at {time_of(closes)}")
