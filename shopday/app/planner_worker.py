"""The planner's process: one question at a time, the newest first, answered better and better.

It reads pickled questions from its input and writes pickled answers to its output; the app holds the other ends.
"""

from __future__ import annotations

import _thread
import datetime as dt
import os
import pickle
import signal
import sys
import threading
import time
from collections.abc import Iterable, Iterator
from pathlib import Path
from queue import SimpleQueue
from typing import IO, TYPE_CHECKING

from shopday.app.planner_client import PlannerAnswer, PlannerQuestion

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Plan
    from shopday.shop.models import Job

QUOTE_STAGES = (0, 1)
"""Shares of the effort after which a quote is told."""

PAUSE = 0.4
"""Seconds between two better plans: nobody reads faster, and each costs the screen some time."""

POLITE = 5
"""How far the search steps back behind the app."""


def planner_answers(workshop: OpenShop, ask: PlannerQuestion) -> Iterator[PlannerAnswer]:
    """Every answer to a question, better and better, then the odds of the best plan; a person's mistake is an
    answer too."""
    from shopday.shop.faults import ShopdayError

    try:
        if ask.job is not None:
            yield from _quotes(workshop, ask, ask.job)
        elif ask.why is not None and ask.near is not None:
            yield from _reasons(workshop, ask, ask.near, *ask.why)
        else:
            yield from _plans(workshop, ask)
    except ShopdayError as error:
        yield PlannerAnswer(ask.serial, trouble=str(error), last=True)


def _plans(workshop: OpenShop, ask: PlannerQuestion) -> Iterator[PlannerAnswer]:
    """The plan on the wall at once, made by a search where there is none; then whether a better one is worth the
    change, and what dates hold."""
    from shopday.planning.odds.delivery_odds import odds_of
    from shopday.planning.questions.dashboard import dashboard

    plan: Plan | None = None
    made_anew = workshop.is_to_be_planned()
    for plan in paced(workshop.plans(ask.effort)):
        yield PlannerAnswer(ask.serial, glance=dashboard(workshop, plan))
    assert plan is not None  # there is always one
    if ask.effort and not made_anew:
        for answer in _offers(workshop, ask, plan):
            plan = answer.glance.plan if answer.glance is not None else plan
            yield answer
    for odds in odds_of(workshop, plan) if ask.effort else ():
        yield PlannerAnswer(ask.serial, odds=odds)
    yield PlannerAnswer(ask.serial, last=True)


def _offers(workshop: OpenShop, ask: PlannerQuestion, plan: Plan) -> Iterator[PlannerAnswer]:
    from shopday.planning.questions.dashboard import dashboard

    *_, (known, offer) = workshop.offers(plan, ask.effort)
    if offer is not None and ask.day_begins and workshop.nothing_logged_today():
        workshop.take_up(offer)
        yield PlannerAnswer(ask.serial, glance=dashboard(workshop, offer), taken=True)
    else:
        better = None if offer is None else dashboard(workshop, offer)
        yield PlannerAnswer(ask.serial, glance=dashboard(workshop, known), offer=better)


def paced(plans: Iterable[Plan], pause: float = PAUSE) -> Iterator[Plan]:
    """The first plan at once, later ones no closer than the pause, and the last in any case; none twice."""
    shown = held = None
    due = 0.0
    for plan in plans:
        held = plan
        if time.monotonic() >= due and (shown is None or _differ(plan, shown)):
            yield plan
            shown, due = plan, time.monotonic() + pause
    if held is not None and (shown is None or _differ(held, shown)):
        yield held


def _differ(one: Plan, other: Plan) -> bool:
    """In what is planned, or in what is known of how good it is."""
    return (one.steps, one.late_bound, one.short_bound, one.finish_bound) != (
        other.steps,
        other.late_bound,
        other.short_bound,
        other.finish_bound,
    )


def _quotes(workshop: OpenShop, ask: PlannerQuestion, job: Job) -> Iterator[PlannerAnswer]:
    """A date at once, then after longer looking, and then what dates hold."""
    from shopday.planning.odds.delivery_odds import odds_of_quote
    from shopday.planning.questions.quote import quote_job

    efforts = [share * ask.effort for share in QUOTE_STAGES] if ask.effort else [0.0]
    for effort in efforts:
        found = quote_job(workshop, ask.job_id, job, effort, ask.near)
        yield PlannerAnswer(ask.serial, quote=found, last=not ask.effort)
    for odds in odds_of_quote(workshop, ask.job_id, job, found.plan) if ask.effort else ():
        yield PlannerAnswer(ask.serial, quote=found, odds=odds, last=odds.done)


def _reasons(
    workshop: OpenShop, ask: PlannerQuestion, plan: Plan, address: str, pass_no: int
) -> Iterator[PlannerAnswer]:
    """The reasons, then each change that helps the step's job as it is found, and then that all were tried."""
    from shopday.planning.questions.why import why
    from shopday.planning.whatif.ranking import EFFORT, HelpfulChange, best_first, helpful_changes

    yield PlannerAnswer(ask.serial, reasons=why(workshop, plan, address, pass_no))
    found: tuple[HelpfulChange, ...] = ()
    for help in helpful_changes(workshop, plan, address.split("/")[0], EFFORT * ask.effort):
        found = best_first((*found, help))
        yield PlannerAnswer(ask.serial, helps=found)
    yield PlannerAnswer(ask.serial, helps=found, last=True)


class _Dropped(Exception):
    """A newer question came."""


class PlannerWorker:
    """Works until its input ends."""

    def __init__(self, asked: IO[bytes], answered: IO[bytes], folder: Path, now: dt.datetime | None) -> None:
        self.asked, self.answered, self.folder, self.now = asked, answered, folder, now
        self.asks: SimpleQueue[PlannerQuestion | None] = SimpleQueue()
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
                self._tell(PlannerAnswer(ask.serial, trouble=str(error) or type(error).__name__, last=True))

    def _workshop(self, workshop: OpenShop | None) -> OpenShop:
        from shopday.planning.open_shop import OpenShop

        if workshop is None:
            return OpenShop(self.folder, self.now)
        workshop.refresh()
        return workshop

    def _answer(self, workshop: OpenShop, ask: PlannerQuestion) -> None:
        try:
            self.searching = True
            for answer in planner_answers(workshop, ask):
                self.searching = False
                if not self.asks.empty():
                    return
                self._tell(answer)
                self._give_way()
                self.searching = True
            self.searching = False
        except _Dropped:
            pass

    def _tell(self, answer: PlannerAnswer) -> None:
        pickle.dump(answer, self.answered, pickle.HIGHEST_PROTOCOL)
        self.answered.flush()

    def _give_way(self) -> None:
        """After the first answer keys come before the search."""
        if hasattr(os, "nice") and os.nice(0) < POLITE:
            os.nice(POLITE)

    def _newest(self) -> PlannerQuestion | None:
        ask = self.asks.get()
        while not self.asks.empty() and ask is not None:
            ask = self.asks.get()
        return ask

    def _read(self) -> None:
        while True:
            try:
                ask = pickle.load(self.asked)
            except (EOFError, OSError, pickle.UnpicklingError):
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


def serve_planner(folder: str, now: str) -> None:
    """What the process runs. `now` is ISO text, or "" for the clock. Whatever prints does not reach the answers."""
    asked, answered = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    PlannerWorker(asked, answered, Path(folder), dt.datetime.fromisoformat(now) if now else None).work()
