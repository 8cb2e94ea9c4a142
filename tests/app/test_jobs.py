"""Jobs: found, put in order, delivered, shelved and duplicated by name."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_reading import choose, press_each, read, rows_text, until, until_screen
from app_shop import OpenApp
from textual.command import CommandPalette
from textual.widgets import Input

from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.dialogs.step_dialog import StepDialog
from shopday.app.screens.job_screen import JobScreen
from shopday.app.screens.jobs_screen import JobsScreen


@pytest.mark.slow
async def test_jobs_and_steps_are_found_sorted_shelved_and_duplicated(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(110, 40), notifications=True) as pilot:
        await press_each(pilot, "2")
        assert "◆" in rows_text(app, "#jobs")  # the delivery and the promise on the strip of days
        assert "◇" in rows_text(app, "#jobs")
        below = app.screen.query_one("#job-told").region.y - app.screen.query_one("#jobs").region.y
        assert below == len(rows_text(app, "#jobs").splitlines()) + 1, (
            "what is told stands below the last job"
        )
        await pilot.resize_terminal(41, 46)
        assert "days, wants 3\n" in rows_text(app, "#jobs"), "in one line on a phone"
        await pilot.resize_terminal(80, 24)
        await press_each(pilot, "2")
        assert "…" not in read(app, "#jobs-head") + rows_text(app, "#jobs")
        late = next(line for line in rows_text(app, "#jobs").splitlines() if "LATE" in line)
        assert late.index("◇") < late.index("◆"), "promised before it is delivered, on strips of any width"
        await pilot.resize_terminal(110, 40)

        await press_each(pilot, "v", "v", "v")
        titles = [line[2:8] for line in rows_text(app, "#jobs").splitlines()]
        assert titles == sorted(titles)
        assert "job ↓" in read(app, "#jobs-head")

        await press_each(pilot, "slash", *"chairs")
        assert "Four ash chairs" in read(app, "#job-told")
        await press_each(pilot, *["backspace"] * 6, *"lectern", "enter")
        assert "Pear lectern" in read(app, "#job-told")
        assert len(rows_text(app, "#jobs").splitlines()) == 1
        await press_each(pilot, "M")
        await until_screen(pilot, QuestionDialog)
        assert "Pear lectern" in read(app, "#title")
        await choose(pilot, "1")  # shelve it
        await until_screen(pilot, ConfirmMoves)
        await press_each(pilot, "k")
        await until_screen(pilot, JobsScreen)
        assert 'status = "shelved"' in (shop / "jobs" / "pear-lectern.toml").read_text()
        assert rows_text(app, "#jobs").splitlines()[0].strip() == "Shelved"

        await press_each(pilot, "A", "escape")
        copy = (shop / "jobs" / "pear-lectern-again.toml").read_text()
        assert 'status = "quote"' in copy
        assert "promise" not in copy.partition("[[")[0]
        assert "Pear lectern, again: a quote" in rows_text(app, "#jobs")
        assert not app.screen.query_one("#find", Input).display
        await press_each(pilot, "u")
        assert not (shop / "jobs" / "pear-lectern-again.toml").exists()

        await press_each(pilot, "slash", *"weave", "enter", "enter")
        await until_screen(pilot, StepDialog)
        assert "Weave" in read(app, "#title")
        await press_each(pilot, "escape", "escape", "c")
        await until_screen(pilot, CommandPalette)
        await pilot.press(*"maple island")
        await until(pilot, lambda: app.screen.query_one("CommandList").option_count)  # type: ignore[attr-defined]
        await press_each(pilot, "enter")
        await until_screen(pilot, JobScreen)
        assert "Maple island top" in read(app, "#job-head")
