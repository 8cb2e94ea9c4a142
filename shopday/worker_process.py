"""A worker: a second Python process that answers questions, and drops the current one when a newer one arrives.

Each side holds one end of a socket pair that carries pickles. Nothing interrupts running code: an answer is a
generator that yields None, a heartbeat, between the steps of its work. There the worker checks for a newer question,
and whether the asking process is still there; if not, it closes the generator and ends.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Generator, Iterator
from contextlib import closing, suppress
from multiprocessing.connection import Connection, Pipe
from subprocess import DEVNULL, Popen
from typing import Any

OVER = None
"""What the worker sends after the last answer to a question."""


class WorkerProcess:
    """The asking side. Raises OSError if the process cannot be started.

    module: run as a program with these arguments; it calls `serve`.
    over:   the question is answered.
    lost:   the worker is gone.
    """

    def __init__(self, module: str, *arguments: str) -> None:
        self.over = self.lost = False
        self._link, theirs = Pipe()
        with theirs:
            self.process = Popen(
                [sys.executable, "-P", "-m", module, *arguments],
                stdin=theirs.fileno(),
                stdout=DEVNULL,
                stderr=DEVNULL,
                env={
                    **os.environ,
                    "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
                    "PYDANTIC_DISABLE_PLUGINS": "true",
                },
                process_group=0,  # Ctrl-C in the terminal is for the parent
            )

    def ask(self, question: object) -> None:
        """Send a question; blocks while the worker does not read. Raises OSError if it is gone."""
        self.over = False
        self._link.send(question)

    def receive(self) -> Any:
        """Wait for an answer; OVER after the last one. Raises EOFError if the worker is gone."""
        try:
            answer = self._link.recv()
        except (EOFError, OSError) as error:  # the worker ended between two answers, or within one
            self.lost = True
            raise EOFError from error
        self.over = answer is OVER
        return answer

    def come(self, wait: float = 0) -> Iterator[Any]:
        """Yield the answers that are there already, or come within this many seconds of one another."""
        with suppress(EOFError):
            while not self.over and not self.lost and self._link.poll(wait):
                if (answer := self.receive()) is not OVER:
                    yield answer

    def end(self) -> None:
        """Kill the worker. Its end of the socket closes with it; ours closes with this object, as a thread may still
        read it."""
        self.process.kill()
        self.process.wait()


def asked(module: str, question: object) -> WorkerProcess | None:
    """A worker at work on a question; None if there is none: no more processes are allowed, or it ended at once."""
    try:
        worker = WorkerProcess(module)
    except OSError:
        return None
    try:
        worker.ask(question)
    except BaseException as error:
        worker.end()
        if isinstance(error, OSError):
            return None
        raise
    return worker


def serve(answers: Callable[[Any], Generator[object, None, None]], niceness: int = 0) -> None:
    """The worker's side: answer questions until the parent process is gone.

    niceness: of the worker after the first answer.
    """
    link = Connection(sys.stdin.fileno())
    with suppress(EOFError, OSError):  # the parent is gone
        while True:
            _answer(link, answers(_newest_question(link)), niceness)


def _newest_question(link: Connection) -> object:
    """Wait for a question; of several, return the newest."""
    question = link.recv()
    while link.poll():
        question = link.recv()
    return question


def _answer(link: Connection, answers: Generator[object, None, None], niceness: int) -> None:
    """Send the answers that are not heartbeats, until another question comes."""
    with closing(answers):
        for answer in answers:
            if link.poll():
                return
            if answer is not None:
                link.send(answer)
                _step_back(niceness)
    link.send(OVER)


def _step_back(niceness: int) -> None:
    if (more := niceness - os.nice(0)) > 0:
        os.nice(more)
