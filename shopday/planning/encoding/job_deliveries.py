"""JobDeliveries: the scheduler's Delivery of each job, with its promise and its reserve."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from shopday.planning.encoding.actual_times import actual_minutes
from shopday.planning.encoding.encoded_problem import due
from shopday.planning.encoding.open_hours import OpenHours, Zone
from shopday.planning.encoding.passes import Pass
from shopday.planning.encoding.reserve import Left, Overrun, Promise, lateness, left_to_do, overrun, reserve
from shopday.planning.odds.distributions import Pert
from shopday.scheduler import Delivery, Placed, Task
from shopday.shop.folder import ShopFolder


class JobDeliveries:
    """Makes the deliveries.

    stood: places a task that is over.
    every: all passes, with those of jobs that are over.
    """

    def __init__(
        self,
        folder: ShopFolder,
        hours: OpenHours,
        zone: Zone,
        now: int,
        stood: Callable[[Task], Placed],
        every: Iterable[Pass],
    ) -> None:
        self.folder, self.shop, self.hours, self.zone = folder, folder.shop, hours, zone
        self.now, self.stood, self.every = now, stood, tuple(every)

    def of(
        self, jobs: tuple[str, ...], passes: tuple[Pass, ...], tasks: tuple[Task, ...]
    ) -> tuple[Delivery, ...]:
        """One delivery per job, from the passes and their tasks."""
        mine: list[list[Task]] = [[] for _ in jobs]
        for task in tasks:
            mine[task.job].append(task)
        deliveries = map(self._job, jobs, mine)
        if not self.shop.rules.reserve:
            return tuple(deliveries)
        left = left_to_do(passes, tasks, _lateness(passes), self.now)
        runs = self._overrun()
        return tuple(self._with_reserve(n, job, left, runs) for n, job in enumerate(deliveries))

    def _job(self, id: str, mine: list[Task]) -> Delivery:
        counts = not all(task.fixed is not None and self.stood(task).complete <= self.now for task in mine)
        return Delivery(self.folder.jobs[id].weight, due(self.zone, self.folder.jobs[id]), counts)

    def _with_reserve(self, n: int, job: Delivery, left: Mapping[int, Left], runs: Overrun) -> Delivery:
        if job.due is None:
            return job
        makers = [person for person in self.shop.people if person.role == "maker"]
        calendars = [self.hours.calendars[self.hours.person(maker)] for maker in makers]
        opened = sum(c.worked(job.due) - c.worked(self.now) for c in calendars)
        promise = Promise(n, job.due - self.now, opened, len(makers))
        return job._replace(safe_by=job.due - (reserve(promise, left, runs) if job.counts else 0))

    def _overrun(self) -> Overrun:
        """How far work of the live jobs overran, as a multiple of its estimate."""
        taken = actual_minutes((p for p in self.every if p.finished and p.base), self.hours)
        return overrun((p.base, taken[p.key]) for p in self.every if taken.get(p.key))


def _lateness(passes: tuple[Pass, ...]) -> dict[int, Pert]:
    """By pass that is still away or to arrive: how much later than planned it may be, in minutes."""
    absent = (i for i, p in enumerate(passes) if p.step.absent and not p.finished)
    return {i: lateness(passes[i]) for i in absent}
