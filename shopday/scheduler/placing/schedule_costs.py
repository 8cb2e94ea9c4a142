"""ScheduleCosts: the cost of a schedule, from the deliveries of its jobs."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from shopday.scheduler.placing.built_schedule import IMPOSSIBLE, BuiltSchedule
from shopday.scheduler.placing.prepared_problem import PreparedProblem

LATE_WEIGHT = 30
"""The cost of a minute late, in minutes of finish: enough to come first, not enough to wall the search in."""

SHORT_WEIGHT = 5
"""The cost of a minute of reserve, likewise."""


class ScheduleCosts:
    """Prices the schedules of one problem.

    The cost of a schedule is `late_weight` x the late total plus `short_weight` x the short total plus the finish
    total, plus IMPOSSIBLE for every task without a place. It guides the search; `BuiltSchedule.aim` decides which of
    two schedules is better.

    tails: by task, the least minutes from its completion to the delivery of its job.
    """

    def __init__(self, compiled: PreparedProblem, late_weight: int, short_weight: int) -> None:
        self.compiled = compiled
        self.problem = compiled.problem
        self.late_weight, self.short_weight = late_weight, short_weight
        self.tails = self._tails()
        self._counts = [job.counts for job in self.problem.jobs]

    def leave_out(self, refused: Collection[int]) -> None:
        """Leave jobs with a task refused from the start out of the totals."""
        for i in refused:
            self._counts[self.compiled.prepared[i].task.job] = False

    def job_cost(self, job: int, delivery: int) -> tuple[int, int, int]:
        """What the delivery of a job at a minute adds to the cost, the late total and the short total."""
        if not self._counts[job]:
            return 0, 0, 0
        late, short, finish = self.job_totals(job, delivery)
        return self.late_weight * late + self.short_weight * short + finish, late, short

    def job_totals(self, job: int, delivery: int) -> tuple[int, int, int]:
        """What the delivery of a job at a minute adds to the late, short and finish totals."""
        j = self.problem.jobs[job]
        late = 0 if j.due is None or delivery <= j.due else j.weight * (delivery - j.due)
        short = 0 if j.safe_by is None or delivery <= j.safe_by else j.weight * (delivery - j.safe_by)
        return late, short, j.weight * (delivery - self.problem.now)

    def counts(self, job: int) -> bool:
        """True if a job is in the totals: not delivered, and with no task refused from the start."""
        return self._counts[job]

    def totals(self, built: BuiltSchedule) -> tuple[int, int, int]:
        """The late, short and finish totals of a schedule, in weighted minutes."""
        deliveries: dict[int, int] = {}
        lost = {self.compiled.prepared[i].task.job for i in built.refused}
        for i, moments in enumerate(built.moments):
            job = self.compiled.prepared[i].task.job
            if moments is not None and job not in lost and self.problem.jobs[job].counts:
                deliveries[job] = max(deliveries.get(job, moments[2]), moments[2])
        each = [self.job_totals(job, delivery) for job, delivery in deliveries.items()]
        late, short, finish = map(sum, zip(*each, strict=True)) if each else (0, 0, 0)
        return late, short, finish

    def _cost_of(self, deliveries: Sequence[int]) -> int:
        return sum(self.job_cost(j, d)[0] for j, d in enumerate(deliveries))

    def price(self, start: BuiltSchedule) -> None:
        """Set the cost of the deliveries known before anything is placed."""
        profiles, deliveries, *_ = start.marks[0]
        start.late = sum(self.job_cost(j, d)[1] for j, d in enumerate(deliveries))
        start.short = sum(self.job_cost(j, d)[2] for j, d in enumerate(deliveries))
        start.cost = self._cost_of(deliveries)
        start.marks = [(profiles, deliveries, start.cost, start.late, start.short)]

    def repriced(self, built: BuiltSchedule) -> BuiltSchedule:
        """The schedule at the present weights of the totals."""

        def price(deliveries: Sequence[int], cost: int) -> int:
            return cost // IMPOSSIBLE * IMPOSSIBLE + self._cost_of(deliveries)

        marks = [
            (profiles, at, price(at, cost), late, short) for profiles, at, cost, late, short in built.marks
        ]
        return replace(built, marks=marks, cost=price(marks[-1][1], built.cost))

    def _tails(self) -> list[int]:
        """By task, the least minutes from its completion to the delivery of its job."""
        compiled = self.compiled
        tails = [0] * len(compiled.prepared)
        for i in sorted(range(len(tails)), key=compiled.rank.__getitem__, reverse=True):
            prepared = compiled.prepared[i]
            for s in compiled.successors[i]:
                after = compiled.prepared[s]
                if after.task.job == prepared.task.job and after.task.fixed is None:
                    lag = min((o for j, m, o in after.lags if j == i and m == 2), default=None)
                    if lag is not None:
                        tails[i] = max(tails[i], tails[s] + self._least(s) + lag)
        return tails

    def _least(self, i: int) -> int:
        prepared = self.compiled.prepared[i]
        waits = sum(p.takes for p in prepared.phases if p.clock is None and not p.informational)
        return prepared.work + waits + (prepared.task.length if prepared.task.clock is None else 0)
