"""What has to be in sight whatever the size of the window."""

from __future__ import annotations

import pytest
from app_reading import press_each, rows_text
from app_shop import OpenApp
from textual.widgets import Static

from shopday.app.app import ShopdayApp
from shopday.app.rows.lane_rows import label_cells
from shopday.app.widgets.row_list import RowList

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


PLACES = ("1", "2", "3", "v", "v", "v", "5", "6", "7", "2 enter")
"""Keys that lead through all places whose text is not typed, and all views of Ahead."""


@pytest.mark.parametrize("rows", [46, 20])
async def test_nothing_is_cut_on_a_phone(open_app: OpenApp, rows: int) -> None:
    """Upright, and with so few rows that each lane of Ahead has the fewest lines, as with many jobs."""
    app = open_app()
    async with app.run_test(size=(41, rows), notifications=True) as pilot:
        await pilot.pause()
        for keys in PLACES:
            await press_each(pilot, *keys.split())
            told = shown_text(app)
            assert told.strip(), keys
            assert "…" not in told, keys


def shown_text(app: ShopdayApp) -> str:
    """All text of a place; of lanes only their names, as names within bars are read below."""
    said = [str(line.render()) for line in app.screen.query(Static) if line.display]
    for rows in app.screen.query(RowList):
        end = label_cells(rows.room) if rows.id == "lanes" else None
        said += [line[:end] for line in rows.text.splitlines()]
    return "\n".join(said)
