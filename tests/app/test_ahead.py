"""Ahead: walked with keys and taps; the load of people and stations; the picture to print."""

from __future__ import annotations

import datetime as dt
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest
from app_reading import news, press_each, read, rows_text, until_screen
from app_shop import NOW, OpenApp
from textual.events import MouseScrollDown

from shopday.app.dialogs.step_dialog import StepDialog
from shopday.app.rows.day_axis import DayAxis
from shopday.app.screens.ahead_screen import AheadScreen
from shopday.app.widgets.lane_list import LaneList
from shopday.planning.open_shop import OpenShop
from shopday.planning.questions.loads import loads

pytestmark = pytest.mark.slow


async def test_a_step_is_chosen_read_and_opened_with_keys_and_taps(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(110, 30), notifications=True) as pilot:
        await press_each(pilot, "3")
        screen = app.screen
        assert isinstance(screen, AheadScreen)
        assert "By job" in read(app, "#ahead-head")
        await press_each(pilot, "down")
        first = screen.selected_step()
        await press_each(pilot, "right")
        second = screen.selected_step()
        assert first is not None
        assert second is not None
        assert second.start >= first.start
        assert second.label in read(app, "#lane-told")
        await press_each(pilot, "enter")
        await until_screen(pilot, StepDialog)
        assert second.label in read(app, "#title")
        await press_each(pilot, "escape")

        lanes = app.screen.query_one(LaneList)
        axis = screen.axis
        lane, found = screen.chosen()
        assert lane is not None
        assert found is not None
        seen = [
            step for step in lane.steps if step.solid and 0 <= axis.place(step.solid[0][0]) < axis.width - 1
        ]
        last = [step for step in seen if step is not found][-1]
        cell = 1 + 22 + int(axis.place(last.solid[0][0]))
        line = next(n for n in range(12) if lane.label in lanes.render_line(n).text)
        await pilot.click(LaneList, offset=(cell, line))
        await pilot.pause()
        tapped = screen.selected_step()
        assert tapped is not None
        assert tapped != found.step
        await pilot.click(LaneList, offset=(cell, line))
        await until_screen(pilot, StepDialog)
        assert tapped.label in read(app, "#title")
        await press_each(pilot, "escape")

        await press_each(pilot, "P")
        picture = shop / "papers" / f"ahead-job-{NOW.date()}.svg"
        assert picture.name in news(app)
        assert "Pear lectern" in "".join(ElementTree.fromstring(picture.read_text()).itertext())


async def test_the_weeks_move_by_keys_wheel_and_taps_and_come_back(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(140, 24), notifications=True) as pilot:
        await press_each(pilot, "3", "greater_than_sign")
        screen = app.screen
        assert isinstance(screen, AheadScreen)
        assert screen.first == NOW.date() + dt.timedelta(7)
        assert "back to today" in read(app, "#ahead-head")
        lanes = app.screen.query_one(LaneList)
        lanes.post_message(MouseScrollDown(lanes, 5, 5, 0, 0, 0, False, True, False))
        await pilot.pause()
        assert screen.first == NOW.date() + dt.timedelta(14)
        await press_each(pilot, *["greater_than_sign"] * 30)
        plan = screen.state.plan
        assert plan is not None
        assert screen.first <= max(
            step.complete.date() for step in plan.steps
        )  # no further than there is work
        await press_each(pilot, "t")
        assert screen.first == NOW.date()
        wide = screen.axis.cells
        await press_each(pilot, "plus", *["minus"] * 20, "plus")
        assert 2 < screen.axis.cells <= wide
        await press_each(pilot, "v", "v")
        assert "By person" in read(app, "#ahead-head")
        assert "▁" in rows_text(app, "#lanes") or "█" in rows_text(app, "#lanes")
        await press_each(pilot, "v")
        assert re.search(r"Tobias.* \d+(h|m)( \d+m)? of 4h ", rows_text(app, "#lanes"))
        assert "Load by week" in read(app, "#ahead-head")
        assert "a full week" in read(app, "#legend")
        assert rows_text(app, "#lanes").startswith("Wed 2 Dec to Sun 6 Dec")
        head = read(app, "#ahead-head")
        await press_each(pilot, "plus", "minus")  # weeks come no closer
        assert read(app, "#ahead-head") == head
        await press_each(pilot, "greater_than_sign")
        assert rows_text(app, "#lanes").startswith("Mon 7 Dec to Sun 13 Dec")
        assert read(app, "#ahead-head") != head
        await press_each(pilot, "t")
        assert read(app, "#ahead-head") == head


def test_the_load_of_a_day_is_what_is_taken_of_what_there_is(shop: Path) -> None:
    open_shop = OpenShop(shop, NOW)
    plan = open_shop.plan(0)
    found = loads(open_shop, plan)
    coming = NOW.date() + dt.timedelta(1)
    for person in open_shop.folder.shop.people:
        load = found["person"][person.id]
        worked = sum(
            (end - start).total_seconds() / 60
            for step in plan.steps
            if person.id in step.people and step.kind == "work"
            for start, end in step.stretches
            if start.date() == coming
        )
        assert load.taken.get(coming, 0) == pytest.approx(worked)
    sunday = NOW.date() + dt.timedelta(4)
    assert found["station"]["bench"].share(sunday) is None
    assert all(
        share <= 1 for load in found["station"].values() for day in load.there if (share := load.share(day))
    )


def test_nights_take_no_room_on_the_axis(shop: Path) -> None:
    days = OpenShop(shop, NOW).days()
    axis = DayAxis.of(days, NOW.date(), 4, 40)
    evening = NOW.replace(hour=23)
    assert axis.place(evening) == axis.place(NOW.replace(hour=0) + dt.timedelta(1)) == 4
    assert 0 < axis.place(NOW) < 4
    assert axis.end_of(NOW.date()) == 3
