"""BuiltSchedule: a schedule, whole or in part, with all that is needed to go on from any point of it."""

from __future__ import annotations

from dataclasses import dataclass

from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.model.result import Refusal
from shopday.scheduler.placing.fits import Fit, Profiles

IMPOSSIBLE = 1 << 60
"""Cost of one task without a place: more than any totals."""


@dataclass(slots=True)
class BuiltSchedule:
    """A schedule and the way it was built.

    cost:     refused tasks and the totals in one number, see `ScheduleCosts`.
    late, short: two of the totals alone.
    order:    tasks in the order in which they were placed.
    marks:    before each task of `order`, and after the last: profiles, per-job completions, cost, late, short.
    moments, crews, missed: per task; moments are None where it has no place.
    refused:  tasks without a place.
    """

    cost: int
    late: int
    short: int
    order: list[int]
    marks: list[tuple[Profiles, list[int], int, int, int]]
    moments: list[Moments | None]
    crews: list[int]
    missed: set[int]
    refused: dict[int, Refusal]

    @property
    def placed_cost(self) -> int:
        """The cost of what has a place."""
        return self.cost % IMPOSSIBLE

    @property
    def aim(self) -> tuple[int, int, int, int]:
        """What decides: tasks without a place, then the late total, the short total, then cost."""
        return len(self.refused), self.late, self.short, self.cost

    def note(self, i: int, fit: Fit) -> None:
        """Note where a task is, who does it, and whether its window is missed."""
        self.moments[i] = fit.moments
        self.crews[i] = fit.crew
        if fit.missed:
            self.missed.add(i)
