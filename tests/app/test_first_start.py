"""The first start: questions, and a shop that can be read."""

from __future__ import annotations

from pathlib import Path

from textual.widgets import Input

from shopday.app.dialogs.first_start import FirstStart
from shopday.shop.loading.folder_reader import read_folder


async def test_a_few_answers_make_a_shop(tmp_path: Path) -> None:
    app = FirstStart(tmp_path / "my-shop")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.screen.query_one("#b-name", Input).value = 'Adze & "Awl" [wood]'
        app.screen.query_one("#b-timezone", Input).value = "Europe/London"
        app.screen.query_one("#b-helper", Input).value = "Zoë"
        app.screen.query_one("#b-machines", Input).value = "table saw, band saw, CNC router"
        await pilot.press("enter")
        await pilot.pause()
    assert app.return_value is True
    shop = read_folder(tmp_path / "my-shop").shop
    assert shop.name == 'Adze & "Awl" [wood]'
    assert [station.id for station in shop.stations] == ["bench", "table-saw", "band-saw", "cnc-router"]
    assert [station.name for station in shop.stations[1:]] == ["Table saw", "Band saw", "CNC router"]
    assert [person.role for person in shop.people] == ["maker", "helper"]
    assert shop.hours["friday"] == ((480, 720), (780, 1020))
    assert "saturday" not in shop.hours


async def test_a_wrong_answer_is_told_and_nothing_is_written(tmp_path: Path) -> None:
    app = FirstStart(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.screen.query_one("#b-timezone", Input).value = "Middle/Earth"
        await pilot.press("enter")
        await pilot.pause()
        assert "is no time zone" in str(app.screen.query_one("#w-timezone").render())
        await pilot.press("escape")
        await pilot.pause()
    assert app.return_value is False
    assert not (tmp_path / "shop.toml").exists()
