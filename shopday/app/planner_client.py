"""Asking for plans off the screen's thread: a process that answers with ever better ones.

The process is started before the app takes the terminal; threads of the app write its questions and read its
answers. A newer question makes it drop the one it is working on. When it dies, it is started again.
"""

from __future__ import annotations

import datetime as dt
import os
import pickle
import subprocess
import sys
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from queue import SimpleQueue
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from shopday.planning.odds.delivery_odds import Odds
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Plan
    from shopday.planning.questions.dashboard_types import Dashboard
    from shopday.planning.questions.quote import Quote
    from shopday.planning.whatif.ranking import HelpfulChange
    from shopday.shop.models import Job


@dataclass(frozen=True)
class PlannerQuestion:
    """A question: the plan on the wall, or, of the plan `near`, what `job` would do to it, or why a step of it
    (address and pass) is when it is and what would help its job. `day_begins`: the first question of a day, whose
    better plan may be taken up without asking. Answers carry `serial`."""

    serial: int
    near: Plan | None = None
    day_begins: bool = False
    effort: float = 1.0
    job_id: str = ""
    job: Job | None = None
    why: tuple[str, int] | None = None


@dataclass(frozen=True)
class PlannerAnswer:
    """`offer`: a better plan than the one on the wall; `taken`: it is that one now. `last`: nothing better will come.
    `odds` come after the plans. `reasons` of a step come before what helps;
    `helps`: all found so far, best first.
    `trouble`: one line, instead of a plan."""

    serial: int
    glance: Dashboard | None = None
    offer: Dashboard | None = None
    taken: bool = False
    quote: Quote | None = None
    odds: Odds | None = None
    reasons: tuple[str, ...] = ()
    helps: tuple[HelpfulChange, ...] = ()
    last: bool = False
    trouble: str = ""


FIRST = PlannerQuestion(1, day_begins=True)
"""Plan the shop: asked by the planner itself, so that it is at work before there is a screen."""

Deliver = Callable[[PlannerAnswer | None], Any]
"""Takes answers; None: the planner is gone."""


class Planner(Protocol):
    """`listen` is called once; the answers to FIRST come unasked."""

    def listen(self, deliver: Deliver) -> None: ...
    def ask(self, ask: PlannerQuestion) -> None: ...
    def start_again(self) -> None: ...
    def close(self) -> None: ...


class ProcessPlanner:
    """The app's side of the process."""

    def __init__(self, folder: Path, now: dt.datetime | None) -> None:
        self._folder, self._now = folder, now
        self._deliver: Deliver | None = None
        self._listened_to = threading.Event()
        self.process: subprocess.Popen[bytes] | None = None
        self._start()
        self.ask(FIRST)

    def _start(self) -> None:
        """The process finds its modules where this one does; it has no share in the terminal."""
        now = "" if self._now is None else self._now.isoformat()
        code = f"import sys; sys.path[:] = {sys.path!r}; from shopday.app.planner_worker import serve_planner; serve_planner({str(self._folder)!r}, {now!r})"
        self.process = subprocess.Popen(
            [sys.executable, "-c", code],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYDANTIC_DISABLE_PLUGINS": "true"},
        )
        self._asks: SimpleQueue[PlannerQuestion | None] = SimpleQueue()
        threading.Thread(target=_write, args=(self.process, self._asks), daemon=True).start()
        threading.Thread(target=self._read, args=(self.process,), daemon=True).start()

    def _read(self, process: subprocess.Popen[bytes]) -> None:
        assert process.stdout is not None
        answer: PlannerAnswer | None
        while True:
            try:
                answer = pickle.load(process.stdout)
            except (EOFError, OSError, ValueError, pickle.UnpicklingError):
                answer = None
            self._listened_to.wait()
            if process is self.process and self._deliver is not None:  # else it was closed
                self._deliver(answer)
            if answer is None:
                return

    def listen(self, deliver: Deliver) -> None:
        self._deliver = deliver
        self._listened_to.set()

    def ask(self, ask: PlannerQuestion) -> None:
        self._asks.put(ask)

    def start_again(self) -> None:
        self.close()
        self._start()

    def close(self) -> None:
        process, self.process = self.process, None
        if process is not None:
            self._asks.put(None)
            process.terminate()
            process.wait()


def _write(process: subprocess.Popen[bytes], asks: SimpleQueue[PlannerQuestion | None]) -> None:
    assert process.stdin is not None
    while (ask := asks.get()) is not None:
        try:
            pickle.dump(ask, process.stdin, pickle.HIGHEST_PROTOCOL)
            process.stdin.flush()
        except OSError:
            return  # the reading thread notices that the process is gone


class LocalPlanner:
    """Answers where it is asked: for tests."""

    def __init__(self, workshop: OpenShop, effort: float | None = None) -> None:
        self._workshop, self._effort = workshop, effort
        self._deliver: Deliver = lambda _: None

    def listen(self, deliver: Deliver) -> None:
        self._deliver = deliver
        self.ask(FIRST)

    def ask(self, ask: PlannerQuestion) -> None:
        from shopday.app.planner_worker import planner_answers

        effort = ask.effort if self._effort is None else self._effort
        for answer in planner_answers(self._workshop, replace(ask, effort=effort)):
            self._deliver(answer)

    def start_again(self) -> None:
        """It cannot stop."""

    def close(self) -> None:
        """Nothing to end."""
