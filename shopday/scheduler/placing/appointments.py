"""Appointments are reserved before other tasks are placed; tasks that would make one impossible are detected."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence

from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.model.result import Cause, Refusal
from shopday.scheduler.placing.fits import Fit, NoPlace, Profiles
from shopday.scheduler.placing.placer import Placer
from shopday.scheduler.placing.prepared_problem import PreparedProblem

APPOINTING = 400
"""The most crews tried for a schedule that keeps every appointment."""


class Appointments:
    """The tasks that can start at one minute only.

    reserved: those placed before the others.
    latest:   by task, (moment, latest minute, appointment): what appointments require of the tasks they wait for.
    """

    def __init__(self, compiled: PreparedProblem, placer: Placer) -> None:
        self.compiled, self.placer = compiled, placer
        self.reserved: list[int] = []
        self.latest: dict[int, list[tuple[int, int, int]]] = {}

    def reserve_all(self, profiles: Profiles, refused: dict[int, Refusal]) -> dict[int, Fit]:
        """Place every appointment, or as many as can be kept; the others are added to `refused`."""
        tasks = (i for i in range(len(self.compiled.prepared)) if i not in refused and self._can_reserve(i))
        wanted = sorted(tasks, key=lambda i: len(self.compiled.prepared[i].staff))
        fits = self._all_appointed(wanted, profiles) or self._appointed_in_turn(wanted, profiles, refused)
        for i in fits:
            self._reserve(i)
        return fits

    def _all_appointed(self, wanted: Sequence[int], profiles: Profiles) -> dict[int, Fit] | None:
        """Find a crew for every appointment by backtracking; None if that fails, or takes too long."""
        fits: dict[int, Fit] = {}
        stack = [(profiles, self.placer.appointments(wanted[0], profiles))] if wanted else []
        for _ in range(APPOINTING):
            if not stack:
                return None if wanted else fits
            before, more = stack[-1]
            fit = next(more, None)
            if fit is None:
                stack.pop()
                continue
            fits[wanted[len(stack) - 1]] = fit
            if len(stack) == len(wanted):
                return fits
            taken = list(before)
            self.placer.holds.enter(wanted[len(stack) - 1], fit, taken)
            stack.append((taken, self.placer.appointments(wanted[len(stack)], taken)))
        return None

    def _appointed_in_turn(
        self, wanted: Sequence[int], profiles: Profiles, refused: dict[int, Refusal]
    ) -> dict[int, Fit]:
        """The appointments that can be kept, in their order; the others are refused."""
        fits: dict[int, Fit] = {}
        taken = list(profiles)
        for i in wanted:
            try:
                fits[i] = self.placer.appointed(i, taken)
                self.placer.holds.enter(i, fits[i], taken)
            except NoPlace as no:
                self.compiled.refuse(refused, i, no.refusal)
        return fits

    def _can_reserve(self, i: int) -> bool:
        prepared = self.compiled.prepared[i]
        task = prepared.task
        early = task.at is not None and task.fixed is None and not task.going and not task.starts_immediately
        return early and not (prepared.windows and prepared.soft)

    def _reserve(self, i: int) -> None:
        """Turn the lags and hard windows of an appointment into bounds on the tasks it waits for."""
        prepared = self.compiled.prepared[i]
        at = prepared.task.at or 0
        self.reserved.append(i)
        for j, m, offset in prepared.lags:
            self.latest.setdefault(j, []).append((m, at - offset, i))
        for refs, within in prepared.windows:
            j, m, offset = refs[-1]
            self.placer.bounds.setdefault(j, []).append((m, at - within - offset, i))

    def spoiled(self, i: int, moments: Moments, refused: Container[int]) -> Iterator[tuple[int, Refusal]]:
        """The appointments that a task with these moments makes impossible."""
        for m, latest, appointment in self.latest.get(i, ()):
            if moments[m] > latest and appointment not in refused:
                yield appointment, Refusal(Cause.APPOINTMENT, other=i, limit=moments[m])
        for m, soonest, appointment in self.placer.bounds.get(i, ()):
            if moments[m] < soonest and appointment not in refused:
                yield appointment, Refusal(Cause.WINDOW, other=i)
