"""What has to be in sight whatever the size of the window."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_reading import press_each, rows_text
from app_shop import NOW, OpenApp
from textual.widgets import Static

from shopday.app.dialogs.first_start import FirstStart
from shopday.app.widgets.choices import Choices

pytestmark = pytest.mark.slow

SIZES = [(41, 46), (60, 18), (80, 24), (112, 30), (120, 40), (200, 50)]


async def test_what_is_waited_on_is_beside_the_day_with_how_far_along_it_is(open_app: OpenApp) -> None:
    """At every width; the soonest first."""
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "1")
        for size in SIZES:
            await pilot.resize_terminal(*size)
            await pilot.pause()
            waiting = app.screen.query_one("#waiting")
            assert app.screen.region.contains_region(waiting.region), size
            assert waiting.size.height >= 2, size
            told = rows_text(app, "#waiting")
            assert "━" in told, size
            seen = app.session.state.dashboard
            assert seen is not None
            ends = [wait.until for wait in seen.waits if wait.until and not wait.closing]
            assert ends == sorted(ends)


async def test_the_questions_of_the_first_start_are_whole(tmp_path: Path) -> None:
    app = FirstStart(tmp_path, NOW.date())
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        labels = str(app.screen.query_one("#labels", Static).render())
        assert "…" not in labels
        dialog = app.screen.query_one("#dialog")
        assert app.screen.region.contains_region(dialog.region)
        await pilot.press("shift+tab")  # to the choices, the last on it
        await pilot.pause()
        choices = app.screen.query_one(Choices)
        assert choices.has_focus
        assert dialog.region.contains_region(choices.region)
