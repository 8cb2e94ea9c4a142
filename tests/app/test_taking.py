"""Better plans: taken silently when the day stays, offered when it would be shuffled under somebody's eyes."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from app_reading import news, press_each, read, rows_text, toasts
from app_shop import NOW, app_on
from textual.pilot import Pilot

from shopday.app.actions import plan_updates
from shopday.app.actions.window_alarm import closing_soon, countdown_line
from shopday.app.app import ShopdayApp
from shopday.app.planner_client import FIRST, Deliver, PlannerAnswer, PlannerQuestion
from shopday.app.screens import step_screen
from shopday.app.session_state import day_order
from shopday.app.widgets import row_list
from shopday.app.widgets.row_list import Row, RowList
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import PlannedStep, State
from shopday.planning.questions.dashboard import dashboard
from shopday.planning.questions.dashboard_types import Dashboard, WaitingItem
from shopday.scheduler import finished

pytestmark = pytest.mark.slow


class HandPlanner:
    """Answers when the test says so."""

    def __init__(self) -> None:
        self.asked: list[PlannerQuestion] = [FIRST]
        self._deliver: Deliver = lambda _: None
        self.started_again = 0

    def listen(self, deliver: Deliver) -> None:
        self._deliver = deliver

    def ask(self, ask: PlannerQuestion) -> None:
        self.asked.append(ask)

    def close(self) -> None:
        """Nothing to end."""

    def start_again(self) -> None:
        self.started_again += 1

    def answer(self, seen: Dashboard, serial: int | None = None, offer: Dashboard | None = None) -> None:
        self._deliver(PlannerAnswer(self.asked[-1].serial if serial is None else serial, seen, offer))

    def taken(self, seen: Dashboard) -> None:
        """A better plan was used by itself."""
        self._deliver(PlannerAnswer(self.asked[-1].serial, seen, taken=True))

    def end(self) -> None:
        """Nothing better will come."""
        self._deliver(PlannerAnswer(self.asked[-1].serial, last=True))

    def gone(self) -> None:
        self._deliver(None)


def shuffled(seen: Dashboard) -> Dashboard:
    """The plan with two pieces of today's work in each other's place."""
    plan = seen.plan
    today = [
        s
        for s in plan.steps
        if s.kind == "work" and s.state == State.PLANNED and s.start.date() == NOW.date()
    ]
    one, two = sorted(today, key=lambda s: s.start)[:2]
    moved = {
        one.key: one._replace(start=two.start, end=two.end, stretches=two.stretches),
        two.key: two._replace(start=one.start, end=one.end, stretches=one.stretches),
    }
    return seen._replace(plan=plan._replace(steps=tuple(moved.get(s.key, s) for s in plan.steps)))


def opened(shop: Path) -> tuple[ShopdayApp, HandPlanner, Dashboard]:
    open_shop, planner = OpenShop(shop, NOW), HandPlanner()
    return app_on(open_shop, planner), planner, finished(dashboard(open_shop, open_shop.plan(0)))


async def test_before_the_first_plan_the_screen_says_that_it_is_being_made(shop: Path) -> None:
    app, planner, plan = opened(shop)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        assert "Working out the day" in read(app, "#now")
        planner.answer(plan)
        await pilot.pause()
        assert "Under way" in read(app, "#now")


async def test_a_better_plan_is_offered_used_with_x_and_undone_with_u(shop: Path) -> None:
    app, planner, plan = opened(shop)
    better = shuffled(plan)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        planner.answer(plan)
        await pilot.pause()
        before, kept = rows_text(app, "#day"), app.session.state.open_shop.kept()
        planner.answer(plan, offer=better)
        await pilot.pause()
        assert rows_text(app, "#day") == before
        assert read(app, "#offer").startswith("x: use a better plan.")
        await pilot.press("x")
        await pilot.pause()
        assert day_order(app.session.state.plan, NOW.date()) == day_order(better.plan, NOW.date())
        assert news(app) == "Using the better plan."
        assert app.session.state.open_shop.kept() != kept
        await pilot.press("u")
        await pilot.pause()
        assert "Undone: the better plan" in news(app) or planner.asked[-1].near is None
        assert app.session.state.open_shop.kept() == kept


async def test_a_better_plan_is_kept_for_what_was_known_when_it_was_found(shop: Path) -> None:
    """Another program logs while it is on offer: the next plan counts that, instead of taking it as known."""
    app, planner, seen = opened(shop)
    mark = OpenShop(shop, NOW).mark()
    async with app.run_test(size=(80, 24)) as pilot:
        planner.answer(seen, offer=shuffled(seen)._replace(mark=mark))
        await pilot.pause()
        assert seen.day.take_up is not None
        OpenShop(shop, NOW).log("finish", seen.day.take_up.address)
        await pilot.press("x")
        await pilot.pause()
        kept = app.session.state.open_shop.kept()
        assert kept is not None
        assert kept.mark == mark


async def test_an_offer_says_at_80_columns_too_who_comes_later_for_it(shop: Path) -> None:
    app, planner, seen = opened(shop)
    one, two, *others = seen.plan.jobs
    assert one.delivery is not None
    assert two.delivery is not None
    sooner = one._replace(delivery=one.delivery - dt.timedelta(days=6))
    later = two._replace(delivery=two.delivery + dt.timedelta(days=1))
    better = seen._replace(plan=seen.plan._replace(jobs=(sooner, later, *others)))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        planner.answer(seen)
        planner.answer(seen, offer=better)
        await pilot.pause()
        told = f"For it: {two.title} 1 day later (3 days in hand, wants 6)."
        assert read(app, "#offer").endswith(told)
        assert app.screen.query_one("#offer").size.height == 2


async def test_a_better_plan_for_a_new_day_is_used_unasked_and_reported(shop: Path) -> None:
    app, planner, plan = opened(shop)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        planner.answer(plan)
        await pilot.pause()
        planner.taken(shuffled(plan))
        await pilot.pause()
        assert "A better plan for the new day is used." in news(app)


@pytest.fixture
def this_very_moment(monkeypatch: pytest.MonkeyPatch) -> None:
    """No second passes after the day was put in another order."""
    for module in (plan_updates, row_list, step_screen):
        monkeypatch.setattr(module, "monotonic", lambda: 1000.0)


def without(seen: Dashboard, step: PlannedStep, take_up: PlannedStep | None = None) -> Dashboard:
    """Another order of the day, in which the step is none of today's; `take_up`: what to start now instead."""
    lines = tuple(line for line in seen.day.lines if line.step != step)
    return shuffled(seen)._replace(day=seen.day._replace(lines=lines, take_up=take_up))


@pytest.mark.usefixtures("this_very_moment")
async def test_a_key_acts_on_the_step_under_the_cursor_after_a_reordering(shop: Path) -> None:
    app, planner, plan = opened(shop)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        planner.answer(plan)
        await pilot.pause()
        step = await on_planned(pilot, app)
        planner.answer(shuffled(plan))
        await pilot.pause()
        await press_each(pilot, "i")
        assert step.label in read(app, "#title")


@pytest.mark.usefixtures("this_very_moment")
async def test_a_key_meant_for_a_vanished_row_does_not_act_on_another(shop: Path) -> None:
    """Unless it is meant for what was begun, which is the same step wherever it stands."""
    app, planner, plan = opened(shop)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        planner.answer(plan)
        await pilot.pause()
        step = await on_planned(pilot, app)
        logged = len(app.session.state.open_shop.journal.facts())
        planner.answer(without(plan, step))
        await pilot.pause()
        rows = app.screen.query_one("#day", RowList)
        rows.highlighted = next(n for n, row in enumerate(rows.rows) if is_planned(row))
        await press_each(pilot, "s")
        assert "Press once more" in toasts(app)[-1]
        assert len(app.session.state.open_shop.journal.facts()) == logged
        await press_each(pilot, "f")
        assert len(app.session.state.open_shop.journal.facts()) == logged + 1


@pytest.mark.usefixtures("this_very_moment")
@pytest.mark.parametrize("another", [False, True])
async def test_a_start_meant_for_the_suggested_step_does_not_start_another(shop: Path, another: bool) -> None:
    """The cursor stands on what was finished, so `s` means the step that the card says to take up."""
    app, planner, plan = opened(shop)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        planner.answer(plan)
        await pilot.pause()
        await press_each(pilot, "f")
        open_shop = app.session.state.open_shop
        seen, logged = finished(dashboard(open_shop, open_shop.plan(0))), len(open_shop.journal.facts())
        planner.answer(seen)
        await pilot.pause()
        suggested = seen.day.take_up
        assert suggested is not None
        assert suggested.label in read(app, "#now")
        planned = (line.step for line in seen.day.lines if line.step is not None)
        other = next(s for s in planned if s.state == State.PLANNED and s.kind == "work" and s != suggested)
        planner.answer(without(seen, suggested, other) if another else shuffled(seen))
        await pilot.pause()
        await press_each(pilot, "s")
        if another:
            assert f"{other.label} took the place of another step" in toasts(app)[-1]
            assert len(open_shop.journal.facts()) == logged
        else:
            assert open_shop.journal.facts()[-1].kind == "start"
            assert open_shop.journal.facts()[-1].address == suggested.address


def is_planned(row: Row) -> bool:
    return getattr(row.subject, "state", "") == State.PLANNED and row.subject.kind == "work"


async def on_planned(pilot: Pilot[None], app: ShopdayApp) -> PlannedStep:
    """Go down to the first work that was not begun."""
    rows = app.screen.query_one("#day", RowList)
    while rows.current is None or not is_planned(rows.current):
        await press_each(pilot, "down")
    step: PlannedStep = rows.current.subject
    return step


async def test_answers_to_old_questions_are_ignored(shop: Path) -> None:
    app, planner, plan = opened(shop)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        first = planner.asked[-1].serial
        planner.answer(plan)
        await pilot.pause()
        app.session.plan_updates.replan_as_time_passes()
        planner.answer(shuffled(plan), first)
        await pilot.pause()
        assert app.session.state.dashboard is plan


async def test_a_planner_that_stops_is_started_again_and_asked_once_more(shop: Path) -> None:
    app, planner, plan = opened(shop)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        planner.answer(plan)
        planner.gone()
        await pilot.pause()
        assert news(app) == "The planner had stopped and was started again."
        assert planner.started_again == 1
        assert planner.asked[-1].serial > FIRST.serial
        planner.gone()
        await pilot.pause()
        assert "keeps stopping" in toasts(app)[-1]
        assert planner.started_again == 1


async def test_a_window_about_to_close_rings_once_and_counts_down(shop: Path) -> None:
    app, planner, plan = opened(shop)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        planner.answer(plan)
        await pilot.pause()
        closes = NOW.replace(minute=17)
        step = plan.plan.steps[0]
        wait = WaitingItem(
            "dwell", step, "wait", NOW, closes, 0.2, "", "Buff [off]", closing=True, closes=closes
        )
        app.session.state.dashboard = plan._replace(waits=(wait,))
        app._tick()
        app._tick()
        await pilot.pause()
        rung = [toast for toast in toasts(app) if "Buff [off]" in toast]
        assert len(rung) == 1
        assert "12m 00s left" in read(app, "#now")


def test_only_windows_about_to_close_are_counted_down(shop: Path) -> None:
    plan = OpenShop(shop, NOW).plan(0)
    step = plan.steps[0]

    def wait(minute: int) -> WaitingItem:
        closes = NOW.replace(hour=10, minute=minute)
        return WaitingItem("dwell", step, "wait", NOW, closes, 0.2, "", "Buff", closing=True, closes=closes)

    waits = [wait(4), wait(20), wait(50)]
    assert list(closing_soon(waits, NOW)) == [waits[1]]
    assert countdown_line(waits[1], NOW).plain == "! 15m 00s left, until 10:20: Buff"
