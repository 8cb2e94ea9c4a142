"""Which tasks are free in a round of the exact search: whole jobs mostly, now and then a stretch of time.

All the others keep their order and crews. A round that comes to its end early lets the next ones be larger, until all
jobs are free at once.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence

AT_FIRST = 3
"""Whole jobs that are free at once."""

STRETCHES = 0.25
"""Share of the rounds in which tasks next to each other in time are free instead."""

STRETCH = (25, 50)
"""So many of those, at least and at most."""

EARLY = 0.5
"""A round that ends within this share of what it may spend was easy."""


class Neighbourhoods:
    """Chooses the free tasks; `size`: how many whole jobs are free at once."""

    def __init__(self, tasks_of: Mapping[int, Sequence[int]], seed: int) -> None:
        self.tasks_of = tasks_of
        self.random = random.Random(seed)
        self.size = min(AT_FIRST, len(tasks_of))
        self._hard = 0

    @property
    def whole(self) -> bool:
        """All jobs would be free: the whole problem."""
        return self.size >= len(self.tasks_of)

    def next(self, starts: Mapping[int, int]) -> tuple[set[int], bool]:
        """The free tasks, given where all stand now, and whether they are those of whole jobs."""
        if self.random.random() < STRETCHES:
            order = sorted(starts, key=lambda i: (starts[i], i))
            count = self.random.randint(*STRETCH)
            first = self.random.randrange(max(1, len(order) - count // 2))
            return set(order[first : first + count]), False
        return {i for j in self._jobs(starts) for i in self.tasks_of[j]}, True

    def _jobs(self, starts: Mapping[int, int]) -> list[int]:
        """One job by chance, and with it those whose work lies nearest to its own more often than others."""
        jobs = list(self.tasks_of)
        first = self.random.choice(jobs)
        middle = {j: sum(starts[i] for i in tasks) / len(tasks) for j, tasks in self.tasks_of.items()}
        far = max(1.0, *(abs(middle[j] - middle[first]) for j in jobs))
        keys = {j: abs(middle[j] - middle[first]) / far + self.random.random() for j in jobs}
        return sorted(jobs, key=lambda j: (j != first, keys[j]))[: self.size]

    def learn(self, proven: bool, share: float, better: bool) -> None:
        """What a round of whole jobs came to: it ended by itself, after so much of what it might spend."""
        if proven and share < EARLY:
            self.size, self._hard = min(len(self.tasks_of), self.size + 1), 0
        elif not proven and not better:
            self._hard += 1
            if self._hard > 2 and self.size > 2:
                self.size, self._hard = self.size - 1, 0
