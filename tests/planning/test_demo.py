"""The demo shop is alive whatever the date and the hour."""

from __future__ import annotations

import datetime as dt
import tempfile
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from shopday.planning.demo_copy import copy_demo
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import State
from shopday.planning.questions.day import day_view
from shopday.planning.questions.ledger import ledger
from shopday.planning.questions.purchasing import purchases
from shopday.planning.questions.waiting import waiting_items
from shopday.planning.solving.plan_decoder import decode_plan
from shopday.planning.solving.plan_solver import improved_plans
from shopday.scheduler import verify_result
from shopday.shop.faults import ShopdayError

ZONES = ("Europe/London", "America/Denver", "Pacific/Auckland", "Asia/Kathmandu")


@pytest.mark.slow
@settings(max_examples=8, deadline=None)
@given(now=st.datetimes(dt.datetime(2025, 1, 1), dt.datetime(2031, 12, 31)), zone=st.sampled_from(ZONES))
@example(now=dt.datetime(2026, 3, 29, 1, 30), zone="Europe/London")
@example(now=dt.datetime(2026, 10, 25, 1, 30), zone="Europe/London")
@example(now=dt.datetime(2026, 11, 29, 7, 0), zone="Europe/London")
@example(now=dt.datetime(2028, 2, 29, 23, 59), zone="America/Denver")
def test_it_is_alive(now: dt.datetime, zone: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        moment = now.replace(second=0, microsecond=0, tzinfo=ZoneInfo(zone))
        shop = OpenShop(copy_demo(Path(folder) / "demo", moment), moment)
        built, result = next(filter(None, improved_plans(shop.folder, shop.state(), shop.minute(), 0)))
        assert verify_result(built.problem, result) == []
        plan = decode_plan(built, result)
        assert plan.unplaced == ()
        assert len(plan.jobs) == 6
        assert 75 <= len(plan.steps) <= 90
        today, rows = day_view(shop, plan), waiting_items(shop, plan)
        assert today.take_up is not None
        assert today.take_up.state is State.UNDER_WAY
        assert {"casting-table", "short-clamps"} <= {
            id for step in plan.steps for w in step.waits for id in w.keeps
        }
        kinds = {row.kind for row in rows}
        assert {"wait", "away", "arrives", "window"} <= kinds
        assert any(job.promise == plan.now.date() for job in plan.jobs)
        bought = {row.step.step: row.state for row in purchases(shop, plan) if row.step.kind == "arrives"}
        assert bought == {"pulls": "overdue", "hinge": "ordered", "rush": "to order"}
        assert sum(row.over and row.actual.minutes > 0 for row in ledger(shop, "step")) >= 20
        assert [row.address for row in ledger(shop, "step") if row.unclocked] == []
        assert [job.job for job in plan.jobs if job.late_minutes and job.promise != plan.now.date()] != []


def test_the_demo_is_not_copied_over_other_files(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine", "utf-8")
    with pytest.raises(ShopdayError, match="not empty"):
        copy_demo(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]
