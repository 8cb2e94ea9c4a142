"""Done: days with what was worked beside the estimate, the week as bars, corrections, and papers to print."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from app_reading import choose, news, press_each, read, rows_text
from app_shop import app_on

from shopday.__main__ import main
from shopday.app.app import ShopdayApp
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.planning.open_shop import OpenShop
from shopday.planning.questions.worked_days import worked_days

NOW = dt.datetime(2026, 3, 4, 10, 0)  # a Wednesday
DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday")
SHOP = 'name = "Fern Yard"\ntimezone = "Europe/Berlin"\n[hours]\n' + "".join(
    f'{day} = ["08:00-12:00", "13:00-17:00"]\n' for day in DAYS
)
BENCH = 'title = "Hall bench"\n' + "".join(
    f'[[steps]]\nid = "{id}"\nhands_on = "{hands_on}"\n{more}'
    for id, hands_on, more in (("glue", "1h", ""), ("sand", "2h", "after = []\n"), ("oil", "1h", ""))
)


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """Glue on Tuesday from 8:00 to 10:00, from 9:00 on beside sand, which took until 11:00."""
    (tmp_path / "jobs").mkdir()
    (tmp_path / "shop.toml").write_text(SHOP, "utf-8")
    (tmp_path / "jobs" / "bench.toml").write_text(BENCH, "utf-8")
    shop = OpenShop(tmp_path, NOW)
    for kind, step, hour in (
        ("start", "glue", 8),
        ("start", "sand", 9),
        ("finish", "glue", 10),
        ("finish", "sand", 11),
    ):
        shop.log(kind, f"bench/{step}", NOW.replace(day=3, hour=hour), anyway=True)
    return tmp_path


def took(app: ShopdayApp, step: str) -> int:
    assert app.session.state.plan is not None
    return next(
        w.total for day in worked_days(app.session.state.plan, ()) for w in day.steps if w.step.step == step
    )


@pytest.mark.slow
async def test_the_work_of_a_delivered_job_stays_in_done_and_on_its_paper(yard: Path) -> None:
    (yard / "jobs" / "stool.toml").write_text('[[steps]]\nid = "saw"\nhands_on = "1h"\n', "utf-8")
    app = app_on(OpenShop(yard, NOW))
    async with app.run_test(size=(80, 24)) as pilot:
        await press_each(pilot, "7")
        week, rows = read(app, "#week"), rows_text(app, "#done")
        assert "3h worked" in week
        await press_each(pilot, "2", *"/hall", "enter", "M", "enter", "k", "7")
        assert app.session.state.open_shop.folder.jobs["bench"].status == "delivered"
        assert (read(app, "#week"), rows_text(app, "#done")) == (week, rows)
        await press_each(pilot, "enter")
        assert "work      1h 30m" in read(app, "#facts")
        await press_each(pilot, "escape", "P", "enter")
    (paper,) = (yard / "papers").iterdir()
    assert "Glue (Hall bench): 1h 30m" in paper.read_text("utf-8")


@pytest.mark.slow
async def test_done_shows_a_week_and_corrects_a_wrong_time(yard: Path) -> None:
    app = app_on(OpenShop(yard, NOW))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await press_each(pilot, "7")
        # Two hours of the three, shared from 9:00 to 10:00: 1h 30m each.
        assert "Week of Mon 2 Mar: 3h worked; what was finished took 100 % of its estimate" in read(
            app, "#week"
        )
        assert "3h of 8h open" in read(app, "#week")
        rows = rows_text(app, "#done")
        assert "8:00–10:00  ✓ Glue (Hall bench)" in rows
        assert "1h 30m, 30m over the estimate" in rows
        assert "1h 30m, 30m under the estimate" in rows
        await press_each(pilot, "S")
        assert isinstance(app.screen, QuestionDialog)
        assert read(app, "#title") == "When was Glue (Hall bench) started?"
        await press_each(pilot, *"Tue", "space", *"10:30", "enter")
        assert "was finished Tue 3 Mar 10:00, before Tue 3 Mar 10:30; give an earlier time" in read(
            app, "#wrong"
        )
        await press_each(pilot, "home", *("delete",) * 9, *"Tue", "space", *"9:00", "enter")
        assert "Corrected: Glue started Tue 3 Mar 9:00" in news(app)
        assert (took(app, "glue"), took(app, "sand")) == (30, 90)
        await press_each(pilot, "F", *"Tue", "space", *"9:40", "enter")
        assert (took(app, "glue"), took(app, "sand")) == (20, 100)
        await press_each(pilot, "u", "u")
        assert (took(app, "glue"), took(app, "sand")) == (90, 90)
        await press_each(pilot, "<")
        assert "Nothing was logged in this week." in rows_text(app, "#done")
        await press_each(pilot, "t")
        assert "Glue" in rows_text(app, "#done")


@pytest.mark.slow
async def test_on_a_phone_the_estimate_goes_below_its_bar(yard: Path) -> None:
    app = app_on(OpenShop(yard, NOW))
    async with app.run_test(size=(41, 46)) as pilot:
        await pilot.pause()
        await press_each(pilot, "7")
        assert "1h 30m, 30m over" in [line.strip() for line in rows_text(app, "#done").splitlines()]


@pytest.mark.slow
async def test_the_week_the_day_and_the_calendar_are_written_to_print(
    yard: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app, opened = app_on(OpenShop(yard, NOW)), list[str]()
    monkeypatch.setattr(app, "open_url", opened.append)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await press_each(pilot, "7")
        for answer in ("0", "1", "2", "3"):
            await press_each(pilot, "P")
            await choose(pilot, answer)
        assert "Written: papers/plan.ics" in news(app)
        week = (yard / "papers" / "done-2026-03-02.html").read_text("utf-8")
        assert "Tue 3 Mar, done: 3h" in week
        assert "Glue (Hall bench): 1h 30m" in week
        assert "Oil (Hall bench)" in (yard / "papers" / "week-2026-03-04.html").read_text("utf-8")
        assert (yard / "papers" / "day-2026-03-04.html").exists()
        assert (yard / "papers" / "plan.ics").read_bytes().startswith(b"BEGIN:VCALENDAR")
        assert [Path(url).suffix for url in opened] == [".html"] * 3


@pytest.mark.slow
async def test_work_without_a_logged_start_is_named_and_not_counted_as_in_hours(
    yard: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Oil took nobody knows how long: Done and `hours` count the same three hours."""
    OpenShop(yard, NOW).log("finish", "bench/oil", NOW.replace(day=3, hour=15), anyway=True)
    app = app_on(OpenShop(yard, NOW))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await press_each(pilot, "7")
        assert "Week of Mon 2 Mar: 3h worked" in read(app, "#week")
        rows = rows_text(app, "#done")
        assert "Tue 3 Mar: 3h, and 1 without a logged start" in rows
        assert "15:00       ✓ Oil (Hall bench)" in rows
        assert "its start was not logged, estimated 1h" in rows
    assert main(["--shop", str(yard), "hours", "--now", NOW.isoformat()]) == 0
    said = capsys.readouterr().out
    assert "Not counted: the work of a pass finished without a logged start." in said
    assert "3h" in said


@pytest.mark.slow
async def test_work_without_a_logged_start_is_named_on_the_day_of_its_end_alone(yard: Path) -> None:
    """Half an hour after opening: by its estimate it was begun the day before."""
    OpenShop(yard, NOW).log("finish", "bench/oil", NOW.replace(hour=8, minute=30), anyway=True)
    app = app_on(OpenShop(yard, NOW))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await press_each(pilot, "7")
        rows = rows_text(app, "#done").splitlines()
        assert [row.strip() for row in rows if ": " in row and "Mar" in row] == [
            "Wed 4 Mar: 0m, and 1 without a logged start",
            "Tue 3 Mar: 3h",
        ]
