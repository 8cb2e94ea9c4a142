"""Each place of the app, read as a person reads it, at both sizes."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
from app_reading import news, press_each, read, rows_text, told_wrong, until, until_screen
from app_shop import NOW, OpenApp, app_on
from textual.widgets import Input, Select, Static

from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.dialogs.step_dialog import StepDialog
from shopday.app.dialogs.why_dialog import LOOKING, NONE_HELPS, WhyDialog
from shopday.app.planner_client import PlannerAnswer
from shopday.app.session_messages import QuestionAnswered
from shopday.planning.open_shop import OpenShop
from shopday.shop.loading.folder_reader import read_folder

pytestmark = pytest.mark.slow

SIZES = [(80, 24), (120, 40)]


@pytest.mark.parametrize("size", SIZES)
async def test_today_answers_what_to_work_on_and_what_is_waited_on(
    open_app: OpenApp, size: tuple[int, int]
) -> None:
    app = open_app()
    async with app.run_test(size=size, notifications=True) as pilot:
        await pilot.pause()
        assert "Under way, 35m so far" in read(app, "#now")
        assert "Cut the joints" in read(app, "#now")
        day = rows_text(app, "#day")
        assert "Break" in day
        assert "Could be started now instead" in day
        waiting = rows_text(app, "#waiting")
        assert "Pour the hollows" in waiting
        assert "brass pulls" in waiting
        assert "! overdue" in waiting
        assert re.search(r"13:13 .*\n? +backs in clamps: Glue up the backs", waiting)  # until when
        assert re.search(r" 27 ?%", waiting)  # how far along
        assert "then Glue the b" in waiting  # what it sets free
        assert re.match(r"! by 17:07 .*\n? +start Varnish the under", waiting)  # a window on top
        assert re.search(r"17:07 ! Last moment to start Varnish the underside", day)
        assert "○ Over since 13:13: backs in clamps" in day
        side_by_side = app.screen.query_one("#waiting").region.x > 20
        assert side_by_side == (size[0] >= 110)


async def test_finish_logs_what_is_under_way_and_the_plan_follows(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("f")
        await pilot.pause()
        assert "Finished: Cut the joints" in news(app)
        assert "Start now" in read(app, "#now")
        await pilot.press("u")
        await pilot.pause()
        assert "Undone: " in news(app)
        assert "Under way" in read(app, "#now")


async def test_another_pass_is_kept_only_after_confirmation(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        pour = next(
            s for s in app.session.state.plan.steps if s.name == "Pour the hollows" and s.state == "waiting"
        )
        app.session.step_actions.do("again", pour)
        await pilot.pause()
        assert isinstance(app.screen, ConfirmMoves)
        assert "later" in read(app, "#told")
        await pilot.press("u")
        await pilot.pause()
        assert not [f for f in app.session.state.open_shop.journal.facts() if f.kind == "again"]
        app.session.step_actions.do("again", pour)
        await pilot.pause()
        await pilot.press("k")
        await pilot.pause()
        assert [f.address for f in app.session.state.open_shop.journal.facts() if f.kind == "again"] == [
            pour.address
        ]


async def test_jobs_lists_the_worst_first_and_opens_a_job(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("2")
        await pilot.pause()
        lines = rows_text(app, "#jobs").splitlines()
        late = [i for i, line in enumerate(lines) if "LATE" in line]
        fine = [i for i, line in enumerate(lines) if line.startswith("▪")]
        assert not late or not fine or max(late) < min(fine)
        await pilot.press("enter")
        await pilot.pause()
        assert "delivers" in read(app, "#job-head")
        assert "planned" in rows_text(app, "#steps")
        await pilot.press("escape")
        await pilot.pause()
        assert app.screen.query("#jobs")


async def test_ahead_shows_lanes_for_jobs_stations_and_people(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("3")
        await pilot.pause()
        lanes = rows_text(app, "#lanes")
        assert "Pear lectern" in lanes
        assert "█" in lanes
        assert "◆" in lanes
        assert "December 2026" in read(app, "#ahead-head")
        assert "promised" in read(app, "#legend")
        await pilot.press("v")
        await pilot.pause()
        assert "bench" in rows_text(app, "#lanes").lower()
        await pilot.press("v", "greater_than_sign")
        await pilot.pause()
        assert "9 " in read(app, "#ahead-head").splitlines()[2]
        assert "·" in rows_text(app, "#lanes")  # days off
        assert "hands on" in read(app, "#legend")


async def test_why_tells_the_chain_in_sentences(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("w")
        await pilot.pause()
        assert read(app, "#title").startswith("Why ")
        assert len(read(app, "#reasons")) > 20


async def test_why_tells_what_would_help_most(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("w")
        await pilot.pause()
        told = read(app, "#helps")
        assert told == NONE_HELPS or all(" earlier: " in line for line in told.splitlines())
        await pilot.press("escape")
        await pilot.pause()
        assert "Under way" in read(app, "#now")


async def test_why_says_so_if_there_is_no_answer(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        dialog = WhyDialog("Why Glue up at 8:00?", lambda asker: None)
        app.session.open_dialog(dialog)
        await pilot.pause()
        assert read(app, "#reasons") == LOOKING
        dialog.post_message(
            QuestionAnswered(PlannerAnswer(1, trouble="a/glue is not in the plan", last=True))
        )
        await pilot.pause()
        assert read(app, "#reasons") == ""
        assert read(app, "#helps") == "a/glue is not in the plan"


async def test_a_promise_is_changed_in_a_form_and_undone(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    path = shop / "jobs" / "pear-lectern.toml"
    before = path.read_bytes()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.session.job_actions.change("pear-lectern")
        await pilot.pause()
        app.screen.query_one("#b-promise", Input).value = "2027-01-29"
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, ConfirmMoves)
        await pilot.press("k")
        await pilot.pause()
        assert app.session.state.open_shop.folder.jobs["pear-lectern"].promise == dt.date(2027, 1, 29)
        await pilot.press("u")
        await pilot.pause()
        assert path.read_bytes() == before


async def test_a_wrong_date_is_refused_in_the_form(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.session.job_actions.change("pear-lectern")
        await pilot.pause()
        app.screen.query_one("#b-promise", Input).value = "soon"
        await pilot.press("enter")
        await pilot.pause()
        assert str(app.screen.query_one("#w-promise", Static).render()).startswith('"soon" is no day')
        assert app.screen.focused is app.screen.query_one("#b-promise")
        assert "18 Dec" in told_wrong(app)


async def test_a_day_is_closed_and_shows_what_moves(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("5")
        await pilot.pause()
        await pilot.press("H")
        await pilot.pause()
        assert app.screen.query_one("#b-from", Input).value == "Thu 3 Dec"
        app.screen.query_one("#b-why", Input).value = "ill"
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, ConfirmMoves)
        assert "later" in read(app, "#told")
        await pilot.press("k")
        await pilot.pause()
        assert "Thu 3 Dec" in rows_text(app, "#shop")
        assert "ill" in rows_text(app, "#shop")


async def test_new_job_tells_a_date_and_is_accepted(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("4")
        await pilot.pause()
        app.screen.query_one("#f-title", Input).value = "Stool [for the] choir"
        app.screen.query_one("#f-assembly", Input).value = "2h"
        await pilot.press("escape", "A")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause(0.6)
        assert "Earliest delivery" in read(app, "#quote")
        assert "Alone in the shop" in read(app, "#quote")
        app.screen.query_one("#add").focus()
        await pilot.press("a")
        await pilot.pause()
        await pilot.press("k")
        await pilot.pause()
        (part,) = read_folder(shop).jobs["stool-for-the-choir"].parts
        assert part.recipe == part.id
        assert f'recipe = "{part.id}"' in (shop / "jobs" / "stool-for-the-choir.toml").read_text("utf-8")
        assert app.session.state.plan.job("stool-for-the-choir") is not None
        assert not app.screen.query(Select)


async def test_help_names_every_key_of_the_screen(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("question_mark")
        await pilot.pause()
        keys = read(app, "#keys")
        assert "One more pass" in keys
        assert re.search(r" q  Quit$", keys, re.MULTILINE)
        assert "^" not in keys
        assert "Lamp" in keys
        assert "Takes longer" in keys


async def test_a_quote_is_kept_without_being_planned_and_accepted_later(
    open_app: OpenApp, shop: Path
) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "4", "escape", "A", "enter")
        app.screen.query_one("#f-title", Input).value = "Stool for the choir"
        app.screen.query_one("#add").focus()
        await pilot.press("k")
        await until(pilot, lambda: "Kept as a quote" in news(app))
        assert app.session.state.plan.job("stool-for-the-choir") is None
        await pilot.press("2")
        await until(pilot, lambda: app.screen.query("#jobs"))
        assert "Stool for the choir: a quote, not planned" in rows_text(app, "#jobs")
        await pilot.press("end", "a")
        await until_screen(pilot, ConfirmMoves)
        assert read(app, "#title") == "Accepted: Stool for the choir"
        await pilot.press("k")
        await until(pilot, lambda: "Kept: Accepted" in news(app))
        assert app.session.state.plan.job("stool-for-the-choir") is not None
        assert "a quote, not planned" not in rows_text(app, "#jobs")


async def test_a_missed_window_says_what_it_costs(shop: Path) -> None:
    app = app_on(OpenShop(shop, NOW.replace(hour=17, minute=25)))
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        assert "Last moment to start" not in rows_text(app, "#day")
        varnish = next(
            s for s in app.session.state.plan.steps if s.name == "Varnish the underside" and s.pass_no == 2
        )
        app.session.step_actions.show_step(varnish)
        await until_screen(pilot, StepDialog)
        assert "planned, its window was missed" in read(app, "#facts")
        await pilot.resize_terminal(41, 46)
        await pilot.pause()
        facts = app.screen.query_one("#facts", Static)
        lines = read(app, "#facts").splitlines()
        assert max(map(len, lines)) <= facts.size.width
        assert any(line.startswith(" ") for line in lines)
