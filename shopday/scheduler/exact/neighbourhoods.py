"""Chooses which tasks are free in a round of the exact search: mostly whole jobs, sometimes a stretch of time.

All others keep their order and crews. Jobs that could gain much are chosen more often. A round that ends early
enlarges the next ones, until all jobs are free at once.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence

JOBS_FREE_AT_FIRST = 3
"""Whole jobs that are free at first."""

STRETCH_SHARE = 0.25
"""The share of rounds in which tasks next to each other in time are free instead."""

STRETCH_TASKS = (25, 50)
"""The least and the most tasks of such a stretch."""

LEAST_CHANCE = 0.5
"""How likely a job is to be chosen that could gain nothing, beside the mean gain."""

EASY_SHARE = 0.5
"""A round that ends within this share of its time was easy."""


class Neighbourhoods:
    """Chooses the free tasks. size: how many whole jobs are free at once."""

    def __init__(self, tasks_of: Mapping[int, Sequence[int]], seed: int) -> None:
        self.tasks_of = tasks_of
        self.random = random.Random(seed)
        self.size = min(JOBS_FREE_AT_FIRST, len(tasks_of))
        self._hard = 0

    @property
    def whole(self) -> bool:
        """True if all jobs would be free, which is the whole problem."""
        return self.size >= len(self.tasks_of)

    def next(self, starts: Mapping[int, int], gains: Mapping[int, int]) -> tuple[set[int], bool]:
        """The free tasks, and whether they are those of whole jobs.

        starts: of the tasks now.
        gains:  by job, what an earlier delivery could gain at most.
        """
        if self.random.random() < STRETCH_SHARE:
            order = sorted(starts, key=lambda i: (starts[i], i))
            count = self.random.randint(*STRETCH_TASKS)
            first = self.random.randrange(max(1, len(order) - count // 2))
            return set(order[first : first + count]), False
        return {i for j in self._jobs(starts, gains) for i in self.tasks_of[j]}, True

    def _jobs(self, starts: Mapping[int, int], gains: Mapping[int, int]) -> list[int]:
        """A random job, more likely one that could gain much, with others, more likely those whose work is near in
        time."""
        jobs = list(self.tasks_of)
        least = LEAST_CHANCE * max(1, sum(gains.values())) / len(jobs)
        first = self.random.choices(jobs, [least + gains.get(j, 0) for j in jobs])[0]
        middle = {j: sum(starts[i] for i in tasks) / len(tasks) for j, tasks in self.tasks_of.items()}
        far = max(1.0, *(abs(middle[j] - middle[first]) for j in jobs))
        keys = {j: abs(middle[j] - middle[first]) / far + self.random.random() for j in jobs}
        return sorted(jobs, key=lambda j: (j != first, keys[j]))[: self.size]

    def learn(self, proven: bool, share: float, better: bool) -> None:
        """Adapt the size to a round of whole jobs: whether it ended by itself, and which share of its time it took."""
        if proven and share < EASY_SHARE:
            self.size, self._hard = min(len(self.tasks_of), self.size + 1), 0
        elif not proven and not better:
            self._hard += 1
            if self._hard > 2 and self.size > 2:
                self.size, self._hard = self.size - 1, 0
