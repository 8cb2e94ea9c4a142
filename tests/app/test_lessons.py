"""What the journal teaches: shown with its cases, offered, and taken only after showing what it changes."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from app_reading import news, press_each, read, rows_text
from app_shop import NOW, OpenApp, app_on
from textual.pilot import Pilot

from shopday.app.app import ShopdayApp
from shopday.app.lessons_screen import NOTHING, LessonCard, Lessons
from shopday.app.moved import Moved
from shopday.planning.learning import learned
from shopday.planning.taking import estimates
from shopday.planning.workshop import Workshop
from shopday.shop.reading import read_folder

SHOP = """
name = "Adze and Awl"
timezone = "America/Denver"
[hours]
tuesday = ["08:00-17:00"]
wednesday = ["08:00-17:00"]
thursday = ["08:00-17:00"]
"""

STOOL = """
title = "Stool {n}"
promise = 2026-12-17
[[steps]]
id = "sand"
name = "Sand the seat"  # by hand
hands_on = "2h"
[[steps]]
id = "oil"
name = "Oil it"
hands_on = "30m"
"""


@pytest.fixture
def stools(tmp_path: Path) -> Path:
    """Three stools; sanding the first took three hours where two were foreseen."""
    (tmp_path / "jobs").mkdir()
    (tmp_path / "shop.toml").write_text(SHOP)
    for n in (1, 2, 3):
        (tmp_path / "jobs" / f"stool-{n}.toml").write_text(STOOL.format(n=n))
    workshop = Workshop(tmp_path, NOW)
    yesterday = NOW.replace(hour=8, minute=0) - dt.timedelta(days=1)
    workshop.log("start", "stool-1/sand", yesterday)
    workshop.log("finish", "stool-1/sand", yesterday + dt.timedelta(hours=3))
    return tmp_path


def sanding(folder: Path) -> list[int]:
    jobs = read_folder(folder).jobs
    return [jobs[f"stool-{n}"].steps[0].hands_on for n in (1, 2, 3)]


def test_only_estimates_of_its_kind_to_come_would_change(stools: Path) -> None:
    workshop = Workshop(stools, NOW)
    (lesson,) = learned(workshop.folder, workshop.state(), workshop.minute())
    assert lesson.kind == "sand"
    found = [
        (c.of.job, c.of.step.id, c.before, c.after)
        for c in estimates(workshop.folder, workshop.state(), lesson)
    ]
    assert found == [("stool-2", "sand", 120, 180), ("stool-3", "sand", 120, 180)]


async def open_times(app: ShopdayApp, pilot: Pilot[None]) -> None:
    await pilot.pause()
    await press_each(pilot, "5", "t")
    assert isinstance(app.screen, Lessons)


async def test_a_lesson_is_shown_taken_and_taken_back_in_all_files(stools: Path) -> None:
    app = app_on(Workshop(stools, NOW))
    before = (stools / "jobs" / "stool-2.toml").read_text()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await open_times(app, pilot)
        assert "1.50 x" in rows_text(app, "#recipes")
        assert "seen once" in rows_text(app, "#recipes")
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, LessonCard)
        assert "2h foreseen       3h taken  stool-1/sand" in read(app, "#cases")
        assert "2h to       3h  Sand the seat, stool-2" in read(app, "#changes")
        assert sanding(stools) == [120, 120, 120]
        await pilot.press("t")
        await pilot.pause()
        assert isinstance(app.screen, Moved)
        assert "Stool 2: 1 day later" in read(app, "#told")
        await pilot.press("k")
        await pilot.pause()
        assert sanding(stools) == [120, 180, 180]
        assert "# by hand" in (stools / "jobs" / "stool-2.toml").read_text()
        await pilot.press("u")
        await pilot.pause()
        assert "Taken back: Estimates of sand times 1.50" in news(app)
        assert (stools / "jobs" / "stool-2.toml").read_text() == before
        assert sanding(stools) == [120, 120, 120]


async def test_leaving_a_lesson_changes_nothing(stools: Path) -> None:
    app = app_on(Workshop(stools, NOW))
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await open_times(app, pilot)
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("escape")
        await pilot.pause()
        assert sanding(stools) == [120, 120, 120]


async def test_what_is_no_hands_on_work_is_told_and_not_applied(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await open_times(app, pilot)
        assert "passes where" in rows_text(app, "#recipes")
        await pilot.press("enter")
        await pilot.pause()
        assert "Passes are each piece's own" in read(app, "#changes")
        await pilot.press("t")
        await pilot.pause()
        assert isinstance(app.screen, LessonCard)


async def test_an_empty_journal_says_what_fills_it(stools: Path) -> None:
    (stools / "journal.db").unlink()
    app = app_on(Workshop(stools, NOW))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await open_times(app, pilot)
        assert read(app, "#title") == NOTHING
