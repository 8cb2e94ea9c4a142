"""The app left open over midnight, and on a computer that slept: the day on the screen is the day it is."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from app_shop import NOW, app_on
from local_planner import LocalPlanner

from shopday.app.app import PLAN_EVERY
from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow


@pytest.mark.parametrize(
    "later",
    [
        pytest.param(NOW.replace(hour=0, minute=0) + dt.timedelta(days=1), id="midnight"),
        pytest.param(NOW + dt.timedelta(days=5), id="asleep over the weekend"),
        pytest.param(NOW + dt.timedelta(seconds=PLAN_EVERY), id="asleep for a moment"),
        pytest.param(NOW - dt.timedelta(days=1), id="clock set back"),
    ],
)
async def test_a_new_day_is_planned_at_once(shop: Path, later: dt.datetime) -> None:
    open_shop = OpenShop(shop, NOW - dt.timedelta(minutes=1))
    app = app_on(open_shop, LocalPlanner(open_shop, effort=0))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for now in (NOW, later):
            set_clock(open_shop, now)
            app._tick()
            await pilot.pause()
        assert app.session.state.dashboard is not None
        assert app.session.state.dashboard.plan.now == later
        assert app.session.state.dashboard.day.date == later.date()


async def test_a_minute_later_the_plan_is_not_made_again(shop: Path) -> None:
    open_shop = OpenShop(shop, NOW)
    app = app_on(open_shop, LocalPlanner(open_shop, effort=0))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        set_clock(open_shop, NOW + dt.timedelta(minutes=1))
        app._tick()
        await pilot.pause()
        assert app.session.state.plan is not None
        assert app.session.state.plan.now == NOW


def set_clock(open_shop: OpenShop, now: dt.datetime) -> None:
    open_shop._now = open_shop.zone.of(now)
