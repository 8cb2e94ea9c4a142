"""Notes and references on steps and jobs: written from the app, shown where they belong, taken back."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_reading import press_each, read, rows_text, until, until_screen
from app_shop import OpenApp
from textual.command import CommandList, CommandPalette
from textual.widgets import Input

from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.dialogs.form_dialog import FormDialog
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.dialogs.step_dialog import StepDialog
from shopday.app.screens.job_screen import JobScreen
from shopday.shop.loading.folder_reader import read_folder

pytestmark = pytest.mark.slow


async def test_a_note_on_a_step_is_written_shown_and_taken_back(open_app: OpenApp, shop: Path) -> None:
    before = (shop / "jobs" / "pear-lectern.toml").read_bytes()
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        starts = app.session.state.plan
        await press_each(pilot, "N")
        await until_screen(pilot, QuestionDialog)
        assert "Cut the joints" in read(app, "#title")
        await pilot.press(*"void [left]", "enter")
        await until(pilot, lambda: "Note on Cut the joints" in app.session.news)
        step = read_folder(shop).jobs["pear-lectern"].step_at("stand", "joints")
        assert step is not None
        assert step.note == "void [left]"
        plan = app.session.state.plan
        assert starts is not None
        assert plan is not None
        assert [row.start for row in plan.steps] == [row.start for row in starts.steps], "it moves nothing"
        await press_each(pilot, "enter")
        await until_screen(pilot, StepDialog)
        assert "note      void [left]" in read(app, "#facts")
        await press_each(pilot, "escape", "2", "slash", *"void [left]")
        assert "Cut the joints: void [left]" in rows_text(app, "#jobs")
        await press_each(pilot, "enter", "escape", "c")
        await until_screen(pilot, CommandPalette)
        await pilot.press(*"void [le")
        found = app.screen.query_one(CommandList)
        await until(pilot, lambda: found.option_count)
        assert "void [left]" in str(found.get_option_at_index(0).prompt)
        await press_each(pilot, "enter")
        await until_screen(pilot, StepDialog)
        await press_each(pilot, "escape", "u")
        assert (shop / "jobs" / "pear-lectern.toml").read_bytes() == before


async def test_references_of_a_job_stand_above_its_steps(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "2", "enter")
        await until_screen(pilot, JobScreen)
        await press_each(pilot, "m")
        await until_screen(pilot, FormDialog)
        app.screen.query_one("#b-note", Input).value = "rounder edges"
        app.screen.query_one("#b-refs", Input).value = "lectern.pdf, order 4711"
        await press_each(pilot, "enter")
        await until_screen(pilot, ConfirmMoves)
        await press_each(pilot, "k")
        await until_screen(pilot, JobScreen)
        head = read(app, "#job-head")
        assert "note: rounder edges" in head
        assert "see: lectern.pdf, order 4711" in head
        await press_each(pilot, "escape", "slash", *"4711")
        assert "Pear lectern" in rows_text(app, "#jobs")
        assert len(rows_text(app, "#jobs").splitlines()) == 1
    (job,) = (job for job in read_folder(shop).jobs.values() if job.note)
    assert job.refs == ("lectern.pdf", "order 4711")
