"""KeyMoves: random changes to the keys by which work is dispatched, of whole jobs above all."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence

KeyMove = Callable[[dict[int, float], Sequence[int]], None]
"""Gives some tasks of an order other keys."""

FARTHEST_PULLED = 25
"""The most places by which tasks of a job are pulled forward together."""


class KeyMoves:
    """The moves, each with its share. job_of: the job of each task."""

    def __init__(self, job_of: Mapping[int, int], chance: random.Random) -> None:
        self.job_of, self.random = job_of, chance
        self.jobs = sorted(set(job_of.values()))
        self.far = 0.12 * len(job_of)
        self.moves: tuple[tuple[float, KeyMove], ...] = (
            (0.4, self._shift),
            (0.1, self._gather),
            (0.1, self._shift_two),
            (0.15, self._move_one),
            (0.15, self._pull_together),
            (0.1, self._swap),
        )

    def keys(self, order: Sequence[int]) -> dict[int, float]:
        """The place of every task in the order, after one move."""
        keys = {i: float(k) for k, i in enumerate(order)}
        draw = self.random.random()
        for share, move in self.moves:
            if draw < share:
                move(keys, order)
                break
            draw -= share
        return keys

    def _tasks(self, order: Sequence[int]) -> list[int]:
        job = self.random.choice(self.jobs)
        return [i for i in order if self.job_of[i] == job]

    def _shift(self, keys: dict[int, float], order: Sequence[int]) -> None:
        """Move a job, or its rest after some task, earlier or later."""
        chance, tasks = self.random, self._tasks(order)
        first = chance.randrange(len(tasks)) if chance.random() < 0.6 else 0
        reach = chance.choice((-1, -1, -1, 1, 1)) * (1 + chance.expovariate(1 / self.far))
        for i in tasks[first:]:
            keys[i] += reach

    def _shift_two(self, keys: dict[int, float], order: Sequence[int]) -> None:
        for _ in range(2):
            reach = self.random.gauss(0, self.far)
            after = self.random.uniform(0, len(order)) if self.random.random() < 0.5 else 0
            for i in self._tasks(order):
                if keys[i] >= after:
                    keys[i] += reach

    def _gather(self, keys: dict[int, float], order: Sequence[int]) -> None:
        """Move a job, or its rest after some task, to one place in one run."""
        chance, tasks = self.random, self._tasks(order)
        first = chance.randrange(len(tasks)) if chance.random() < 0.6 else 0
        place = chance.uniform(0, len(order))
        for k, i in enumerate(tasks[first:]):
            keys[i] = place + k / 1000

    def _move_one(self, keys: dict[int, float], order: Sequence[int]) -> None:
        reach = 0.5 + int(1 + self.random.expovariate(1 / 6))
        keys[self.random.choice(order)] += -reach if self.random.random() < 0.6 else reach

    def _pull_together(self, keys: dict[int, float], order: Sequence[int]) -> None:
        """Pull what a job has in a stretch of the order to its begin."""
        a, b = sorted((self.random.randrange(len(order)), self.random.randrange(len(order))))
        stretch = order[a : min(b, a + FARTHEST_PULLED) + 1]
        for i in stretch:
            if self.job_of[i] == self.job_of[stretch[-1]]:
                keys[i] = a - 0.5 + keys[i] / 10_000

    def _swap(self, keys: dict[int, float], order: Sequence[int]) -> None:
        u, v = self.random.choice(order), self.random.choice(order)
        keys[u], keys[v] = keys[v], keys[u]
