"""The planner's process: one question at a time, the newest first, answered better and better."""

from __future__ import annotations

import datetime as dt
import sys
import time
from collections.abc import Generator, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.app.protocol import PlannerAnswer, PlannerQuestion
from shopday.worker_process import serve

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


def planner_answers(open_shop: OpenShop, ask: PlannerQuestion) -> Iterator[PlannerAnswer | None]:
    """Every answer to a question, better and better, then the odds of the best plan; a person's mistake is an
    answer too. None between them is a heartbeat."""
    from shopday.shop.faults import ShopdayError

    try:
        if ask.job is not None:
            yield from _quotes(open_shop, ask, ask.job)
        elif ask.why is not None and ask.near is not None:
            yield from _reasons(open_shop, ask, ask.near, *ask.why)
        else:
            yield from _plans(open_shop, ask)
    except ShopdayError as error:
        yield PlannerAnswer(ask.serial, trouble=str(error), last=True)


def _plans(open_shop: OpenShop, ask: PlannerQuestion) -> Iterator[PlannerAnswer | None]:
    """The plan on the wall at once, made by a search where there is none; then whether a better one is worth the
    change, and what dates hold."""
    from shopday.planning.odds.delivery_odds import odds_of
    from shopday.planning.questions.dashboard import dashboard

    plan: Plan | None = None
    made_anew = open_shop.is_to_be_planned()
    for found in paced(open_shop.plans(ask.effort)):
        plan = found or plan
        yield None if found is None else PlannerAnswer(ask.serial, dashboard=dashboard(open_shop, found))
    assert plan is not None  # there is always one
    if ask.effort and not made_anew:
        for answer in _offers(open_shop, ask, plan):
            plan = answer.dashboard.plan if answer is not None and answer.dashboard is not None else plan
            yield answer
    for odds in odds_of(open_shop, plan) if ask.effort else ():
        yield None if odds is None else PlannerAnswer(ask.serial, odds=odds)
    yield PlannerAnswer(ask.serial, last=True)


def _offers(open_shop: OpenShop, ask: PlannerQuestion, plan: Plan) -> Iterator[PlannerAnswer | None]:
    from shopday.planning.questions.dashboard import dashboard

    known, offer = plan, None
    for found in open_shop.offers(plan, ask.effort):
        known, offer = found or (known, offer)
        yield None
    if offer is not None and ask.day_begins and open_shop.nothing_logged_today():
        open_shop.use_plan(offer)
        yield PlannerAnswer(ask.serial, dashboard=dashboard(open_shop, offer), taken=True)
    else:
        better = None if offer is None else dashboard(open_shop, offer)
        yield PlannerAnswer(ask.serial, dashboard=dashboard(open_shop, known), offer=better)


def paced(plans: Iterable[Plan | None], pause: float = PAUSE) -> Iterator[Plan | None]:
    """The first plan at once, later ones no closer than the pause, and the last in any case; none twice. Heartbeats go
    through."""
    shown = held = None
    due = 0.0
    for plan in plans:
        held = plan or held
        if plan is None:
            yield None
        elif time.monotonic() >= due and (shown is None or _differ(plan, shown)):
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


def _quotes(open_shop: OpenShop, ask: PlannerQuestion, job: Job) -> Iterator[PlannerAnswer | None]:
    """A date at once, then after longer looking, and then what dates hold."""
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
    """The reasons, then each change that helps the step's job as it is found, and then that all were tried."""
    from shopday.planning.questions.why import why
    from shopday.planning.whatif.ranking import EFFORT, HelpfulChange, best_first, helpful_changes

    yield PlannerAnswer(ask.serial, reasons=why(open_shop, plan, address, pass_no))
    found: tuple[HelpfulChange, ...] = ()
    for help in helpful_changes(open_shop, plan, address.split("/")[0], EFFORT * ask.effort):
        if help is not None:
            found = best_first((*found, help))
        yield None if help is None else PlannerAnswer(ask.serial, helps=found)
    yield PlannerAnswer(ask.serial, helps=found, last=True)


class PlannerWorker:
    """Answers questions about one shop, which is read once and then kept up to date. `now`: None for the clock."""

    def __init__(self, folder: Path, now: dt.datetime | None) -> None:
        self._folder, self._now = folder, now
        self._open_shop: OpenShop | None = None

    def answers(self, ask: PlannerQuestion) -> Generator[PlannerAnswer | None, None, None]:
        try:
            yield from planner_answers(self._up_to_date(), ask)
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
    serve(PlannerWorker(Path(folder), dt.datetime.fromisoformat(now) if now else None).answers, POLITE)
