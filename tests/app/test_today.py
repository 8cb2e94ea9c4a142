"""Today: the answer as large as there is room, nothing cut off, a line at now, and why nothing can be started."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from app_reading import choices, press_each, read, rows_text, until
from app_shop import OpenApp, app_on

from shopday.app.rows.large_letters import large
from shopday.planning.open_shop import OpenShop

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday")
SHOP = 'name = "Pour yard"\ntimezone = "Europe/London"\n[hours]\n' + "".join(
    f'{day} = ["08:00-12:00", "13:00-17:00"]\n' for day in DAYS
)
STATIONS = """
[[stations]]
id = "bench"
name = "Bench"
[[stations]]
id = "saw"
dusty = true
"""
SLAB = """
title = "River table"
[[steps]]
id = "pour"
name = "Pour the river"
hands_on = "1h"
material = "drying-oil"
stations = ["bench"]
waits = [{ name = "cures", takes = "3d", keeps = "all", still_air = true }]
"""
SHELF = 'title = "Wall shelf"\n[[steps]]\nid = "mill"\nname = "Mill the boards"\nhands_on = "2h"\nstations = ["saw"]\n'
STOOL = 'title = "Low stool"\n[[steps]]\nid = "shape"\nhands_on = "2h"\nstations = ["bench"]\n'


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """A pour that cures on the only bench since 9:00 and wants still air; work at saw and bench is open."""
    (tmp_path / "jobs").mkdir()
    (tmp_path / "shop.toml").write_text(SHOP + STATIONS, "utf-8")
    for name, text in {"slab": SLAB, "shelf": SHELF, "stool": STOOL}.items():
        (tmp_path / "jobs" / f"{name}.toml").write_text(text, "utf-8")
    shop = OpenShop(tmp_path, dt.datetime(2026, 12, 16, 9, 0))
    shop.log("start", "slab/pour", dt.datetime(2026, 12, 16, 8, 0))
    shop.log("finish", "slab/pour", dt.datetime(2026, 12, 16, 9, 0))
    return tmp_path


@pytest.mark.slow
async def test_a_standstill_tells_its_cause_its_effects_and_a_way_out(yard: Path) -> None:
    app = app_on(OpenShop(yard, dt.datetime(2026, 12, 16, 10, 0)))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        said = read(app, "#now")
        assert said.startswith("Nothing to start now. Next, Mon 21 Dec 8:00")
        # The cure ends on Sat 9:00; the bench is cleared when somebody is in, on Monday.
        assert "still air (cures) until Sat 19 Dec 9:00. It holds up Mill the boards (Wall shelf)." in said
        assert "The bench is kept by Pour the river (River table) (cures) until Mon 21 Dec 8:00." in said
        assert "A way out: find something to stand in for the bench." in said
        assert "Before you close" not in said
    late = app_on(OpenShop(yard, dt.datetime(2026, 12, 16, 16, 20)))
    async with late.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "! Before you close: rags" in read(late, "#now")  # 40 minutes before the lights go out


@pytest.mark.slow
async def test_the_day_has_the_rows_that_the_waits_leave_empty(yard: Path) -> None:
    app = app_on(OpenShop(yard, dt.datetime(2026, 12, 16, 10, 0)))
    async with app.run_test(size=(80, 40)) as pilot:
        lines = len(rows_text(app, "#waiting").splitlines())
        await until(pilot, lambda: app.screen.query_one("#waiting").size.height == lines)
        await pilot.resize_terminal(120, 40)
        await until(pilot, lambda: app.screen.query_one("#waiting").size.height > 20)


@pytest.mark.slow
@pytest.mark.parametrize("size", [(60, 18), (80, 24), (120, 40), (200, 50)])
async def test_nothing_is_cut_off_and_a_line_parts_what_is_past(
    open_app: OpenApp, size: tuple[int, int]
) -> None:
    app = open_app()
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        day, waiting = rows_text(app, "#day"), rows_text(app, "#waiting")
        assert "…" not in day + waiting
        before, after = day.split("10:05 ─")
        assert "Glue up the backs" in before
        assert "► Cut the joints" in after
        # Overdue, so not past.
        assert "↓ Due: brass pulls" in after
        assert "▀" in read(app, "#now") if size[1] >= 30 else "▀" not in read(app, "#now")
        assert "Cut the joints (Stand of Pear lectern)" in read(app, "#now")


@pytest.mark.slow
async def test_one_key_fills_the_screen_with_the_answer_and_returns(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await press_each(pilot, "z")
        assert app.screen.query_one("#now").size.height > 18
        assert "██" in read(app, "#now")
        await press_each(pilot, "z")
        assert app.screen.query_one("#now").size.height < 8


def test_letters_are_as_large_as_they_fit_and_none_is_left_out() -> None:
    assert large("It", 80, 6, 1) == ["█ ▀█▀", "█  █", "▀  ▀"]
    assert len(large("It", 80, 6, 2) or ()) == 6
    assert len(large("It", 80, 5, 2) or ()) == 3
    assert large("Oil", 5, 9, 1) is None
    assert large("Öl", 80, 9, 1) == large("Ol", 80, 9, 1)
    assert large("塗装 2", 80, 9, 1) is None


@pytest.mark.slow
async def test_every_step_opens_its_dialog(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await press_each(pilot, "enter")
        assert read(app, "#title") == "Cut the joints (Stand of Pear lectern)"
        assert {"finish", "put_down", "skip", "overrun"} <= set(choices(app))
