"""What a job takes and costs, on its screen and in My shop. In the demo it is Wednesday 2 December 2026, 10:05."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_reading import press_each, read, rows_text, told_wrong
from app_shop import OpenApp
from test_days_out import cursor_on, fill

from shopday.app.screens.job_screen import JobScreen
from shopday.shop.loading.folder_reader import read_folder

pytestmark = pytest.mark.slow


async def test_a_price_set_in_my_shop_is_in_what_a_job_costs(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(100, 40), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "Prices")
        await press_each(pilot, "d")
        await fill(pilot, currency="USD", hour="-5")
        assert "write a number from 0 to 100000" in told_wrong(app)
        await fill(pilot, hour="60")
        await press_each(pilot, "k")
        assert read_folder(shop).shop.prices.hour == 60
        assert "60.00 USD an hour of work" in rows_text(app, "#shop")
        await press_each(pilot, "2", "enter")
        assert isinstance(app.screen, JobScreen)
        head = read(app, "#job-head")
        assert "of work by the estimate" in head
        assert "Costs " in head
        assert " USD: work " in head
