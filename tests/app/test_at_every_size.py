"""What has to be in sight whatever the size of the window."""

from __future__ import annotations

import pytest
from app_reading import press_each, rows_text
from app_shop import OpenApp

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
