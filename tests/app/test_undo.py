"""Undo and redo: named before they are done, asked about when it is old, and the plan of before comes back."""

from __future__ import annotations

import pytest
from app_reading import choose, news, press_each, read
from app_shop import OpenApp
from textual.command import CommandPalette
from textual.widgets import Input

from shopday.app.app import ShopdayApp
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.screens.new_job_screen import NewJobScreen

pytestmark = pytest.mark.slow


def facts(app: ShopdayApp) -> list[tuple[str, str]]:
    return [(fact.kind, fact.address) for fact in app.session.state.open_shop.journal.facts()]


async def test_undo_asks_before_an_old_change_and_redo_restores_it(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        plan, logged = app.session.state.plan, facts(app)
        await press_each(pilot, "u")
        assert isinstance(app.screen, QuestionDialog)
        assert read(app, "#title") == "Undo this?"
        assert read(app, "#text") == "Start of Cut the joints (Pear lectern). It was done 9:30."
        await press_each(pilot, "escape")
        assert facts(app) == logged
        await press_each(pilot, "u")
        await choose(pilot, "0")
        assert facts(app) == logged[:-1]
        assert "Undone: start of Cut the joints (Pear lectern) (U redoes it)." in news(app)
        await press_each(pilot, "U")
        assert facts(app) == logged
        assert "Redone: start of Cut the joints (Pear lectern)." in news(app)
        assert app.session.state.plan is not None
        assert plan is not None
        assert app.session.state.plan.steps == plan.steps


async def test_pausing_resuming_and_skipping_by_key_are_each_undone(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        logged = facts(app)
        joints = "pear-lectern/stand/joints"
        await press_each(pilot, "space", "space", "delete")
        assert facts(app)[len(logged) :] == [("pause", joints), ("start", joints), ("skip", joints)]
        assert "Not needed: Cut the joints" in news(app)
        await press_each(pilot, "u", "u", "u")
        assert facts(app) == logged
        assert "Undone: putting down of Cut the joints" in news(app)
        await press_each(pilot, "U", "U", "U")
        assert [kind for kind, _ in facts(app)[len(logged) :]] == ["pause", "start", "skip"]
        await press_each(pilot, "u", "space")  # something new: there is nothing more to redo
        await press_each(pilot, "U")
        assert [kind for kind, _ in facts(app)[len(logged) :]] == ["pause", "start", "pause"]
        await press_each(pilot, "ctrl+p")
        assert isinstance(app.screen, CommandPalette)


async def test_a_delayed_delivery_is_logged_and_undone(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await press_each(pilot, "down", "down", "o")
        assert "Now comes on: Brass pulls (Drawers of Seed drawer unit)" in read(app, "#title")
        await press_each(pilot, *"fri", "enter")  # what stands there is selected, and typed over
        assert "here Fri 4 Dec" in read(app, "#title")
        await press_each(pilot, "k")
        pulls = next(s for s in app.session.state.plan.steps if s.name == "Brass pulls")  # type: ignore[union-attr]
        assert pulls.end.isoformat()[:10] == "2026-12-04"
        assert not pulls.overdue
        await press_each(pilot, "u")
        assert "Undone: " in news(app)


async def test_a_dropped_draft_comes_back(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await press_each(pilot, "4")
        assert isinstance(app.screen, NewJobScreen)
        app.screen.query_one("#f-title", Input).focus()
        await press_each(pilot, *"Stool", "escape", "D")
        await pilot.pause()
        assert app.screen.form.title == ""
        assert "Dropped: Stool. u brings it back." in news(app)
        await press_each(pilot, "u")
        await pilot.pause()
        assert app.screen.query_one("#f-title", Input).value == "Stool"
    again = open_app()  # left with a half-filled form, which is there again
    async with again.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await press_each(pilot, "4")
        assert again.screen.query_one("#f-title", Input).value == "Stool"
