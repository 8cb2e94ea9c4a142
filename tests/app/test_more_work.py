"""In New job, more work never brings the date forward."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
from app_reading import read, until
from newjob_form import MONDAY, NewJob, newjob_app, small_shop

from shopday.shop.parse_moment import parse_day

pytestmark = pytest.mark.slow


async def test_more_work_never_brings_the_date_forward(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("Table")
        days: list[dt.date] = []
        for recipe, steps in (("Slab", 4), ("Shelf", 5), ("Slab", 8), ("Oil [thin]", 10), ("Legs", 12)):
            await form.add(recipe)
            await until(pilot, lambda steps=steps: f"{steps} steps" in read(app, "#quote"))  # type: ignore[misc]
            found = re.search(r"Earliest delivery: (.*), ", read(app, "#quote"))
            assert found is not None, read(app, "#quote")
            days.append(parse_day(found[1], MONDAY.date()))
            assert "◆" in read(app, "#strip"), "the planned day as a picture"
        assert days == sorted(days)
        assert days[0] < days[-1]
