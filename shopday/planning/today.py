"""One day: what to take up now, the day in order of the clock, and what could be started instead."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from shopday.planning.plan import Moment, Plan, PlannedStep

if TYPE_CHECKING:
    from shopday.planning.workshop import Workshop

LineKind = Literal["work", "break", "ready", "window", "arrives", "leaves", "deliver"]


@dataclass(frozen=True, slots=True)
class Line:
    """One moment of the day. `until` is set where it lasts: work and breaks."""

    at: Moment
    text: str
    kind: LineKind
    step: PlannedStep | None = None
    until: Moment | None = None


@dataclass(frozen=True, slots=True)
class Alternative:
    """A step that could be taken up now as well, and in a sentence why it is not first."""

    step: PlannedStep
    why_not_first: str


@dataclass(frozen=True, slots=True)
class Day:
    """`take_up`: the step under way or to start now or next this day; `until`: when its first stretch ends."""

    date: dt.date
    take_up: PlannedStep | None
    until: Moment | None
    lines: tuple[Line, ...]
    could_start: tuple[Alternative, ...] = ()


def day(workshop: Workshop, plan: Plan, date: dt.date | None = None) -> Day:
    """The plan of one date (today when left out)."""
    return Day(date or plan.now.date(), None, None, ())
