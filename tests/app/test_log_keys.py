"""Logging in the app: on the row one sees, at a time that is typed, and asked about where a step may not start."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from app_reading import choices, choose, news, press_each, read, rows_text, toasts
from app_shop import app_on
from textual import events
from textual.pilot import Pilot
from textual.widgets import Input

from shopday.app.app import ShopdayApp
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.widgets.row_list import RowList
from shopday.planning.open_shop import OpenShop
from shopday.planning.questions.dashboard import dashboard
from shopday.planning.questions.why import why
from shopday.scheduler import finished, verify_result
from shopday.shop.parse_past import parse_past

pytestmark = pytest.mark.slow

NOW = dt.datetime(2026, 3, 4, 10, 0)  # a Wednesday
DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday")
SHOP = 'name = "Fern Yard"\ntimezone = "Europe/Berlin"\n[hours]\n' + "".join(
    f'{day} = ["08:00-12:00", "13:00-17:00"]\n' for day in DAYS
)
BENCH = """\
title = "Hall bench"
[[steps]]
id = "glue"
hands_on = "1h"
waits = [{ name = "in clamps", takes = "4h" }]
[[steps]]
id = "oil"
hands_on = "30m"
passes = 2
waits = [{ name = "dries", takes = "1h" }]
"""


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    (tmp_path / "jobs").mkdir()
    (tmp_path / "shop.toml").write_text(SHOP, "utf-8")
    (tmp_path / "jobs" / "bench.toml").write_text(BENCH, "utf-8")
    return tmp_path


def open_app(yard: Path) -> ShopdayApp:
    return app_on(OpenShop(yard, NOW))


def facts(yard: Path) -> list[tuple[str, str, int, str]]:
    """Kind, address, pass and local time of what counts."""
    shop = OpenShop(yard, NOW)
    moments = [(f, shop.zone.moment(f.at)) for f in shop.journal.facts()]
    return [(f.kind, f.address, f.pass_no, f"{at:%a} {at.hour}:{at.minute:02d}") for f, at in moments]


def judged(app: ShopdayApp) -> None:
    """The schedule behind what is shown keeps every rule."""
    from shopday.planning.solving.plan_solver import improved_plans

    shop = app.session.state.open_shop
    *_, (built, result) = filter(
        None, improved_plans(shop.folder, shop.state(), shop.minute(), 0, near=app.session.state.plan)
    )
    assert verify_result(built.problem, result) == []


async def walk_to(pilot: Pilot[None], said: str) -> None:
    """Move the cursor down to a row."""
    assert isinstance(pilot.app, ShopdayApp)
    day = pilot.app.screen.query_one("#day", RowList)
    for _ in day.rows:
        if day.current is not None and said in day.current.draw(70).plain:
            return
        await press_each(pilot, "down")
    raise AssertionError(f"no row says {said}: {rows_text(pilot.app, '#day')}")


async def ask_when(pilot: Pilot[None], key: str, typed: str) -> None:
    """Press the key, type a time, press Enter."""
    await press_each(pilot, key)
    await press_each(pilot, *("space" if c == " " else c for c in typed), "enter")


# ---------------------------------------------------------------- what may not start


async def test_start_after_finish_starts_the_step_on_the_card(yard: Path) -> None:
    """The cursor stays on the row of what was finished; its work is over, and the card names the next."""
    (yard / "jobs" / "rack.toml").write_text(
        BENCH.replace("Hall bench", "Rack").replace('"4h"', '"5h"'), "utf-8"
    )
    app = open_app(yard)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        first, second = ("bench", "rack") if "Hall bench" in read(app, "#now") else ("rack", "bench")
        await press_each(pilot, "s", "f")
        assert "Start now" in read(app, "#now")
        await press_each(pilot, "s")
        assert [fact[:2] for fact in facts(yard)] == [
            ("start", f"{first}/glue"), ("finish", f"{first}/glue"), ("start", f"{second}/glue"),
        ]  # fmt: skip
        judged(app)


async def test_finishing_a_step_out_of_order_names_what_is_still_open(yard: Path) -> None:
    app = open_app(yard)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await walk_to(pilot, "Oil (1 of 2)")
        await press_each(pilot, "f")
        assert "Glue is not finished yet" in news(app)
        judged(app)


async def test_a_key_refused_repeatedly_shows_one_toast_at_a_time(yard: Path) -> None:
    app = open_app(yard)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, *"ffffff")
        assert len(toasts(app)) == 1
        assert len(facts(yard)) == 1


async def test_a_step_that_is_not_ready_needs_a_confirmation(yard: Path) -> None:
    app = open_app(yard)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await walk_to(pilot, "Oil (1 of 2)")
        await press_each(pilot, "s")
        assert isinstance(app.screen, QuestionDialog)
        assert read(app, "#title") == "Oil (1 of 2) may not start yet"
        # Glue from 10:00 to 11:00, in clamps until 15:00.
        assert read(app, "#text") == "Glue is not finished. It may start from 15:00 on."
        assert choices(app) == ["0", "leave"]
        await press_each(pilot, "escape")
        assert facts(yard) == []


async def test_a_step_that_is_not_ready_can_be_started_anyway_and_the_news_names_the_pass(yard: Path) -> None:
    app = open_app(yard)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await walk_to(pilot, "Oil (1 of 2)")
        await press_each(pilot, "s")
        await choose(pilot, "0")
        assert facts(yard) == [("start", "bench/oil", 1, "Wed 10:00")]
        assert "Started: Oil (1 of 2)" in news(app)
        judged(app)


async def test_a_key_logs_the_pass_of_the_row(yard: Path) -> None:
    shop = OpenShop(yard, NOW)
    shop.log("finish", "bench/glue", NOW.replace(day=3, hour=9))
    shop.log("finish", "bench/oil", NOW.replace(hour=9, minute=30))
    app = open_app(yard)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await walk_to(pilot, "Oil (2 of 2)")
        await press_each(pilot, "s")
        # The first coat dries from 9:30 to 10:30.
        assert read(app, "#text") == "Oil (1 of 2): dries until 10:30. It may start from 10:30 on."
        await choose(pilot, "0")
        assert facts(yard)[-1] == ("start", "bench/oil", 2, "Wed 10:00")
        assert "Started: Oil (2 of 2)" in news(app)


# ---------------------------------------------------------------- at a time


@pytest.mark.parametrize(
    ("typed", "at"),
    [
        ("8:45", "Wed 8:45"),
        ("-20m", "Wed 9:40"),
        ("yesterday 16:00", "Tue 16:00"),
        ("Tue 14:00", "Tue 14:00"),
    ],
)
async def test_a_start_is_logged_at_a_typed_time(yard: Path, typed: str, at: str) -> None:
    app = open_app(yard)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await walk_to(pilot, "Glue")
        await ask_when(pilot, "S", typed)
        assert facts(yard) == [("start", "bench/glue", 1, at)]
        judged(app)


async def test_work_done_yesterday_is_logged_today(yard: Path) -> None:
    app = open_app(yard)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await walk_to(pilot, "Glue")
        await ask_when(pilot, "S", "yesterday 15:00")
        await ask_when(pilot, "F", "yesterday 15:50")
        assert facts(yard)[-1] == ("finish", "bench/glue", 1, "Tue 15:50")
        assert "Finished: Glue" in news(app)


@pytest.mark.parametrize(
    ("key", "typed", "said"),
    [
        ("S", "soon", "soon is no time; write it as 8:45, -20m, yesterday 16:00 or Tue 14:00"),
        ("S", "25:00", "25:00 is no time"),
        ("S", "10:01", "10:01 is still to come"),
        ("S", "noday 9:00", "noday is no day"),
        ("S", "-x", "x is no length of time"),
        ("F", "8:00", "was started 9:00, after 8:00; give a later time"),
    ],
)
async def test_a_wrong_time_is_refused_where_it_is_typed(yard: Path, key: str, typed: str, said: str) -> None:
    if key == "F":
        OpenShop(yard, NOW).log("start", "bench/glue", NOW.replace(hour=9))
    app = open_app(yard)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        before = facts(yard)
        await walk_to(pilot, "Glue")
        await ask_when(pilot, key, typed)
        assert isinstance(app.screen, QuestionDialog)
        assert said in read(app, "#wrong")
        assert facts(yard) == before
        await pilot.press(*"9:30")
        assert app.screen.query_one(Input).value == "9:30"  # in place of what was refused


def test_twenty_minutes_ago_is_real_time_on_the_night_the_clocks_go_forward() -> None:
    now = dt.datetime(2026, 3, 29, 3, 10, tzinfo=ZoneInfo("Europe/Berlin"))
    assert parse_past("-20m", now).isoformat() == "2026-03-29T01:50:00+01:00"


def test_a_weekday_means_the_last_one_even_if_that_is_today() -> None:
    assert parse_past("Wed 9:00", NOW) == NOW.replace(hour=9)
    assert parse_past("wed 11:00", NOW) == NOW.replace(hour=11) - dt.timedelta(days=7)
    assert parse_past("Thu 11:00", NOW) == NOW.replace(day=5, hour=11) - dt.timedelta(days=7)


def test_a_date_without_a_year_is_its_last_one() -> None:
    assert parse_past("Tue 3 Mar 16:00", NOW) == parse_past("3 Mar 16:00", NOW) == NOW.replace(day=3, hour=16)


# ---------------------------------------------------------------- put down, not needed


async def test_a_step_is_paused_and_resumed_from_its_dialog(yard: Path) -> None:
    OpenShop(yard, NOW).log("start", "bench/glue", NOW.replace(hour=9, minute=30))
    app = open_app(yard)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await walk_to(pilot, "Glue")
        await press_each(pilot, "enter")
        await choose(pilot, "put_down")
        assert facts(yard)[-1] == ("pause", "bench/glue", 1, "Wed 10:00")
        assert "Put down: Glue" in news(app)
        # Half an hour of it is left, and nobody has it in hand.
        assert "Go on with" in read(app, "#now")
        assert "30m of work" in read(app, "#now")
        await press_each(pilot, "enter")
        assert "put down" in read(app, "#facts")
        await choose(pilot, "start")
        assert facts(yard)[-1] == ("start", "bench/glue", 1, "Wed 10:00")
        assert "Under way" in read(app, "#now")
        judged(app)


async def test_a_step_that_is_not_needed_is_over_and_undone_by_name(yard: Path) -> None:
    app = open_app(yard)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await walk_to(pilot, "Glue")
        await press_each(pilot, "enter")
        await choose(pilot, "skip")
        assert facts(yard) == [("skip", "bench/glue", 1, "Wed 10:00")]
        assert "Not needed: Glue" in news(app)
        assert app.session.state.plan is not None
        oil = app.session.state.plan.step("bench/oil", 1)
        assert oil is not None
        assert (oil.start.hour, oil.start.minute) == (10, 0)
        judged(app)
        await press_each(pilot, "u")
        assert "Undone: skipping of Glue (Hall bench)" in news(app)
        assert facts(yard) == []


def test_why_explains_a_paused_step(yard: Path) -> None:
    shop = OpenShop(yard, NOW)
    shop.log("start", "bench/glue", NOW.replace(hour=9))
    shop.log("pause", "bench/glue", NOW.replace(hour=9, minute=15))
    (said,) = why(shop, shop.plan(0), "bench/glue")
    assert said == "Glue (Hall bench) was begun 9:00 and put down; it goes on 10:00."


async def test_jobs_that_are_over_show_their_status(yard: Path) -> None:
    for status in ("cancelled", "delivered"):
        text = f'title = "Old {status}"\nstatus = "{status}"\n[[steps]]\nid = "saw"\nhands_on = "3h"\n'
        (yard / "jobs" / f"{status}.toml").write_text(text, "utf-8")
    app = open_app(yard)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await press_each(pilot, "2")
        rows = rows_text(app, "#jobs")
        assert "· Old cancelled: cancelled" in rows
        assert "◆ Old delivered: delivered" in rows


# ---------------------------------------------------------------- the row one sees


async def test_a_key_acts_on_the_row_that_was_there_when_it_was_pressed(yard: Path) -> None:
    """A plan without that row comes between the press and what it does."""
    (yard / "jobs" / "shelf.toml").write_text('[[steps]]\nid = "saw"\nhands_on = "3h"\n', "utf-8")
    app = open_app(yard)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await walk_to(pilot, "Saw")
        pressed = events.Key("s", "s")
        open_shop = app.session.state.open_shop
        plan = open_shop.plan(0)
        rows = tuple(step for step in plan.steps if step.job != "shelf")
        seen = finished(dashboard(open_shop, plan))
        lines = tuple(line for line in seen.day.lines if line.step is None or line.step.job != "shelf")
        day = seen.day._replace(lines=lines, could_start=())
        app.session.plan_updates.show(seen._replace(plan=plan._replace(steps=rows), day=day))
        await pilot.pause()
        assert "Saw" not in rows_text(app, "#day")
        app.post_message(pressed)
        await pilot.pause()
        await pilot.pause()
        assert facts(yard) == [("start", "shelf/saw", 1, "Wed 10:00")]
        assert toasts(app) == []


async def test_finishing_a_coat_before_the_one_before_it_is_refused(yard: Path) -> None:
    app = open_app(yard)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        await walk_to(pilot, "Oil (2 of 2)")
        await press_each(pilot, "f")
        assert "pass 1 of Oil (Hall bench) is not finished" in toasts(app)[-1]
        assert facts(yard) == []


async def test_a_step_started_beside_another_says_that_they_share_the_minutes(yard: Path) -> None:
    OpenShop(yard, NOW).log("start", "bench/glue", NOW.replace(hour=9))
    (yard / "jobs" / "stool.toml").write_text(
        'title = "Stool"\n[[steps]]\nid = "sand"\nhands_on = "1h"\n', "utf-8"
    )
    app = open_app(yard)
    async with app.run_test(size=(120, 24)) as pilot:
        await pilot.pause()
        await walk_to(pilot, "Sand (Stool)")
        await press_each(pilot, "s")
        assert "Started: Sand, beside Glue (Hall bench): they share the minutes." in news(app)
        assert "Beside it" in read(app, "#now")
        judged(app)
