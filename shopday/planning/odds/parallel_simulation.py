"""Draws by their numbers, made by two processes where that pays: this one from the first on, its worker from the last.

A draw depends on the seed and its number alone, so it does not matter who makes it.
"""

from __future__ import annotations

import os
import time
from collections.abc import Generator, Iterator
from typing import TYPE_CHECKING

from shopday.scheduler import finished
from shopday.worker_process import WorkerProcess, asked, serve

if TYPE_CHECKING:
    from shopday.planning.odds.simulation import SimulatedCourse, Simulation

ALONE = 10
"""So many draws are made before a worker is thought of: they tell how long the rest would take."""

WORTHWHILE = 1.0
"""Seconds of work from which a worker, who takes half a second to come, is worth it."""

POLITE = 10
"""How far the worker steps back behind everything else."""


def simulate_in_parallel(drawing: Simulation, seed: int, count: int) -> Iterator[SimulatedCourse | None]:
    """A number of draws of a seed; the same ones in whichever process they are made. None is a heartbeat."""
    began = time.monotonic()
    worker: WorkerProcess | None = None
    made: dict[int, SimulatedCourse] = {}
    try:
        for number in range(count):
            if number == ALONE and _pays((time.monotonic() - began) / ALONE * (count - ALONE)):
                worker = asked(__name__, (drawing, seed, range(count - 1, ALONE, -1)))
            if worker is not None:
                made.update(worker.come())
            found = made.pop(number, None)
            yield (yield from drawing.draw(seed, number)) if found is None else found
    finally:
        if worker is not None:
            worker.end()


def _pays(seconds: float) -> bool:
    return seconds > WORTHWHILE and cores() > 1


def cores() -> int:
    """How many this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _numbered(question: tuple[Simulation, int, range]) -> Generator[tuple[int, SimulatedCourse], None, None]:
    """The worker's side."""
    drawing, seed, numbers = question
    for number in numbers:
        yield number, finished(drawing.draw(seed, number))


if __name__ == "__main__":
    serve(_numbered, POLITE)
