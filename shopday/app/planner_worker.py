"""The planner's process: answers one question at a time, the newest first, better and better."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Generator, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.app.protocol import PlannerAnswer, PlannerQuestion
from shopday.worker_process import serve

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Plan
    from shopday.planning.solving.search_memory import SearchMemory
    from shopday.shop.models import Job

QUOTE_STAGES = (0, 1)
"""Shares of the effort after which a quote is answered."""

NICENESS = 5
"""The niceness of the planner's process."""


def planner_answers(
    open_shop: OpenShop, ask: PlannerQuestion, memory: SearchMemory
) -> Iterator[PlannerAnswer | None]:
    """Yield better and better answers to a question, then the odds of the best plan. A person's mistake is an answer
    too. None is a heartbeat."""
    from shopday.app.plan_answers import plan_answers
    from shopday.shop.faults import ShopdayError

    try:
        if ask.job is not None:
            yield from _quotes(open_shop, ask, ask.job)
        elif ask.why is not None and ask.near is not None:
            yield from _reasons(open_shop, ask, ask.near, *ask.why)
        else:
            yield from plan_answers(open_shop, ask, memory)
    except ShopdayError as error:
        yield PlannerAnswer(ask.serial, trouble=str(error), last=True)


def _quotes(open_shop: OpenShop, ask: PlannerQuestion, job: Job) -> Iterator[PlannerAnswer | None]:
    """Yield a quote at once, another after a longer search, then which dates hold."""
    from shopday.planning.odds.delivery_odds import odds_of_quote
    from shopday.planning.questions.quote import work_out_quote

    efforts = [share * ask.effort for share in QUOTE_STAGES] if ask.effort else [0.0]
    for effort in efforts:
        found = yield from work_out_quote(open_shop, ask.job_id, job, effort, ask.near)
        yield PlannerAnswer(ask.serial, quote=found, last=not ask.effort)
    for odds in odds_of_quote(open_shop, ask.job_id, job, found.plan) if ask.effort else ():
        yield None if odds is None else PlannerAnswer(ask.serial, quote=found, odds=odds, last=odds.done)


def _reasons(
    open_shop: OpenShop, ask: PlannerQuestion, plan: Plan, address: str, pass_no: int
) -> Iterator[PlannerAnswer | None]:
    """Yield the reasons, then each change found to help the step's job, and last that all were tried."""
    from shopday.planning.questions.why import why
    from shopday.planning.whatif.ranking import HelpfulChange, helpful_changes

    yield PlannerAnswer(ask.serial, reasons=why(open_shop, plan, address, pass_no))
    found: tuple[HelpfulChange, ...] = ()
    for so_far in helpful_changes(open_shop, plan, address.split("/")[0], ask.effort):
        news = so_far is not None and so_far.found != found
        found = found if so_far is None else so_far.found
        yield PlannerAnswer(ask.serial, helps=found) if news else None
    yield PlannerAnswer(ask.serial, helps=found, last=True)


class PlannerWorker:
    """Answers questions about one shop, which it reads once and then keeps up to date. now: None for the clock."""

    def __init__(self, folder: Path, now: dt.datetime | None) -> None:
        self._folder, self._now = folder, now
        self._open_shop: OpenShop | None = None
        self._memory: SearchMemory | None = None

    def answers(self, ask: PlannerQuestion) -> Generator[PlannerAnswer | None, None, None]:
        from shopday.planning.solving.search_memory import SearchMemory

        self._memory = self._memory or SearchMemory()
        try:
            yield from planner_answers(self._up_to_date(), ask, self._memory)
        except Exception as error:
            self._open_shop = None
            yield PlannerAnswer(ask.serial, trouble=str(error) or type(error).__name__, last=True)

    def _up_to_date(self) -> OpenShop:
        from shopday.planning.open_shop import OpenShop

        if self._open_shop is None:
            self._open_shop = OpenShop(self._folder, self._now)
        else:
            self._open_shop.refresh()
        return self._open_shop


if __name__ == "__main__":
    folder, now = sys.argv[1:]
    serve(PlannerWorker(Path(folder), dt.datetime.fromisoformat(now) if now else None).answers, NICENESS)
