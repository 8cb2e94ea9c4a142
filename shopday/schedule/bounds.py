"""Lower bounds: what no schedule can beat, from critical paths over calendars and the work of the people."""

from __future__ import annotations

from shopday.schedule.building import Builder, Built
from shopday.schedule.placement import Moments, NoPlace, WindowMissed


class Bounds:
    """Floors of each job's delivery and of both totals.

    floors: per job, the delivery when nothing else is in the shop's way: every task at the earliest
            minute its calendar and what it waits for allow. None where the job cannot be placed.
    cost:   the cost (`Builder`) of delivering every job at its floor.
    """

    def __init__(self, builder: Builder) -> None:
        self.builder = builder
        deliveries = self._critical_paths()
        counted = [builder.counts(j) for j in range(len(deliveries))]
        self.floors: tuple[int | None, ...] = tuple(
            d if c else None for d, c in zip(deliveries, counted, strict=True)
        )
        self.late, self.finish = builder.totals_of({j: d for j, d in enumerate(deliveries) if counted[j]})
        self.cost = sum(builder.job_cost(j, d)[0] for j, d in enumerate(deliveries))

    def _critical_paths(self) -> list[int]:
        """Earliest delivery of each job with all resources free."""
        builder, compiled = self.builder, self.builder.compiled
        moments: list[Moments | None] = list(builder.start.moments)
        empty = builder.placer.empty
        deliveries = [builder.problem.now] * len(builder.problem.jobs)
        for i in sorted(range(len(moments)), key=compiled.rank.__getitem__):
            if i in builder.refused:
                continue
            if moments[i] is None:
                try:
                    moments[i] = builder.placer.alone(i, empty, moments)
                except (NoPlace, WindowMissed):
                    continue
            job = compiled.made[i].task.job
            deliveries[job] = max(deliveries[job], (moments[i] or (0, 0, 0))[2])
        return deliveries

    def reached(self, built: Built) -> bool:
        """Nothing better exists."""
        return built.cost <= self.cost

    def totals(self, late: int, finish: int) -> tuple[int, int]:
        """Bounds of the two totals, given a schedule that has these."""
        return min(late, self.late), min(finish, self.finish)
