"""One job: its steps whole at every width, and its chance as a picture."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_reading import press_each, read, rows_text, toasts, until_screen
from app_shop import NOW, OpenApp, app_on
from local_planner import LocalPlanner

from shopday.app.protocol import PlannerAnswer
from shopday.app.screens.job_screen import JobScreen
from shopday.app.screens.today_screen import TodayScreen
from shopday.planning.odds.delivery_odds import odds_of
from shopday.planning.open_shop import OpenShop
from shopday.text.times import date_text, moment_text

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("size", [(41, 46), (60, 18), (80, 24), (120, 40)])
async def test_every_step_of_a_job_is_whole(open_app: OpenApp, size: tuple[int, int]) -> None:
    app = open_app()
    async with app.run_test(size=size, notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "2", "enter")
        await until_screen(pilot, JobScreen)
        told = " ".join(rows_text(app, "#steps").split())
        assert "…" not in told
        plan = app.session.state.plan
        assert plan is not None
        assert isinstance(app.screen, JobScreen)
        steps = [row.subject for row in app.screen.query_one("#steps").rows if row.subject]  # type: ignore[attr-defined]
        assert len(steps) > 3
        for step in steps:
            assert step.label in told
            assert f"ready {moment_text(step.complete, NOW)}" in told


async def test_the_chance_of_a_job_is_a_picture_with_the_dates_that_hold(shop: Path) -> None:
    open_shop = OpenShop(shop, NOW)
    app = app_on(open_shop, LocalPlanner(open_shop, effort=0))
    async with app.run_test(size=(110, 40), notifications=True) as pilot:
        await press_each(pilot, "2", "enter")
        await until_screen(pilot, JobScreen)
        plan = app.session.state.plan
        assert plan is not None
        odds = next(filter(None, odds_of(open_shop, plan, draws=12, every=12)))
        app.session.plan_updates.answered(PlannerAnswer(app.session.plan_updates._plan_serial, odds=odds))
        await pilot.pause()
        head = read(app, "#job-head")
        shown = next(row for row in plan.jobs if row.title in head.splitlines()[0])
        found = odds.job(shown.job)
        assert found is not None
        assert found.p80 is not None
        picture = head.splitlines()[-1]
        assert f"80 % by {date_text(found.p80.date(), NOW.date())}" in picture
        assert "◆" in picture
        assert ("◇" in picture) == (shown.promise is not None)


async def test_what_is_refused_names_the_step(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "s")
        assert toasts(app)[-1].startswith("Cut the joints (Stand of Pear lectern) was started 9:30 already")


async def test_escape_leaves_the_view_for_the_wall(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "z")
        assert not app.screen.query_one("#lists").display
        await press_each(pilot, "escape")
        assert app.screen.query_one("#lists").display
        await press_each(pilot, "escape")
        assert isinstance(app.screen, TodayScreen)
        assert app.screen.query_one("#lists").display


async def test_a_step_at_the_end_of_its_part_says_so_when_it_is_moved_on(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "2", "enter")
        await until_screen(pilot, JobScreen)
        before = rows_text(app, "#steps")
        await press_each(pilot, "home", "b")
        assert toasts(app)[-1].endswith("is the first step of its part already.")
        await press_each(pilot, "end", "n")
        assert toasts(app)[-1].endswith("is the last step of the whole job already.")
        assert rows_text(app, "#steps") == before


WIPED = """
title = "Bench"
[[steps]]
id = "oil"
name = "Oil it"
hands_on = "30m"
waits = [{ name = "dwells", takes = "10m" }]
[[steps]]
id = "buff"
name = "Buff it dry"
hands_on = "15m"
within = "20m"
"""


async def test_work_that_missed_its_window_in_the_log_alone_is_logged_on_its_line(tmp_path: Path) -> None:
    """The oil was logged late, when buffing it in time could no longer be planned, though that was done."""
    (tmp_path / "jobs").mkdir()
    hours = "".join(f'{day} = ["08:00-17:00"]\n' for day in ("wednesday", "thursday"))
    (tmp_path / "shop.toml").write_text(
        f'name = "Shop"\ntimezone = "America/Denver"\n[hours]\n{hours}', "utf-8"
    )
    (tmp_path / "jobs" / "bench.toml").write_text(WIPED, "utf-8")
    open_shop = OpenShop(tmp_path, NOW)
    for kind, minute in (("start", 0), ("finish", 30)):
        open_shop.log(kind, "bench/oil", NOW.replace(hour=8, minute=minute))
    app = app_on(open_shop)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "2", "enter")
        await until_screen(pilot, JobScreen)
        told = " ".join(rows_text(app, "#steps").split())
        assert "Buff it dry must start within 20m of Oil it" in told
        assert "bench/" not in told
        await press_each(pilot, "end", "enter", "S", *"8:45", "enter", "F", *"9:00", "enter")
        told = " ".join(rows_text(app, "#steps").split())
        assert "Buff it dry done 8:45 ready 9:00" in told
