"""What was done: each day's work and its length, with the estimate."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from shopday.planning.encoding.actual_times import WorkSpell, shared
from shopday.planning.encoding.progress import Progress, progress
from shopday.planning.plan import Moment, Plan, PlannedStep, elapsed, later
from shopday.text.durations import work_text
from shopday.text.times import from_to


@dataclass(frozen=True, slots=True)
class WorkedStep:
    """A pass on one day, from its first minute to its last. Of one whose start was not logged only the end is known,
    and no minutes count.

    minutes: worked on it that day; each minute of a person counts once.
    total:   minutes worked on it on all days so far.
    """

    step: PlannedStep
    start: Moment
    end: Moment
    minutes: int
    total: int

    @property
    def clock(self) -> str:
        """From when to when, or when it was finished: "8:00–10:00", "10:00"."""
        return from_to(self.start, None if self.step.unclocked else self.end)


@dataclass(frozen=True, slots=True)
class WorkedDay:
    """A day and its passes in the order of the clock."""

    date: dt.date
    steps: tuple[WorkedStep, ...]

    @property
    def minutes(self) -> int:
        return sum(worked.minutes for worked in self.steps)

    @property
    def unclocked(self) -> int:
        """How many passes have no logged start."""
        return sum(worked.step.unclocked for worked in self.steps)


def worked_text(day: WorkedDay) -> str:
    """The hours of a day, and what they do not count: "3h 20m, and 2 without a logged start"."""
    more = f", and {day.unclocked} without a logged start" if day.unclocked else ""
    return f"{work_text(day.minutes)}{more}"


def worked_days(plan: Plan, gone: Iterable[PlannedStep]) -> tuple[WorkedDay, ...]:
    """Every day with work, the latest first. gone: work on jobs that the plan no longer has."""
    spans: dict[dt.date, list[tuple[PlannedStep, Moment, Moment]]] = defaultdict(list)
    for step in (*plan.steps, *gone):
        if step.kind == "work" and step.state != "planned":
            for start, end in _worked(step, plan.now):
                spans[start.date()].append((step, start, end))
    minutes = {
        date: shared(_spell(*span) for span in of_day if not span[0].unclocked)
        for date, of_day in spans.items()
    }
    totals: dict[tuple[str, int], float] = defaultdict(float)
    for of_day in minutes.values():
        for key, worked in of_day.items():
            totals[key] += worked
    return tuple(
        WorkedDay(date, _steps(spans[date], minutes[date], totals)) for date in sorted(spans, reverse=True)
    )


def so_far(plan: Plan, step: PlannedStep, now: Moment, gone: Iterable[PlannedStep] = ()) -> Progress:
    """The progress of a step as Done tells it: minutes shared with other work count in part. gone: work on jobs that
    the plan no longer has."""
    stands = progress(step, now)
    if step.unclocked:
        return stands
    spells = (
        _spell(other, start, min(end, now, key=dt.datetime.timestamp))
        for other in (*plan.steps, *gone)
        if other.kind == "work" and other.state != "planned" and not other.unclocked
        for start, end in other.stretches
        if elapsed(start, end) > 0 and elapsed(start, now) > 0 and elapsed(step.start, end) > 0
    )
    worked = round(shared(spells).get(step.key, 0))
    return Progress(worked, stands.left, max(0, worked - step.work) if step.state == "under way" else 0)


def _worked(step: PlannedStep, now: Moment) -> list[tuple[Moment, Moment]]:
    """Its stretches up to now, each within one date; of a pass without a logged start, its end alone."""
    if step.unclocked:
        return [(step.end, step.end)]
    cut = (_by_day(start, min(end, now, key=dt.datetime.timestamp)) for start, end in step.stretches)
    return [piece for pieces in cut for piece in pieces]


def _by_day(start: Moment, end: Moment) -> list[tuple[Moment, Moment]]:
    """Cut a stretch into pieces within one date each."""
    pieces = []
    while elapsed(start, end) > 0:
        midnight = dt.datetime.combine(start.date() + dt.timedelta(days=1), dt.time(), start.tzinfo)
        last = later(end, 0) if midnight.timestamp() >= end.timestamp() else midnight
        pieces.append((start, last))
        start = last
    return pieces


def _spell(step: PlannedStep, start: Moment, end: Moment) -> WorkSpell:
    return (int(start.timestamp()) // 60, int(end.timestamp()) // 60), step.key, step.people


def _steps(
    spans: list[tuple[PlannedStep, Moment, Moment]],
    minutes: dict[tuple[str, int], float],
    totals: dict[tuple[str, int], float],
) -> tuple[WorkedStep, ...]:
    found: dict[tuple[str, int], tuple[PlannedStep, Moment, Moment]] = {}
    for step, start, end in sorted(spans, key=lambda span: span[1].timestamp()):
        first = found[step.key][1] if step.key in found else start
        found[step.key] = step, first, end
    return tuple(
        WorkedStep(step, start, end, round(minutes.get(key, 0)), round(totals.get(key, 0)))
        for key, (step, start, end) in found.items()
    )
