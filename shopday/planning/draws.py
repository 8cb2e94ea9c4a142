"""Draws by their numbers, made by two processes where that pays: this one from the first on, its mate from the last.

A draw depends on the seed and its number alone, so it does not matter who makes it. The mate is this module
started as a program: it reads a drawing, a seed and numbers, and writes draws until nobody reads them any more.
"""

from __future__ import annotations

import os
import pickle
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from queue import SimpleQueue
from subprocess import DEVNULL, PIPE, Popen
from threading import Thread
from typing import IO, TYPE_CHECKING

if TYPE_CHECKING:
    from shopday.planning.drawing import Draw, Drawing

ALONE = 10
"""So many draws are made before a mate is thought of: they tell how long the rest would take."""

WORTHWHILE = 1.0
"""Seconds of work from which a mate, who takes half a second to come, is worth it."""

POLITE = 10
"""How far the mate steps back behind everything else."""


def draws(drawing: Drawing, seed: int, count: int) -> Iterator[Draw]:
    """So many draws of a seed, by number; the same ones whoever makes them."""
    began = time.monotonic()
    mate: Mate | None = None
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


def _mate(drawing: Drawing, seed: int, numbers: range) -> Mate | None:
    try:
        return Mate(drawing, seed, numbers)
    except OSError:  # no more processes, or it ended at once: all draws are made here
        return None


class Mate:
    """A second process that makes the draws of `numbers`. Raises OSError where it cannot be started.

    It is no child of `multiprocessing`, whose processes may have none of their own, as the app's planner is one.
    """

    def __init__(self, drawing: Drawing, seed: int, numbers: range) -> None:
        self._made: dict[int, Draw] = {}
        self._arrived: SimpleQueue[tuple[int, Draw]] = SimpleQueue()
        self.process = Popen(
            [sys.executable, "-P", "-m", __name__],
            stdin=PIPE,
            stdout=PIPE,
            stderr=DEVNULL,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
            process_group=0,  # what is typed at the terminal is for whoever started it
        )
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self._reader = Thread(target=self._read, args=(self.process.stdout,), daemon=True)
        try:
            self._reader.start()
            with self.process.stdin as pipe:
                pickle.dump((drawing, seed, numbers), pipe)
        except BaseException:
            self.dismiss()
            raise

    def made(self, number: int) -> Draw | None:
        """The draw of this number, if it is there already."""
        while not self._arrived.empty():
            arrived, draw = self._arrived.get()
            self._made[arrived] = draw
        return self._made.get(number)

    def dismiss(self) -> None:
        self.process.kill()
        self.process.wait()

    def _read(self, pipe: IO[bytes]) -> None:
        with pipe, suppress(EOFError, pickle.UnpicklingError):  # it ended, between two draws or within one
            while True:
                self._arrived.put(pickle.load(pipe))


def _serve(read: IO[bytes], write: IO[bytes]) -> None:
    """The mate's side."""
    if hasattr(os, "nice"):
        os.nice(POLITE)
    drawing, seed, numbers = pickle.loads(read.read())  # read before it is understood, for that takes a while
    for number in numbers:
        pickle.dump((number, drawing.draw(seed, number)), write)
        write.flush()


if __name__ == "__main__":
    _serve(sys.stdin.buffer, sys.stdout.buffer)
