"""Draws by their numbers, made by two processes where that pays: this one from the first on, its mate from the last.

A draw depends on the seed and its number alone, so it does not matter who makes it. The mate is this module
started as a program: it reads a drawing, a seed and numbers, and writes draws until nobody reads them any more.
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from typing import TYPE_CHECKING

from shopday.scheduler.search.search_process import SearchProcess as Process
from shopday.scheduler.search.search_process import serve

if TYPE_CHECKING:
    from shopday.planning.odds.simulation import SimulatedCourse, Simulation

ALONE = 10
"""So many draws are made before a mate is thought of: they tell how long the rest would take."""

WORTHWHILE = 1.0
"""Seconds of work from which a mate, who takes half a second to come, is worth it."""

POLITE = 10
"""How far the mate steps back behind everything else."""


def simulate_in_parallel(drawing: Simulation, seed: int, count: int) -> Iterator[SimulatedCourse]:
    """So many draws of a seed, by number; the same ones whoever makes them."""
    began = time.monotonic()
    mate: SimulationProcess | None = None
    try:
        for number in range(count):
            if number == ALONE and _pays((time.monotonic() - began) / ALONE * (count - ALONE)):
                mate = _mate(drawing, seed, range(count - 1, ALONE, -1))
            found = mate.made(number) if mate is not None else None
            yield drawing.draw(seed, number) if found is None else found
    finally:
        if mate is not None:
            mate.dismiss()


def _pays(seconds: float) -> bool:
    return seconds > WORTHWHILE and cores() > 1


def cores() -> int:
    """How many this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _mate(drawing: Simulation, seed: int, numbers: range) -> SimulationProcess | None:
    try:
        return SimulationProcess(drawing, seed, numbers)
    except OSError:  # no more processes, or it ended at once: all draws are made here
        return None


class SimulationProcess(Process):
    """A second process that makes the draws of `numbers`."""

    def __init__(self, drawing: Simulation, seed: int, numbers: range) -> None:
        super().__init__(__name__, (drawing, seed, numbers))
        self._made: dict[int, SimulatedCourse] = {}

    def made(self, number: int) -> SimulatedCourse | None:
        """The draw of this number, if it is there already."""
        self._made.update(self.come())
        return self._made.get(number)


def _numbered(question: tuple[Simulation, int, range]) -> Iterator[tuple[int, SimulatedCourse]]:
    """The mate's side."""
    if hasattr(os, "nice"):
        os.nice(POLITE)
    drawing, seed, numbers = question
    for number in numbers:
        yield number, drawing.draw(seed, number)


if __name__ == "__main__":
    serve(_numbered)
