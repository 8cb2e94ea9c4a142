"""A mate: a second Python of ours at work on one question, which writes answers until nobody reads them any more.

It is no child of `multiprocessing`, whose processes may have none of their own, as the app's planner is one.
"""

from __future__ import annotations

import os
import pickle
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from queue import SimpleQueue
from subprocess import DEVNULL, PIPE, Popen
from threading import Thread
from typing import IO, Any

LOOK = 0.5
"""Seconds between looks for whoever asked."""

OVER = object()
"""Comes after the last answer."""


class SearchProcess:
    """The side of whoever asks: `module`, run as a program, calls `serve`. Raises OSError where it cannot be started."""

    def __init__(self, module: str, question: object) -> None:
        self._arrived: SimpleQueue[Any] = SimpleQueue()
        self.process = Popen(
            [sys.executable, "-P", "-m", module],
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
                pickle.dump(question, pipe)
        except BaseException:
            self.dismiss()
            raise

    def come(self) -> Iterator[Any]:
        """The answers that are there already."""
        while not self._arrived.empty():
            answer = self._arrived.get()
            if answer is OVER:
                self._arrived.put(OVER)
                return
            yield answer

    def rest(self) -> Iterator[Any]:
        """All answers that are still to come, as they come."""
        yield from iter(self._arrived.get, OVER)

    def dismiss(self) -> None:
        self.process.kill()
        self.process.wait()

    def _read(self, pipe: IO[bytes]) -> None:
        with pipe, suppress(EOFError, pickle.UnpicklingError):  # it ended, between two answers or within one
            while True:
                self._arrived.put(pickle.load(pipe))
        self._arrived.put(OVER)


def serve(answers: Callable[[Any], Iterable[object]]) -> None:
    """The mate's side: read the question and write the answers; be gone soon after whoever asked is."""
    Thread(target=_leave_with, args=(os.getppid(),), daemon=True).start()
    question = pickle.loads(sys.stdin.buffer.read())  # read before it is understood, for that takes a while
    for answer in answers(question):
        pickle.dump(answer, sys.stdout.buffer)
        sys.stdout.buffer.flush()


def _leave_with(parent: int) -> None:
    """Its answers may be far between, so that it would not notice by the pipe."""
    while os.getppid() == parent:
        time.sleep(LOOK)
    os._exit(1)
