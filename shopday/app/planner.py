"""Planning off the screen's thread: a process that answers with ever better plans.

The process is started before the app takes the terminal; a thread of the app reads its answers.
A newer question makes it drop the one it is working on.
"""

from __future__ import annotations

import _thread
import datetime as dt
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from multiprocessing.connection import Connection
from pathlib import Path
from queue import SimpleQueue
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from shopday.planning.helping import Help
    from shopday.planning.odds import Odds
    from shopday.planning.plan import Plan
    from shopday.planning.quote import Quote
    from shopday.planning.workshop import Workshop
    from shopday.shop.models import Job


QUOTE_STAGES = (0, 0.1, 0.5)
"""Shares of the effort after which a quote is told."""

POLITE = 5
"""How far the search steps back behind the app."""


@dataclass(frozen=True)
class Ask:
    """A question: plan the shop near a plan, what `job` would do to it, or what would help the job `help_for`.
    Answers carry `serial`."""

    serial: int
    near: Plan | None = None
    effort: float = 1.0
    job_id: str = ""
    job: Job | None = None
    help_for: str = ""


@dataclass(frozen=True)
class Answer:
    """`last`: nothing better will come. `odds` come after the plans. `helps`: all found so far, best first.
    `trouble`: one line, instead of a plan."""

    serial: int
    plan: Plan | None = None
    quote: Quote | None = None
    odds: Odds | None = None
    helps: tuple[Help, ...] = ()
    last: bool = False
    trouble: str = ""


Deliver = Callable[[Answer | None], Any]
"""Takes answers; None: the planner is gone."""


class Planner(Protocol):
    def listen(self, deliver: Deliver) -> None: ...
    def ask(self, ask: Ask) -> None: ...
    def close(self) -> None: ...


def answers(workshop: Workshop, ask: Ask) -> Iterator[Answer]:
    """Every answer to a question, better and better, then the odds of the best plan; a person's mistake is an
    answer too."""
    from shopday.planning.odds import odds_of
    from shopday.shop.faults import ShopdayError

    try:
        if ask.job is not None:
            yield from _quotes(workshop, ask, ask.job)
            return
        if ask.help_for and ask.near is not None:
            yield from _helps(workshop, ask, ask.near)
            return
        for plan in workshop.improvements(ask.effort, ask.near):
            yield Answer(ask.serial, plan)
        for odds in odds_of(workshop, plan) if ask.effort else ():
            yield Answer(ask.serial, odds=odds)
        yield Answer(ask.serial, last=True)
    except ShopdayError as error:
        yield Answer(ask.serial, trouble=str(error), last=True)


def _quotes(workshop: Workshop, ask: Ask, job: Job) -> Iterator[Answer]:
    """A date at once, then after longer looking, and then what dates hold."""
    from shopday.planning.odds import odds_of_quote
    from shopday.planning.quote import quote

    efforts = [share * ask.effort for share in QUOTE_STAGES] if ask.effort else [0.0]
    for effort in efforts:
        found = quote(workshop, ask.job_id, job, effort, ask.near)
        yield Answer(ask.serial, quote=found, last=not ask.effort)
    for odds in odds_of_quote(workshop, ask.job_id, job, found.plan) if ask.effort else ():
        yield Answer(ask.serial, quote=found, odds=odds, last=odds.done)


def _helps(workshop: Workshop, ask: Ask, plan: Plan) -> Iterator[Answer]:
    """Each change that helps as it is found, and then that all were tried."""
    from shopday.planning.helping import EFFORT, best_first, helps

    found: tuple[Help, ...] = ()
    for help in helps(workshop, plan, ask.help_for, EFFORT * ask.effort):
        found = best_first((*found, help))
        yield Answer(ask.serial, helps=found)
    yield Answer(ask.serial, helps=found, last=True)


class _Dropped(Exception):
    """A newer question came."""


class _Clerk:
    """The process's side: one question at a time, the newest first."""

    def __init__(self, pipe: Connection, folder: Path, now: dt.datetime | None) -> None:
        self.pipe, self.folder, self.now = pipe, folder, now
        self.asks: SimpleQueue[Ask | None] = SimpleQueue()
        self.searching = False

    def work(self) -> None:
        signal.signal(signal.SIGINT, self._stop)
        threading.Thread(target=self._read, daemon=True).start()
        workshop = None
        while (ask := self._newest()) is not None:
            try:
                workshop = self._workshop(workshop)
                self._answer(workshop, ask)
            except Exception as error:
                workshop = None
                self.pipe.send(Answer(ask.serial, trouble=str(error) or type(error).__name__, last=True))

    def _workshop(self, workshop: Workshop | None) -> Workshop:
        from shopday.planning.workshop import Workshop

        if workshop is None:
            return Workshop(self.folder, self.now)
        workshop.refresh()
        return workshop

    def _answer(self, workshop: Workshop, ask: Ask) -> None:
        try:
            self.searching = True
            for answer in answers(workshop, ask):
                self.searching = False
                if not self.asks.empty():
                    return
                self.pipe.send(answer)
                self._give_way()
                self.searching = True
            self.searching = False
        except _Dropped:
            pass

    def _give_way(self) -> None:
        """After the first answer keys come before the search."""
        if hasattr(os, "nice") and os.nice(0) < POLITE:
            os.nice(POLITE)

    def _newest(self) -> Ask | None:
        ask = self.asks.get()
        while not self.asks.empty() and ask is not None:
            ask = self.asks.get()
        return ask

    def _read(self) -> None:
        while True:
            try:
                ask = self.pipe.recv()
            except (EOFError, OSError):
                ask = None
            self.asks.put(ask)
            if self.searching:
                _thread.interrupt_main()
            if ask is None:
                return

    def _stop(self, *_: object) -> None:
        """Drop the search, unless the question that rang is the one being answered already."""
        if self.searching and not self.asks.empty():
            self.searching = False
            raise _Dropped


def _serve(pipe: Connection, folder: Path, now: dt.datetime | None) -> None:
    _Clerk(pipe, folder, now).work()


class ProcessPlanner:
    """The app's side of the process."""

    def __init__(self, folder: Path, now: dt.datetime | None) -> None:
        spawn = multiprocessing.get_context("spawn")
        self._pipe, theirs = spawn.Pipe()
        self._process = spawn.Process(target=_serve, args=(theirs, folder, now), daemon=True)
        self._process.start()
        theirs.close()

    def listen(self, deliver: Deliver) -> None:
        threading.Thread(target=self._read, args=(deliver,), daemon=True).start()

    def _read(self, deliver: Deliver) -> None:
        while True:
            try:
                answer = self._pipe.recv()
            except (EOFError, OSError):
                deliver(None)
                return
            deliver(answer)

    def ask(self, ask: Ask) -> None:
        try:
            self._pipe.send(ask)
        except OSError:
            return  # the reading thread notices that the process is gone

    def close(self) -> None:
        self._process.terminate()
        self._process.join(1)


class LocalPlanner:
    """Answers where it is asked: for tests, and when the process is gone."""

    def __init__(self, workshop: Workshop, effort: float | None = None) -> None:
        self._workshop, self._effort = workshop, effort
        self._deliver: Deliver = lambda _: None

    def listen(self, deliver: Deliver) -> None:
        self._deliver = deliver

    def ask(self, ask: Ask) -> None:
        effort = ask.effort if self._effort is None else self._effort
        for answer in answers(self._workshop, replace(ask, effort=effort)):
            self._deliver(answer)

    def close(self) -> None:
        """Nothing to end."""
