"""Draws made by two processes if that pays: this one counts up from the first draw, its worker down from the last.

A draw depends only on the seed and its number, so it does not matter which process makes it.
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

DRAWS_ALONE = 10
"""Draws made before a worker is considered; they tell how long the rest would take."""

WORKER_PAYS_FROM = 1.0
"""Seconds of work from which a worker pays, which takes half a second to start."""

NICENESS = 10
"""The niceness of the worker process."""


def simulate_in_parallel(drawing: Simulation, seed: int, count: int) -> Iterator[SimulatedCourse | None]:
    """Yield a number of draws of a seed, the same whichever process makes them; None is a heartbeat."""
    began = time.monotonic()
    worker: WorkerProcess | None = None
    made: dict[int, SimulatedCourse] = {}
    try:
        for number in range(count):
            if number == DRAWS_ALONE and _pays(
                (time.monotonic() - began) / DRAWS_ALONE * (count - DRAWS_ALONE)
            ):
                worker = asked(__name__, (drawing, seed, range(count - 1, DRAWS_ALONE, -1)))
            if worker is not None:
                made.update(worker.come())
            found = made.pop(number, None)
            yield (yield from drawing.draw(seed, number)) if found is None else found
    finally:
        if worker is not None:
            worker.end()


def _pays(seconds: float) -> bool:
    return seconds > WORKER_PAYS_FROM and cores() > 1


def cores() -> int:
    """The number of processors that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _numbered(question: tuple[Simulation, int, range]) -> Generator[tuple[int, SimulatedCourse], None, None]:
    """The worker's side: yield each draw with its number."""
    drawing, seed, numbers = question
    for number in numbers:
        yield number, finished(drawing.draw(seed, number))


if __name__ == "__main__":
    serve(_numbered, NICENESS)
