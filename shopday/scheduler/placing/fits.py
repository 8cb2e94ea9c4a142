"""Fits: where a task can be placed and what it uses there, and the exceptions if it has no place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.model.result import Refusal
from shopday.scheduler.placing.resource_profiles import Levels, Unary

Profiles = list[Unary | Levels]
"""The use of each resource, then the dust and the still air of each room."""

ResourceHold = tuple[int, int, int, int]
"""A use of a profile: (profile, amount, from, to)."""

KeptSpan = tuple[int, int, int, int, int]
"""What must be free for phases: (profile, amount, from, to, phase that begins it or -1 for the work)."""


@dataclass(slots=True)
class Fit:
    """A task at a minute: its moments, its crew, and what its phases keep and need.

    holds: all that it uses; given only for begun tasks, as for others it follows from the rest.
    """

    moments: Moments
    crew: int
    missed: bool
    kept: Sequence[KeptSpan] = ()
    holds: Sequence[ResourceHold] | None = None


class WindowMissed(Exception):
    """A hard window cannot be kept: some task must move to `start` or later (None: nothing can help)."""

    def __init__(self, task: int, start: int | None) -> None:
        super().__init__(task, start)
        self.task, self.start = task, start


class NoPlace(Exception):
    """No minute ever suits the task."""

    def __init__(self, task: int, refusal: Refusal) -> None:
        super().__init__(task, refusal)
        self.task, self.refusal = task, refusal
