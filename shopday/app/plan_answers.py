"""Answers about the kept plan: the plan at once, then whether a better one is worth the change, which dates hold,
and, with the exact engine installed, what a much longer search finds."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

from shopday.app.protocol import PlannerAnswer, PlannerQuestion
from shopday.planning.odds.delivery_odds import odds_of
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Plan
from shopday.planning.questions.dashboard import dashboard
from shopday.planning.questions.optimality_text import plan_optimality
from shopday.planning.solving.better_plans import KnownPlan, worth_it_unasked
from shopday.planning.solving.plan_solver import prover_missing
from shopday.planning.solving.search_memory import SearchMemory

T = TypeVar("T")

SECONDS_BETWEEN_PLANS = 0.4
"""Seconds between two better plans: nobody reads faster, and each costs the screen time."""

LONGER_EFFORT = 16.0
"""The effort of the longer search: a minute or two in the background."""


def plan_answers(
    open_shop: OpenShop, ask: PlannerQuestion, memory: SearchMemory
) -> Iterator[PlannerAnswer | None]:
    """Yield the kept plan, or new ones by a search if none is kept, then what becomes known of it. None is a
    heartbeat."""
    mark, made_anew = open_shop.mark(), open_shop.is_to_be_planned()
    known: KnownPlan | None = None
    for plan in paced(open_shop.plans(ask.effort), plans_differ):
        if plan is not None:
            known = yield from memory.recall(open_shop, mark, plan)
        yield from _news(open_shop, ask, mark, None if plan is None else known)
    assert known is not None  # `plans` yields at least one
    if ask.effort:
        if not (made_anew or known[0].proven):
            for found in open_shop.offers(known[0], ask.effort, known[1]):
                known = found or known
                yield None
            yield from _news(open_shop, ask, mark, known)
        plan, offer = known
        unasked = ask.day_begins and offer is not None and worth_it_unasked(plan, offer)
        if unasked and offer is not None and open_shop.nothing_logged_today():
            known = offer, None
            begun = yield from dashboard(open_shop, known[0])
            open_shop.use_plan(known[0], mark)
            yield PlannerAnswer(ask.serial, dashboard=begun, taken=True)
        memory.note(mark, known)
        for odds in odds_of(open_shop, known[0]):
            yield None if odds is None else PlannerAnswer(ask.serial, odds=odds)
        if ask.effort >= 1 and not (memory.searched or known[0].proven or prover_missing()):
            yield from _looked_farther(open_shop, ask, memory, mark, known)
    yield PlannerAnswer(ask.serial, last=True)


def _looked_farther(
    open_shop: OpenShop, ask: PlannerQuestion, memory: SearchMemory, mark: str, known: KnownPlan
) -> Iterator[PlannerAnswer | None]:
    """Yield each better offer as it is found, and what becomes known of the kept plan."""
    for found in paced(
        open_shop.offers(known[0], LONGER_EFFORT * ask.effort, known[1]), _say_different_things
    ):
        if found is not None:
            memory.note(mark, known := found)
        yield from _news(open_shop, ask, mark, found)
    memory.searched = not known[0].proven


def _news(
    open_shop: OpenShop, ask: PlannerQuestion, mark: str, known: KnownPlan | None
) -> Iterator[PlannerAnswer | None]:
    """Yield heartbeats, then the answer with the dashboards; one heartbeat if nothing is known."""
    if known is None:
        yield None
        return
    plan, offer = known
    better = None if offer is None else (yield from dashboard(open_shop, offer, mark))
    shown = yield from dashboard(open_shop, plan)
    yield PlannerAnswer(ask.serial, dashboard=shown, offer=better)


def paced(
    results: Iterable[T | None], differ: Callable[[T, T], bool], pause: float = SECONDS_BETWEEN_PLANS
) -> Iterator[T | None]:
    """Yield the first result at once, later ones at least `pause` seconds apart, and the last in any case; none
    twice. Heartbeats pass through."""
    shown: T | None = None
    held: T | None = None
    due = 0.0
    for result in results:
        held = held if result is None else result
        if result is None:
            yield None
        elif time.monotonic() >= due and (shown is None or differ(result, shown)):
            yield result
            shown, due = result, time.monotonic() + pause
    if held is not None and (shown is None or differ(held, shown)):
        yield held


def plans_differ(one: Plan, other: Plan) -> bool:
    """True if the steps differ, or what is known of how good the plan is."""
    return (one.steps, one.late_bound, one.short_bound, one.finish_bound) != (
        other.steps,
        other.late_bound,
        other.short_bound,
        other.finish_bound,
    )


def _say_different_things(one: KnownPlan, other: KnownPlan) -> bool:
    """True if the screen would show a difference."""
    return one[1] is not other[1] or _said(one[0]) != _said(other[0])


def _said(plan: Plan) -> tuple[object, ...]:
    return plan_optimality(plan), *(row.floor for row in plan.jobs)
