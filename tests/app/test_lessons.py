"""What the journal teaches: shown with its cases, offered, and taken only after showing what it changes."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest
from app_reading import news, press_each, read, rows_text
from app_shop import NOW, OpenApp, app_on
from textual.pilot import Pilot

from shopday.app.app import ShopdayApp
from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.screens.lessons_screen import HINTS, NOTHING, LessonDialog, Lessons
from shopday.app.session_state import SessionState
from shopday.app.widgets.row_list import RowList
from shopday.planning.lessons.apply_lessons import LessonAmount, apply_lesson, lesson_edits
from shopday.planning.lessons.learned_lessons import learned_lessons
from shopday.planning.open_shop import OpenShop
from shopday.shop.loading.folder_reader import read_folder
from shopday.text.durations import minutes_text

pytestmark = pytest.mark.slow

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
    open_shop = OpenShop(tmp_path, NOW)
    yesterday = NOW.replace(hour=8, minute=0) - dt.timedelta(days=1)
    open_shop.log("start", "stool-1/sand", yesterday)
    open_shop.log("finish", "stool-1/sand", yesterday + dt.timedelta(hours=3))
    return tmp_path


def sanding(folder: Path) -> list[int]:
    jobs = read_folder(folder).jobs
    return [jobs[f"stool-{n}"].steps[0].hands_on for n in (1, 2, 3)]


def test_a_lesson_changes_only_estimates_of_its_kind_that_are_to_come(stools: Path) -> None:
    open_shop = OpenShop(stools, NOW)
    (lesson,) = learned_lessons(open_shop.folder, open_shop.state(), open_shop.minute())
    assert lesson.kind == "sand"
    found = lesson_edits(open_shop.folder, open_shop.state(), lesson)
    assert [amount for change in found for amount in change.amounts] == [
        LessonAmount("Sand the seat (Stool 2)", "2h", "3h"),
        LessonAmount("Sand the seat (Stool 3)", "2h", "3h"),
    ]


async def open_times(app: ShopdayApp, pilot: Pilot[None]) -> None:
    await pilot.pause()
    await press_each(pilot, "5", "T")
    assert isinstance(app.screen, Lessons)


async def test_a_lesson_is_shown_taken_and_undone_in_all_files(stools: Path) -> None:
    app = app_on(OpenShop(stools, NOW))
    before = (stools / "jobs" / "stool-2.toml").read_text()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await open_times(app, pilot)
        assert "1.50 x" in rows_text(app, "#recipes")
        assert "━━━━━━┿━━ " in rows_text(app, "#recipes"), "half as long again, past the mark of the estimate"
        assert "seen once" in rows_text(app, "#recipes")
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, LessonDialog)
        assert "2h foreseen       3h taken  Sand the seat (Stool 1)" in read(app, "#cases")
        assert "2h to       3h  Sand the seat (Stool 2)" in read(app, "#changes")
        assert sanding(stools) == [120, 120, 120]
        await pilot.press("k")
        await pilot.pause()
        assert isinstance(app.screen, ConfirmMoves)
        assert "Stool 2: 1 day later" in read(app, "#told")
        await pilot.press("k")
        await pilot.pause()
        assert sanding(stools) == [120, 180, 180]
        assert "# by hand" in (stools / "jobs" / "stool-2.toml").read_text()
        await pilot.press("u")
        await pilot.pause()
        assert "Undone: Estimates of Sand the seat times 1.50" in news(app)
        assert (stools / "jobs" / "stool-2.toml").read_text() == before
        assert sanding(stools) == [120, 120, 120]


async def test_what_took_as_long_as_foreseen_is_set_apart_and_can_be_read(stools: Path) -> None:
    open_shop = OpenShop(stools, NOW)
    begin = NOW.replace(hour=12, minute=0) - dt.timedelta(days=1)
    open_shop.log("start", "stool-1/oil", begin)
    open_shop.log("finish", "stool-1/oil", begin + dt.timedelta(minutes=30))
    app = app_on(open_shop)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await open_times(app, pilot)
        _, apart = rows_text(app, "#recipes").split("As foreseen, nothing to learn")
        assert "1.50 x" not in apart
        assert "1.00 x" not in apart
        assert "Oil it: work, seen once" in apart
        await press_each(pilot, "end", "enter")
        assert "30m foreseen      30m taken  Oil it (Stool 1)" in read(app, "#cases")


async def test_leaving_a_lesson_changes_nothing(stools: Path) -> None:
    app = app_on(OpenShop(stools, NOW))
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await open_times(app, pilot)
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("escape")
        await pilot.pause()
        assert sanding(stools) == [120, 120, 120]


CHEST = """
title = "Chest {n}"
[[parts]]
id = "lid"
[[parts.steps]]
id = "oil"
name = "Oil the lid"
hands_on = "20m"
material = "danish-oil"
passes = 2
[[parts.steps]]
id = "hinges"
hands_on = "30m"
"""
MATERIALS = """
[danish-oil]  # from the tin
name = "Danish oil"
waits = [{ name = "oil dries", takes = "8h", cures = true }]
"""


@pytest.fixture
def chests(tmp_path: Path) -> Path:
    """Two chests; the lid of the first took three coats where two were foreseen, and its oil twelve hours each."""
    (tmp_path / "jobs").mkdir()
    (tmp_path / "shop.toml").write_text(SHOP.replace("08:00-17:00", "00:00-24:00"))
    (tmp_path / "materials.toml").write_text(MATERIALS)
    for n in (1, 2):
        (tmp_path / "jobs" / f"chest-{n}.toml").write_text(CHEST.format(n=n))
    open_shop = OpenShop(tmp_path, NOW)
    begin = NOW.replace(hour=1, minute=0) - dt.timedelta(days=1)
    coat = dt.timedelta(hours=12, minutes=20)
    open_shop.log("start", "chest-1/lid/oil", begin)
    open_shop.log("finish", "chest-1/lid/oil", begin + dt.timedelta(minutes=20))
    open_shop.log("again", "chest-1/lid/oil", begin + dt.timedelta(hours=1))
    for n in (1, 2):
        open_shop.log("start", "chest-1/lid/oil", begin + n * coat)
        open_shop.log("finish", "chest-1/lid/oil", begin + n * coat + dt.timedelta(minutes=20))
    return tmp_path


@pytest.mark.parametrize(
    ("of", "told", "file", "written"),
    [
        ("cure", "8h to      12h  oil dries, Danish oil", "materials.toml", 'takes = "12h"'),
        ("passes", "2 to        3  Oil the lid (Lid of Chest 2)", "jobs/chest-2.toml", "passes = 3"),
    ],
)
async def test_lessons_on_cures_and_passes_change_their_files_and_are_undone(
    chests: Path, of: str, told: str, file: str, written: str
) -> None:
    app = app_on(OpenShop(chests, NOW))
    before = (chests / file).read_text()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await open_times(app, pilot)
        rows = app.screen.query_one("#recipes", RowList)
        rows.highlighted = next(n for n, row in enumerate(rows.rows) if row.key == f"{of}#danish-oil")
        await press_each(pilot, "enter")
        assert told in read(app, "#changes")
        assert ("The label rules" in read(app, "#changes")) == (of == "cure")
        await press_each(pilot, "k")
        assert isinstance(app.screen, ConfirmMoves)
        await press_each(pilot, "k")
        assert written in (chests / file).read_text()
        assert "# from the tin" in (chests / "materials.toml").read_text()
        await press_each(pilot, "u")
        assert "Undone: " in news(app)
        assert (chests / file).read_text() == before


async def test_a_lesson_on_a_cure_creates_the_materials_file_and_undo_deletes_it(chests: Path) -> None:
    (chests / "materials.toml").unlink()
    for job in (chests / "jobs").iterdir():
        job.write_text(job.read_text().replace("danish-oil", "drying-oil"))
    open_shop = OpenShop(chests, NOW)
    lesson = next(
        x for x in learned_lessons(open_shop.folder, open_shop.state(), open_shop.minute()) if x.of == "cure"
    )
    found = lesson_edits(open_shop.folder, open_shop.state(), lesson)
    state = SessionState(open_shop)
    state.edit([change.path for change in found], "Cures", lambda: apply_lesson(found))
    (wait, *_) = open_shop.folder.materials["drying-oil"].waits
    assert minutes_text(wait.takes) in (chests / "materials.toml").read_text()
    undone = state.to_undo()
    assert undone is not None
    state.undo(undone)
    assert not (chests / "materials.toml").exists()


async def test_a_lesson_that_changes_nothing_says_why(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await open_times(app, pilot)
        rows = app.screen.query_one("#recipes", RowList)
        told = []
        for row in [row for row in rows.rows if row.subject is not None]:
            open_shop = app.session.state.open_shop
            if not lesson_edits(open_shop.folder, open_shop.state(), row.subject):
                rows.highlighted = rows.rows.index(row)
                await press_each(pilot, "enter")
                told.append(read(app, "#changes"))
                await press_each(pilot, "k")
                assert isinstance(app.screen, LessonDialog)
                break
        assert told
        assert told[0] in HINTS.values()


async def test_an_empty_journal_says_what_fills_it(stools: Path) -> None:
    (stools / "journal.db").unlink()
    shutil.rmtree(stools / ".backups")
    app = app_on(OpenShop(stools, NOW))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await open_times(app, pilot)
        assert read(app, "#title") == NOTHING
