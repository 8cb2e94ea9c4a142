"""A shop lived through from its first day to its last delivery, logging what the plan says as it comes."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from shopday.planning.demo_copy import copy_demo
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Plan, PlannedStep, State
from shopday.planning.questions.day import day_view
from shopday.planning.questions.waiting import waiting_items
from shopday.planning.questions.why import why
from shopday.planning.solving.plan_decoder import decode_plan
from shopday.planning.solving.plan_solver import improved_plans
from shopday.scheduler import verify_result

pytestmark = pytest.mark.slow

NOW = dt.datetime(2026, 3, 26, 9, 10, tzinfo=ZoneInfo("Europe/London"))


def test_the_demo_is_lived_through_to_the_last_delivery(tmp_path: Path) -> None:
    now, folder, plan = NOW, copy_demo(tmp_path / "demo", NOW), None
    for _ in range(200):
        shop = OpenShop(folder, now)
        plan = _plan(shop, plan)
        _asked(shop, plan)
        event = _next_event(plan)
        if event is None:
            break
        kind, step, at = event
        now = max(now, at)
        OpenShop(folder, now).log(kind, step.address)
    assert plan is not None
    assert all(job.delivered for job in plan.jobs)
    assert {step.state for step in plan.steps} <= {State.DONE}
    assert (plan.late, plan.finish) == (0, 0)


def _plan(shop: OpenShop, near: Plan | None) -> Plan:
    built, result = next(filter(None, improved_plans(shop.folder, shop.state(), shop.minute(), 0, near)))
    assert verify_result(built.problem, result) == []
    plan = decode_plan(built, result)
    assert plan.unplaced == ()
    return plan


def _asked(shop: OpenShop, plan: Plan) -> None:
    """Every answer can be given at any time, and what is over does not come back."""
    day_view(shop, plan)
    for row in waiting_items(shop, plan):
        assert 0 <= row.share <= 1
        assert row.since <= plan.now
    assert all(step.start >= plan.now for step in plan.steps if step.state is State.PLANNED)
    for step in plan.steps[::9]:
        assert why(shop, plan, step.address, step.pass_no)


def _next_event(plan: Plan) -> tuple[str, PlannedStep, dt.datetime] | None:
    """What the plan says happens next: something starts, or is over, or is here; at the end, time goes by."""
    events: list[tuple[dt.datetime, str, PlannedStep]] = []
    for step in plan.steps:
        if step.kind == "arrives" and step.state is not State.DONE:
            events.append((max(step.end, plan.now), "arrived", step))
        elif step.state is State.PLANNED:
            events.append((step.start, "start", step))
        elif step.state is State.UNDER_WAY or (step.kind == "away" and step.state is State.WAITING):
            events.append((step.end, "finish", step))
    if not events:
        return None
    at, kind, step = min(events, key=lambda event: (event[0], event[1] == "start"))
    return kind, step, at
