"""MovableTasks: the tasks that are still to be placed, by job."""

from __future__ import annotations

from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.built_schedule import BuiltSchedule


class MovableTasks:
    """The tasks that are neither given nor refused; jobs are in the order of their first task."""

    def __init__(self, builder: Builder) -> None:
        self.builder = builder
        self.movable = [
            i for i, m in enumerate(builder.start.moments) if m is None and i not in builder.refused
        ]
        self.by_job: dict[int, list[int]] = {}
        for i in self.movable:
            self.by_job.setdefault(builder.compiled.prepared[i].task.job, []).append(i)
        self.jobs = list(self.by_job)

    def delivery(self, job: int, built: BuiltSchedule) -> int:
        """When a schedule delivers a job; now if none of its tasks has a place."""
        moments = (built.moments[i] for i in self.by_job[job])
        return max((m[2] for m in moments if m is not None), default=self.builder.problem.now)
