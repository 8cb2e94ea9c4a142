"""A step pinned to now: shown before it is kept, taken back with one key, let go again."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from app_reading import choices, choose, news, read, rows_text, toasts, until_screen
from app_shop import NOW, OpenApp, app_on
from textual.pilot import Pilot
from textual.widgets import Input

from shopday.app.app import ShopdayApp
from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.planning.fact_logging.pins import pin, pinned
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import PlannedStep
from shopday.planning.questions.dashboard import dashboard
from shopday.planning.solving import plan_solver
from shopday.scheduler import finished, verify

pytestmark = pytest.mark.slow


def instead(app: ShopdayApp) -> PlannedStep:
    """The last of what could be started now instead: the plan has it latest."""
    assert app.session.state.dashboard is not None
    return app.session.state.dashboard.day.could_start[-1].step


async def press_now(app: ShopdayApp, pilot: Pilot[None], step: PlannedStep) -> None:
    app.session.step_actions.pin(step)
    await until_screen(pilot, QuestionDialog)
    await choose(pilot, "0")
    await until_screen(pilot, ConfirmMoves)


def starts(app: ShopdayApp, step: PlannedStep) -> str:
    assert app.session.state.plan is not None
    found = app.session.state.plan.step(*step.key)
    assert found is not None
    return f"{found.start:%a %H:%M}"


async def test_a_pin_to_now_puts_the_step_first_and_one_key_undoes_it(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        step, before = instead(app), rows_text(app, "#day")
        await press_now(app, pilot, step)
        assert read(app, "#title").startswith("Pinned to go first: ")
        assert step.label in read(app, "#title")
        await pilot.press("k")
        await pilot.pause()
        # the maker's hands are at the joints until 12:30, then comes the break
        assert starts(app, step) == "Wed 13:15"
        assert news(app).startswith("Kept: Pinned to go first")
        open_shop = app.session.state.open_shop
        plans = plan_solver.improved_plans(open_shop.folder, open_shop.state(), open_shop.minute(), 0)
        for built, result in filter(None, plans):
            assert not verify(built.problem, result.schedule)
        await pilot.press("u")
        await pilot.pause()
        assert "Undone: pinning of" in news(app)
        assert rows_text(app, "#day") == before


async def test_a_declined_pin_is_not_kept(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        step = instead(app)
        await press_now(app, pilot, step)
        await pilot.press("u")
        await pilot.pause()
        assert not app.session.state.open_shop.state().pins
        assert step.key in {other.step.key for other in app.session.state.dashboard.day.could_start}


async def test_the_dialog_shows_and_removes_the_pin(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        step = instead(app)
        await press_now(app, pilot, step)
        await pilot.press("k")
        await pilot.pause()
        app.session.step_actions.show_step(step)
        await pilot.pause()
        assert "pinned: goes first until it is started" in read(app, "#facts")
        await pilot.press("i")
        await until_screen(pilot, QuestionDialog)
        await choose(pilot, "2")
        await until_screen(pilot, ConfirmMoves)
        assert read(app, "#title") == f"Unpinned: {step.full}"
        await pilot.press("k")
        await pilot.pause()
        assert not pinned(app.session.state.open_shop, step)


@pytest.mark.parametrize(
    ("later", "start"), [("12-02T13:00", "13:20"), ("12-02T14:40", "14:45"), ("12-03T08:00", "8:05")]
)
async def test_a_pin_moves_along_with_the_clock_until_the_step_is_begun(
    shop: Path, later: str, start: str
) -> None:
    """The joints are at the maker's hands all the time: five minutes are left of what is overdue."""
    first = OpenShop(shop, NOW)
    step = finished(dashboard(first, first.plan(0))).day.could_start[-1].step
    pin(first, step)
    open_shop = OpenShop(shop, dt.datetime.fromisoformat(f"2026-{later}").replace(tzinfo=NOW.tzinfo))
    plans = plan_solver.improved_plans(open_shop.folder, open_shop.state(), open_shop.minute(), 0)
    built, result = next(filter(None, plans))
    assert not verify(built.problem, result.schedule)
    app = app_on(open_shop)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        line = next(line for line in rows_text(app, "#day").splitlines() if ", pinned" in line)
        assert line.startswith(start)
        open_shop.log("finish", "pear-lectern/stand/joints")
        open_shop.log("start", step.address)
        app.session.check_files()
        await pilot.pause()
        assert "Under way" in read(app, "#now")
        assert ", pinned" not in rows_text(app, "#day")


async def test_a_step_under_way_cannot_be_pinned(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("i")
        await pilot.pause()
        assert toasts(app)[-1] == "Cut the joints is under way already."
        app.session.step_actions.pin(instead(app))
        await pilot.pause()
        assert choices(app) == ["0", "1", "typed", "leave"]


@pytest.mark.parametrize("typed", ["now", " Now "])
async def test_a_step_that_cannot_start_yet_cannot_be_pinned_to_now(open_app: OpenApp, typed: str) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        assert app.session.state.plan is not None
        last = max(app.session.state.plan.steps, key=lambda s: s.start)
        app.session.step_actions.pin(last)
        await pilot.pause()
        app.screen.query_one("#answer", Input).value = typed
        await pilot.press("enter")
        await pilot.pause()
        assert f"{last.label} cannot be started yet" in toasts(app)[-1]
        assert not app.session.state.open_shop.state().pins
        assert app.session.state.now == NOW
