"""The first start: questions, and a shop that can be read."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from app_shop import NOW
from textual.widgets import Input

from shopday.app.dialogs.first_start import FirstStart
from shopday.app.widgets.pick_line import PickLine
from shopday.planning.open_shop import OpenShop
from shopday.shop.loading.folder_reader import read_folder

pytestmark = pytest.mark.slow

TODAY = dt.date(2026, 11, 27)


async def test_a_few_answers_make_a_shop(tmp_path: Path) -> None:
    app = FirstStart(tmp_path / "my-shop", TODAY)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.screen.query_one("#b-name", Input).value = 'Adze & "Awl" [wood]'
        app.screen.query_one("#b-timezone", Input).value = "Europe/London"
        app.screen.query_one("#b-holidays", Input).value = "gb-sct"
        app.screen.query_one("#b-maker", Input).value = "Aña"
        app.screen.query_one("#b-helper", Input).value = "Zoë"
        app.screen.query_one("#b-helps", Input).value = "Wed 13:00-17:00; Sat 09:00-12:00"
        app.screen.query_one("#b-pouring", Input).value = "casting table"
        app.screen.query_one("#b-units", PickLine).focus()
        await pilot.press("right")
        app.screen.query_one("#b-clock", PickLine).focus()
        await pilot.press("right")
        app.screen.query_one("#b-machines", Input).focus().value = "table saw, band saw, CNC router"
        await pilot.press("enter")
        await pilot.pause()
    assert app.return_value is True
    shop = read_folder(tmp_path / "my-shop").shop
    assert shop.name == 'Adze & "Awl" [wood]'
    stations = {station.id: station.name for station in shop.stations}
    assert stations == {
        "bench": "Bench",
        "cure-shelf": "Casting table",
        "table-saw": "Table saw",
        "band-saw": "Band saw",
        "cnc-router": "CNC router",
    }
    assert [(person.name, person.role) for person in shop.people] == [("Aña", "maker"), ("Zoë", "helper")]
    assert shop.people[1].hours == {"wednesday": ((780, 1020),), "saturday": ((540, 720),)}
    assert (shop.units, shop.clock) == ("imperial", 12)
    closed = {off.first: off.why for off in shop.closed}
    # Bank holidays in Scotland (gov.uk/bank-holidays); 1 May 2027 is a Saturday and no bank holiday
    assert closed[dt.date(2026, 11, 30)] == "Saint Andrew's Day"
    assert closed[dt.date(2026, 12, 25)] == "Christmas Day"
    assert closed[dt.date(2027, 3, 26)] == "Good Friday"
    assert min(closed) >= TODAY
    assert max(closed).year == 2027
    assert all(date.weekday() < 5 for date in closed), "only days that are worked otherwise"
    assert shop.hours["friday"] == ((480, 720), (780, 1020))
    assert "saturday" not in shop.hours


async def test_a_wrong_answer_is_refused_and_nothing_is_written(tmp_path: Path) -> None:
    app = FirstStart(tmp_path, TODAY)
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


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("Middle Earth", "is no country whose holidays are known"),
        ("de-zz", "DE has no part ZZ; it has BB, BE,"),
    ],
)
async def test_an_unknown_country_is_refused_at_its_field(tmp_path: Path, typed: str, said: str) -> None:
    app = FirstStart(tmp_path, TODAY)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.screen.query_one("#b-holidays", Input).value = typed
        await pilot.press("enter")
        await pilot.pause()
        assert said in str(app.screen.query_one("#w-holidays").render()).replace("\n", " ")
        assert app.screen.query_one("#b-holidays").has_focus
    assert not (tmp_path / "shop.toml").exists()


async def test_the_example_job_is_planned_where_it_is_wanted(tmp_path: Path) -> None:
    app = FirstStart(tmp_path, TODAY)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        app.screen.query_one("#b-example", PickLine).focus()
        await pilot.press("right")
        app.screen.query_one("#b-name", Input).focus()
        await pilot.press("enter")
        await pilot.pause()
    made = OpenShop(tmp_path, NOW)
    plan = made.plan(0)
    row = plan.job("example")
    assert row is not None
    assert row.delivery is not None
    assert plan.unplaced == ()
