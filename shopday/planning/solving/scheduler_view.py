"""What questions may ask of the problem behind a plan; everything else is read off the plan."""

from __future__ import annotations

from functools import cached_property

from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.plan import Moment, Plan, PlannedStep
from shopday.planning.solving.latest_starts import Latest


class SchedulerView:
    """The problem behind a plan, for questions about what else would be possible."""

    def __init__(self, built: EncodedProblem, plan: Plan) -> None:
        self._built, self._plan = built, plan

    def somebody_could_begin(self, step: PlannedStep, at: Moment) -> bool:
        """True if at this moment some crew is in and the shop is warm enough to begin the step."""
        i, minute = self._built.index[step.key], self._built.zone.of(at)
        task = self._built.problem.tasks[i]
        hours = (self._built.start_hours(task, crew) for crew in range(len(task.crews)))
        return any(calendar.span_at(minute) is not None for calendar in hours)

    @cached_property
    def latest(self) -> Latest:
        """How late each step may be with every promise kept."""
        return Latest(self._built, self._plan)
