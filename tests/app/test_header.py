"""The top line: what goes on never hides where one can go."""

from __future__ import annotations

from textual.app import App, ComposeResult

from shopday.app.widgets.header import PLACES, ShopHeader


class Top(App[None]):
    def compose(self) -> ComposeResult:
        yield ShopHeader("today")


async def test_places_and_progress_both_fit_from_80_columns() -> None:
    app, told = Top(), ""
    async with app.run_test(size=(80, 24)) as pilot:
        for width in (80, 100, 105, 106, 110, 111, 112, 113, 114, 120):
            await pilot.resize_terminal(width, 24)
            header = app.query_one(ShopHeader)
            header.show_time("Wed 2 Dec  10:05", "looking for a better plan")
            assert [link.does for _, link in header.fitting()] == list(PLACES), width
            told = header.end.plain
    assert "better plan" in told
