"""What the top of Today, the dialog of a step and "takes longer" say of work under way. The shop is open 8:00 to 12:00 and
13:00 to 17:00; it is Monday 2 March 2026."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from app_reading import press_each, read, rows_text
from app_shop import app_on
from textual.widgets import Input

from shopday.app.app import ShopdayApp
from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow

SHOP = 'name = "Test shop"\ntimezone = "Europe/Berlin"\n[hours]\nmonday = ["08:00-12:00", "13:00-17:00"]\n'
JOB = 'title = "Stool"\n[[steps]]\nid = "plane"\nname = "Plane the seat"\nhands_on = "{0}"\n'

OILING = '[[steps]]\nid = "oil"\nname = "Oil the seat"\nhands_on = "1h"\nafter = []\n'


def started(folder: Path, hands_on: str, start: str, now: str, more: str = "") -> ShopdayApp:
    """The app at a time of that Monday, with one step under way."""
    (folder / "jobs").mkdir()
    (folder / "shop.toml").write_text(SHOP)
    (folder / "jobs" / "stool.toml").write_text(JOB.format(hands_on) + more)
    day = dt.date(2026, 3, 2)
    begun, present = (dt.datetime.combine(day, dt.time.fromisoformat(time)) for time in (start, now))
    OpenShop(folder, begun).log("start", "stool/plane")
    return app_on(OpenShop(folder, present))


@pytest.mark.parametrize(
    ("hands_on", "start", "now", "head", "rest"),
    [
        # From 10:00: two hours until lunch, half an hour after it.
        ("4h", "10:00", "13:30", "Under way, 2h 30m so far, until 15:00", "1h 30m left"),
        ("4h", "10:00", "12:30", "Under way, 2h so far, until 15:00", "2h left"),
        ("1h", "08:00", "09:20", "Under way, 1h 20m so far, until 9:25", "20m over"),
        # Half an hour until lunch and one after it: an hour is done, which was to be 40 minutes.
        ("40m", "11:30", "13:30", "Under way, 1h so far, until 13:35", "20m over"),
    ],
)
async def test_the_top_of_today(
    tmp_path: Path, hands_on: str, start: str, now: str, head: str, rest: str
) -> None:
    app = started(tmp_path, hands_on, start, now)
    async with app.run_test(size=(100, 24)) as pilot:
        await pilot.pause()
        first, _, bar = read(app, "#now").splitlines()[:3]
        assert first == head
        assert f"  {rest}" in bar
        assert bar.endswith("or how long still (o)?") == rest.endswith("over")
        await press_each(pilot, "enter")
        so_far = head.split(", ")[1]
        assert f"work      {so_far}, {rest}" in read(app, "#facts")


async def test_each_card_tells_the_minutes_of_its_own_step(tmp_path: Path) -> None:
    app = started(tmp_path, "4h", "10:00", "13:30", more=OILING)
    async with app.run_test(size=(100, 24)) as pilot:
        await press_each(pilot, "down", "enter", "escape", "home", "enter")
        assert read(app, "#title") == "Plane the seat (Stool)"
        assert "work      2h 30m so far, 1h 30m left" in read(app, "#facts")


async def test_work_that_was_done_and_not_logged_can_be_logged_after_hours(tmp_path: Path) -> None:
    app = started(tmp_path, "1h", "08:00", "17:30", more=OILING)
    async with app.run_test(size=(80, 24)) as pilot:
        await press_each(pilot, "f")
        assert "Next, Mon 9 Mar" in rows_text(app, "#day")
        await press_each(pilot, "end")
        await press_each(pilot, "S", *"15:00", "enter", "F", *"16:00", "enter")
        assert [f.kind for f in app.session.state.open_shop.journal.facts()] == [
            "start",
            "finish",
            "start",
            "finish",
        ]


@pytest.mark.parametrize(
    ("start", "now", "takes"),
    [
        # An hour more from now, after half an hour, after two and a half with lunch between, before any minute of work.
        ("08:00", "08:30", "1h 30m"),
        ("10:00", "13:30", "3h 30m"),
        ("07:00", "08:00", "1h"),
    ],
)
async def test_takes_longer_counts_what_was_worked(tmp_path: Path, start: str, now: str, takes: str) -> None:
    app = started(tmp_path, "20m", start, now)
    async with app.run_test(size=(100, 30)) as pilot:
        await press_each(pilot, "o")
        app.screen.query_one("#answer", Input).value = "1h"
        await press_each(pilot, "enter", "k")
        assert f'hands_on = "{takes}"' in (tmp_path / "jobs" / "stool.toml").read_text()
        assert "1h left" in read(app, "#now")
