"""BuiltSchedule: a whole or partial schedule, with all that is needed to continue from any point of it."""

from __future__ import annotations

from dataclasses import dataclass

from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.model.result import Refusal
from shopday.scheduler.placing.fits import Fit, Profiles

IMPOSSIBLE = 1 << 60
"""The cost of a task without a place: more than any totals."""


ScheduleMark = tuple[Profiles | None, list[int], int, int, int]
"""What is so at a point of an order: profiles (None: made again when somebody goes on from here, see `ScheduleRecorder`),
deliveries per job, cost, late and short."""


@dataclass(slots=True)
class BuiltSchedule:
    """A schedule and the way it was built.

    cost:     refused tasks and the totals in one number, see `ScheduleCosts`.
    late, short: two of the totals alone.
    order:    tasks in the order in which they were placed.
    marks:    before each task of `order`, and after the last.
    moments:  per task; None where it has no place. fits: where it has one, with what it takes.
    refused:  tasks without a place.
    """

    cost: int
    late: int
    short: int
    order: list[int]
    marks: list[ScheduleMark]
    moments: list[Moments | None]
    fits: list[Fit | None]
    refused: dict[int, Refusal]

    @property
    def placed_cost(self) -> int:
        """The cost of the tasks that have a place."""
        return self.cost % IMPOSSIBLE

    @property
    def aim(self) -> tuple[int, int, int, int]:
        """What decides: tasks without a place, then the late total, the short total, and the cost."""
        return len(self.refused), self.late, self.short, self.cost

    def note(self, i: int, fit: Fit) -> None:
        """Note where a task is placed."""
        self.moments[i] = fit.moments
        self.fits[i] = fit

    def crew(self, i: int) -> int:
        """The index of the crew that does a task which has a place."""
        fit = self.fits[i]
        assert fit is not None
        return fit.crew
