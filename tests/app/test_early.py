"""The first second: a plan before the shop is read, keys pressed ahead, plans no faster than they can be read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from app_reading import news, press_each, read, until, until_screen
from app_shop import NOW
from local_planner import LocalPlanner
from textual.widgets import Input

from shopday.app.app import ShopdayApp
from shopday.app.dialogs.form_dialog import FormDialog
from shopday.app.dialogs.step_dialog import StepDialog
from shopday.app.plan_answers import paced, plans_differ
from shopday.app.planner_worker import planner_answers
from shopday.app.protocol import FIRST, PlannerQuestion
from shopday.app.screens.screen_registry import CLASSES
from shopday.app.screens.today_screen import TodayScreen
from shopday.planning.open_shop import OpenShop
from shopday.planning.solving.search_memory import SearchMemory
from shopday.shop.faults import ShopdayError

pytestmark = pytest.mark.slow


class LateShop:
    """Read when the test says so."""

    def __init__(self) -> None:
        self.hand_on: Callable[[OpenShop | Exception], object] = lambda found: found

    def __call__(self, hand_on: Callable[[OpenShop | Exception], object]) -> None:
        self.hand_on = hand_on


async def test_the_first_plan_stands_before_the_shop_is_read_and_keys_pressed_ahead_are_taken(
    shop: Path,
) -> None:
    open_shop, late = OpenShop(shop, NOW), LateShop()
    app = ShopdayApp(late, LocalPlanner(open_shop, effort=0))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        assert "Under way" in read(app, "#now")
        await pilot.press("f")
        await pilot.pause()
        assert "Under way" in read(app, "#now")
        late.hand_on(open_shop)
        await pilot.pause()
        await pilot.pause()
        assert "Finished: Cut the joints" in news(app)


async def test_the_app_can_be_quit_before_the_shop_is_read(shop: Path) -> None:
    app = ShopdayApp(LateShop(), LocalPlanner(OpenShop(shop, NOW), effort=0))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.press("q")
    assert app.return_code == 0


async def test_a_shop_that_cannot_be_read_ends_the_app_with_its_fault(shop: Path) -> None:
    late = LateShop()
    app = ShopdayApp(late, LocalPlanner(OpenShop(shop, NOW), effort=0))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        late.hand_on(ShopdayError("shop.toml:1: no"))
        await pilot.pause()
    assert app.return_code == 2
    assert str(app.trouble) == "shop.toml:1: no"


def test_plans_keep_the_pause_between_them_but_the_last_always_comes(shop: Path) -> None:
    first = OpenShop(shop, NOW).plan(0)
    plans = [first._replace(steps=first.steps[n:]) for n in range(5)]
    assert list(paced(plans, plans_differ, pause=3600)) == [plans[0], plans[4]]
    assert list(paced(plans, plans_differ, pause=0)) == plans
    assert list(paced([first, first, first], plans_differ, pause=0)) == [first]


def test_a_search_starts_from_the_last_plan_and_yields_nothing_worse(shop: Path) -> None:
    open_shop = OpenShop(shop, NOW)
    long = [
        a.dashboard.plan
        for a in filter(None, planner_answers(open_shop, replace(FIRST, effort=0.02), SearchMemory()))
        if a.dashboard
    ]
    again = [
        a.dashboard.plan
        for a in filter(
            None, planner_answers(OpenShop(shop, NOW), replace(FIRST, effort=0.02), SearchMemory())
        )
        if a.dashboard
    ]
    aims = [(plan.late, plan.finish) for plan in again]
    assert aims[0] == (long[-1].late, long[-1].finish)
    assert aims == sorted(aims, reverse=True)


async def test_screens_and_dialogs_are_set_up_unseen_and_ask_nothing(shop: Path) -> None:
    asked: list[PlannerQuestion] = []

    class Listened(LocalPlanner):
        def ask(self, ask: PlannerQuestion) -> None:
            asked.append(ask)
            super().ask(ask)

    open_shop = OpenShop(shop, NOW)
    app = ShopdayApp(lambda hand_on: hand_on(open_shop), Listened(open_shop, effort=0), ahead=True)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "tab")
        await until(pilot, lambda: "HelpDialog" in app._installed_screens)
        assert all(app.get_screen(name).is_running for name in CLASSES)
        assert isinstance(app.screen, TodayScreen)
        assert app.screen.query_one("#waiting").has_focus
        wait = app.screen.selected_step()
        assert wait is not None
        await press_each(pilot, "enter")
        await until_screen(pilot, StepDialog)
        assert read(app, "#title") == wait.full
        await press_each(pilot, "escape", "d")
        await until_screen(pilot, FormDialog)
        assert app.screen.query_one("#b-name", Input).value == wait.name
    assert asked == [FIRST]
