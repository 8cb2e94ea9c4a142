"""Spots: where a task is placed once all before it have freed what it needs, cached by the minute from which it may
start."""

from __future__ import annotations

from dataclasses import dataclass

from shopday.scheduler.model.calendars import FOREVER
from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.placing.earliest_delivery import EarliestDelivery
from shopday.scheduler.placing.fits import Fit, Profiles
from shopday.scheduler.placing.placer import Placer

MAKER = 0
"""The number of the maker among what is free from some minute on."""

Free = tuple[tuple[int, int], ...]
"""(number, from when it is free again)."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place of one task.

    delivery: the earliest delivery of its job after it.
    frees:    what it uses of single things and of the air, with the minute at which it frees them.
    units:    what it uses of counted resources.
    clear:    from when its phases need air without dust (FOREVER: they do not).
    """

    moments: Moments
    delivery: int
    frees: Free
    units: tuple[tuple[int, int, int], ...]
    clear: int


@dataclass(frozen=True, slots=True)
class Kept:
    """Which resources and which air of a task are tracked from task to task, and under which numbers.

    single:       number by resource.
    counted:      (number, units) by resource.
    dusts, calms: the number of the air that its dust, or its need of still air, leaves taken (-1: neither).
    """

    single: dict[int, int]
    counted: dict[int, tuple[int, int]]
    dusts: int
    calms: int


class Spots(dict[int, Spot | None]):
    """The spots of one task by the minute from which it may start; None past the end of the calendars.

    profiles: begun work and appointments, which every spot avoids.
    grown:    its window was missed.
    """

    def __init__(
        self, i: int, placer: Placer, reach: EarliestDelivery, profiles: Profiles, kept: Kept, grown: bool
    ) -> None:
        super().__init__()
        self.i, self.placer, self.reach, self.profiles, self.kept = i, placer, reach, profiles, kept
        self.prepared, self.grown = placer.compiled.prepared[i], grown

    def __missing__(self, minute: int) -> Spot | None:
        fit = self._immediate(minute) if self.prepared.task.starts_immediately else self._fit(minute)
        spot = self[minute] = None if fit is None else self._spot(fit)
        return spot

    def _fit(self, minute: int) -> Fit | None:
        prepared = self.prepared
        deadline = minute - 1 if self.grown else FOREVER
        return self.placer.starts.earliest(prepared, 0, prepared.staff[0], minute, deadline, self.profiles)

    def _immediate(self, minute: int) -> Fit:
        end = self.placer.immediate_end(self.prepared.task, minute)
        return Fit((minute, end, end), 0, False)

    def _spot(self, fit: Fit) -> Spot:
        prepared = self.prepared
        start, end, complete = fit.moments[:3]
        delivery = max(complete, self.reach.delivery(self.i, start))
        if prepared.task.starts_immediately:
            return Spot(fit.moments, delivery, (), (), FOREVER)
        kept = self.kept
        air = self.placer.holds.resources
        until = {MAKER: max(end, start + 1)}
        units, clear, calm = [], FOREVER, end
        last: dict[int, int] = {}
        for r, _, a, b, _ in fit.kept:
            if r >= air:
                clear, calm = min(clear, a), max(calm, b)
            else:
                last[r] = max(last.get(r, end), b)
        for r, number in kept.single.items():
            until[number] = last.get(r, end)
        for r, (number, count) in kept.counted.items():
            units.append((number, count, last.get(r, end)))
        if kept.dusts >= 0:
            until[kept.dusts] = max(end + prepared.dust_lasts, start + 1)
        if kept.calms >= 0:
            until[kept.calms] = calm
        return Spot(fit.moments, delivery, tuple(until.items()), tuple(units), clear)
