"""Today and Waiting on, read as a person reads them."""

from __future__ import annotations

import pytest
from app_fakes import FakeWorkshop, later, small_plan
from textual.widgets import Static

from shopday.app.app import ShopdayApp
from shopday.app.moved import Moved
from shopday.app.planner import LocalPlanner

SIZES = [(80, 24), (120, 40)]


def app_on(workshop: FakeWorkshop) -> ShopdayApp:
    return ShopdayApp(workshop, LocalPlanner(workshop))  # type: ignore[arg-type]


def read(app: ShopdayApp, selector: str) -> str:
    return str(app.screen.query_one(selector, Static).render())


@pytest.mark.parametrize("size", SIZES)
async def test_first_screen_says_what_is_known(size: tuple[int, int]) -> None:
    app = app_on(FakeWorkshop(small_plan()))
    async with app.run_test(size=size, notifications=True) as pilot:
        await pilot.pause()
        assert "Tue 1 Dec  8:00" in read(app, "#clock")
        assert read(app, "#news") == ""


async def test_undo_with_nothing_logged_is_told() -> None:
    app = app_on(FakeWorkshop(small_plan()))
    async with app.run_test(notifications=True) as pilot:
        await pilot.press("u")
        await pilot.pause()
        assert [n.message for n in app._notifications] == ["nothing to take back"]


async def test_another_pass_shows_what_moves_and_can_be_taken_back() -> None:
    plan = small_plan()
    workshop = FakeWorkshop(plan, later(plan, "river", 3))
    app = app_on(workshop)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.deeds.log("again", plan.steps[1])
        await pilot.pause()
        assert isinstance(app.screen, Moved)
        told = read(app, "#told")
        assert "River table: 3 days later" in told
        assert "its promise of Fri 4 Dec SLIPS" in told
        await pilot.press("b")
        await pilot.pause()
        assert workshop.logged == []
