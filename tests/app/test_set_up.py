"""Every form of My shop: what is typed there stands in shop.toml, and is shown."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from app_reading import press_each, rows_text, told_wrong, until_screen
from app_shop import OpenApp
from my_shop import cursor_on, fill, written
from textual.widgets import Input

from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.dialogs.form_dialog import FormDialog
from shopday.app.screens.settings_screen import SettingsScreen

pytestmark = pytest.mark.slow

FORMS = {
    "the shop": ("Curlew", {"units": "imperial", "humidity": "45"}, ""),
    "hours of a day": ("Sunday", {"sunday": "10:00-12:00"}, "10:00–12:00"),
    "a holiday": (
        "+ another day off",
        {"from": "24 Dec", "to": "in 4 weeks", "why": "holidays"},
        "to Wed 30 Dec",
    ),
    "another date": ("+ another date", {"on": "19 Dec", "hours": "9:00-15:00"}, "Sat 19 Dec"),
    "a person": ("+ another person", {"name": "Ada [A]", "role": "helper"}, "helper, the shop's hours"),
    "a station": ("+ another station", {"name": "Spray booth", "count": "2", "noisy": "yes"}, "2, noisy"),
    "gear": ("+ more gear", {"name": "Band clamps", "count": "6"}, "6"),
    "rules": ("Rules    ", {"dust_settles": "1h", "noise": "8:00–18:00"}, "dust settles in 1h"),
    "temperature": ("Temperature", {"day": "20C", "night": "54F"}, "20C from opening to closing"),
}
"""The line, what is typed in its form, and what is shown afterwards."""


@pytest.mark.parametrize("form", FORMS)
async def test_a_form_changes_the_file_and_the_line_shows_it(
    open_app: OpenApp, shop: Path, form: str
) -> None:
    line, typed, shown = FORMS[form]
    before = (shop / "shop.toml").read_bytes()
    app = open_app()
    async with app.run_test(size=(100, 60), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, line)
        await press_each(pilot, "enter")
        await until_screen(pilot, FormDialog)
        texts = {name: text for name, text in typed.items() if name not in ("units", "role", "noisy")}
        picked = {name: text for name, text in typed.items() if name not in texts}
        await fill(pilot, **picked, **texts)
        await until_screen(pilot, ConfirmMoves)
        await press_each(pilot, "k")
        now = written(shop)
        assert shown in rows_text(app, "#shop")
        await press_each(pilot, "u")
        assert (shop / "shop.toml").read_bytes() == before
    assert {
        "the shop": (now.units, now.humidity) == ("imperial", 45),
        "hours of a day": now.hours.get("sunday") == ((600, 720),),
        "a holiday": (now.closed[-1].first, now.closed[-1].last)
        == (dt.date(2026, 12, 24), dt.date(2026, 12, 30)),
        "another date": bool(now.open) and now.open[-1].on == dt.date(2026, 12, 19),
        "a person": (now.people[-1].name, now.people[-1].role) == ("Ada [A]", "helper"),
        "a station": (now.stations[-1].id, now.stations[-1].count, now.stations[-1].noisy)
        == ("spray-booth", 2, True),
        "gear": (now.gear[-1].id, now.gear[-1].count) == ("band-clamps", 6),
        "rules": (now.rules.dust_settles, now.rules.noise) == (60, (480, 1080)),
        "temperature": now.temperature is not None and now.temperature.day == 20,
    }[form]


async def test_a_form_says_at_each_field_what_would_be_right(open_app: OpenApp, shop: Path) -> None:
    before = (shop / "shop.toml").read_bytes()
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "Rules    ")
        await press_each(pilot, "enter")
        await fill(pilot, shortest_stretch="soon", dust_settles="-3", noise="18-8")
        said = told_wrong(app)
        assert '"soon" is not a duration; write it as' in said
        assert '"18:00-08:00" ends before it starts; split it at midnight' in said
        assert '"soon"' in said
        await press_each(pilot, "escape")
    assert (shop / "shop.toml").read_bytes() == before


@pytest.mark.parametrize("size", [(41, 46), (60, 18), (80, 24), (100, 30)])
async def test_no_line_of_my_shop_is_cut(open_app: OpenApp, size: tuple[int, int]) -> None:
    app = open_app()
    async with app.run_test(size=size, notifications=True) as pilot:
        await press_each(pilot, "escape", "5")
        assert "…" not in rows_text(app, "#shop")
        assert "Rules" in rows_text(app, "#shop")


async def test_every_field_of_a_form_comes_into_sight_on_a_phone(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(41, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "5")
        await until_screen(pilot, SettingsScreen)
        for label in (
            "Curlew",
            "Rules    ",
            "Temperature",
            "+ another person",
            "+ another station",
            "+ more gear",
        ):
            await cursor_on(app, pilot, label)
            await press_each(pilot, "d")
            await until_screen(pilot, FormDialog)
            fields = list(app.screen.query(Input))
            for field in fields:
                while not field.has_focus:
                    await press_each(pilot, "tab")
                assert app.screen.query_one("#dialog").region.contains_region(field.region), (label, field.id)
                assert field.content_size.width >= 8, (label, field.id)
            assert fields
            await press_each(pilot, "escape")
