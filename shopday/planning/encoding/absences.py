"""Steps that need no hands: work sent out of the shop, and deliveries that arrive."""

from __future__ import annotations

from collections.abc import Callable

from shopday.planning.encoding.open_hours import OpenHours
from shopday.planning.encoding.passes import Pass
from shopday.scheduler import Clock, Lag, Task, WeekdayClock, Window


class Clocks:
    """The clocks of a problem. Each is made once and known by its index."""

    def __init__(self) -> None:
        self.made: list[Clock] = []
        self._index: dict[str, int] = {}

    def of(self, key: str, make: Callable[[], Clock]) -> int:
        if key not in self._index:
            self._index[key] = len(self.made)
            self.made.append(make())
        return self._index[key]


class Absences:
    """Makes the tasks of absent steps; `task` returns None for an arrival if the shop never opens again."""

    def __init__(self, hours: OpenHours, clocks: Clocks, now: int) -> None:
        self.hours, self.clocks, self.now = hours, clocks, now

    def task(
        self,
        p: Pass,
        job: int,
        lags: tuple[Lag, ...],
        windows: tuple[Window, ...],
        release: int,
        at: int | None,
    ) -> Task | None:
        left = p.log.started if p.log is not None else None
        back = p.log.finished if p.log is not None else None
        if back is not None:
            return Task(
                job,
                starts_immediately=True,
                lags=lags,
                fixed=(back if left is None else min(left, back), back),
            )
        if p.step.arrives is not None:
            return self._arrival(p, job, lags, windows)
        clock, length = self._outside(p)
        if left is not None:
            end = left + length if clock is None else self.clocks.made[clock].after(left, length)
            if p.expected is not None:
                end = max(left, self.hours.opening(p.expected) or end)
            return Task(job, starts_immediately=True, fixed=(left, self._expected(end)))
        return Task(
            job, starts_immediately=True, lags=lags, windows=windows, adds=_adds(p),
            release=release, at=at, length=length, clock=clock,
        )  # fmt: skip

    def _arrival(self, p: Pass, job: int, lags: tuple[Lag, ...], windows: tuple[Window, ...]) -> Task | None:
        """The delivery arrives when the shop opens on its day; if it is overdue, at the next opening from now."""
        on = p.due_on
        assert on is not None
        overdue = on < self.hours.zone.date(self.now)
        due = self.hours.next_hours(self.now) if overdue else self.hours.opening(on)
        if due is None:
            return None
        if due <= self.now and not lags:
            return Task(job, starts_immediately=True, fixed=(due, due))
        return Task(job, starts_immediately=True, lags=lags, windows=windows, adds=_adds(p), until=due)

    def _expected(self, end: int) -> int:
        """An absence that should have ended already is expected to end at the next opening."""
        return end if end > self.now else self.hours.next_hours(self.now) or self.now

    def _outside(self, p: Pass) -> tuple[int | None, int]:
        assert p.step.away is not None
        kind, amount = p.step.away.takes
        return (None if kind == "minutes" else self.clocks.of("workdays", self._weekdays)), amount

    def _weekdays(self) -> WeekdayClock:
        return self.hours.weekdays


def _adds(p: Pass) -> int | None:
    return p.missed.adds if p.missed else None
