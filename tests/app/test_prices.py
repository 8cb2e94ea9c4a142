"""What a job takes and costs, on its screen and in My shop. In the demo it is Wednesday 2 December 2026, 10:05."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from app_reading import choose, press_each, read, rows_text, told_wrong
from app_shop import OpenApp
from my_shop import cursor_on, fill, person, written

from shopday.app.dialogs.form_dialog import FormDialog
from shopday.app.screens.job_screen import JobScreen
from shopday.shop.models import Stock

pytestmark = pytest.mark.slow


async def test_a_price_set_in_my_shop_counts_in_job_costs(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(100, 40), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "Work")
        await press_each(pilot, "d")
        await fill(pilot, currency="doubloons", hour="-5")
        assert "write at most 8 letters, as EUR" in told_wrong(app)
        assert "write a number from 0 to 100000" in told_wrong(app)
        await fill(pilot, currency="USD", hour="60")
        await press_each(pilot, "k")
        assert written(shop).prices.hour == 60
        assert "60.00 USD an hour of work" in rows_text(app, "#shop")
        await press_each(pilot, "2", "enter")
        assert isinstance(app.screen, JobScreen)
        head = read(app, "#job-head")
        assert "of work by the estimate" in head
        assert "Costs " in head
        assert " USD: work " in head


async def test_a_price_per_litre_is_changed_and_removed(open_app: OpenApp, shop: Path) -> None:
    before, app = written(shop).prices.litre, open_app()
    async with app.run_test(size=(100, 40), notifications=True) as pilot:
        await press_each(pilot, "5")
        for material, price in (("shellac", "31,5"), ("lacquer", "60")):
            await cursor_on(app, pilot, "+ price of a material")
            await press_each(pilot, "d")
            await fill(pilot, litre="")
            assert " ".join(told_wrong(app).split()) == "pick a material write a number from 0 to 100000"
            await fill(pilot, material=material, litre=price)
            await press_each(pilot, "k")
        assert written(shop).prices.litre == before | {"shellac": 31.5, "lacquer": 60}
        assert "31.50 GBP a litre" in rows_text(app, "#shop")
        await cursor_on(app, pilot, "Shellac")
        await press_each(pilot, "d")
        await fill(pilot, shellac="much")
        assert "write a number from 0 to 100000" in told_wrong(app)
        await fill(pilot, shellac="28")
        await press_each(pilot, "k")
        assert written(shop).prices.litre["shellac"] == 28
        await cursor_on(app, pilot, "Shellac")
        await press_each(pilot, "d")
        await fill(pilot, shellac="")
        await press_each(pilot, "k")
        assert written(shop).prices.litre == before | {"lacquer": 60}


async def test_prices_written_as_a_table_of_their_own_are_kept_with_their_comments(
    open_app: OpenApp, shop: Path
) -> None:
    file = shop / "shop.toml"
    rest = "".join(line for line in file.read_text("utf-8").splitlines(True) if not line.startswith("litre"))
    file.write_text(rest + "\n[prices.litre]\nshellac = 30  # from the chandler\n", "utf-8")
    app = open_app()
    async with app.run_test(size=(100, 40)) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "+ price of a material")
        await press_each(pilot, "d")
        await fill(pilot, material="lacquer", litre="20")
        await press_each(pilot, "k")
        assert written(shop).prices.litre == {"shellac": 30, "lacquer": 20}
        assert "shellac = 30  # from the chandler" in file.read_text("utf-8")


async def test_an_hour_of_one_person_has_a_price(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(100, 40), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "Tobias")
        await press_each(pilot, "d")
        await fill(pilot, rate="a lot")
        assert "write a number from 0 to 100000" in told_wrong(app)
        await fill(pilot, rate="22")
        await press_each(pilot, "k")
        assert person(shop, "tobias").rate == 22
        assert "22.00 an hour" in rows_text(app, "#shop")


async def test_a_tin_goes_off_on_its_date_or_after_opening(open_app: OpenApp, shop: Path) -> None:
    """1 June without a year is the one that has been."""
    app = open_app()
    async with app.run_test(size=(100, 40), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "+ another tin")
        await press_each(pilot, "d")
        await fill(pilot, opened="in 2 weeks", expires="someday")
        said = told_wrong(app)
        assert "pick a material" in said
        assert "Wed 16 Dec is still to come; write a day as 1 Jun or 2026-06-01" in said
        assert '"someday" is no day' in said
        assert isinstance(app.screen, FormDialog)
        await fill(pilot, material="shellac", opened="1 Jun", expires="2027-03-01")
        await press_each(pilot, "k")
        june, march = dt.date(2026, 6, 1), dt.date(2027, 3, 1)
        assert written(shop).stock == (Stock(material="shellac", opened=june, expires=march),)
        assert "opened Mon 1 Jun, good until Mon 1 Mar" in rows_text(app, "#shop")
        await cursor_on(app, pilot, "Shellac")
        await press_each(pilot, "d")
        await choose(pilot, "remove")
        await press_each(pilot, "k")
        assert written(shop).stock == ()
