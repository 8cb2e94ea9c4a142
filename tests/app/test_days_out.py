"""My shop: who is not in, and hours of one's own. In the demo Ines works the shop's hours, Tobias helps on Saturdays;
it is Wednesday 2 December 2026, 10:05."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_reading import choose, press_each, read, rows_text, told_wrong, until_screen
from app_shop import OpenApp
from my_shop import cursor_on, fill, person
from textual.widgets import Input

from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.dialogs.form_dialog import FormDialog
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.shop.loading.folder_reader import read_folder

pytestmark = pytest.mark.slow


async def test_a_person_is_out_for_a_morning_and_undo_takes_it_back(open_app: OpenApp, shop: Path) -> None:
    before = (shop / "shop.toml").read_bytes()
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "Ines")
        await press_each(pilot, "y")
        assert read(app, "#title") == "Ines is not in"
        assert app.screen.query_one("#b-from", Input).value == "Wed 2 Dec"
        await fill(pilot, to="2026-12-03", hours="08:00-12:30", why="ill")
        assert isinstance(app.screen, ConfirmMoves)
        await press_each(pilot, "k")
        assert "Ines is not in" in rows_text(app, "#shop")
        assert "Wed 2 Dec to Thu 3 Dec, 8:00–12:30, ill" in rows_text(app, "#shop")
        assert app.session.state.plan is not None
        mornings = [
            (start, end)
            for step in app.session.state.plan.steps
            if step.state == "planned" and "ines" in step.people
            for start, end in step.stretches
            if start.day in (2, 3) and start.hour < 12
        ]
        assert mornings == []
        assert b"# the yard's agreement with the houses behind it" in (shop / "shop.toml").read_bytes()
        await press_each(pilot, "u")
        assert (shop / "shop.toml").read_bytes() == before


async def test_a_day_out_is_changed_and_removed(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "+ Tobias is not in")
        await press_each(pilot, "enter")
        await fill(pilot, **{"from": "2026-12-05"})
        await press_each(pilot, "k")
        await cursor_on(app, pilot, "Tobias is not in")
        await press_each(pilot, "d")
        await fill(pilot, to="2026-12-12", why="exams")
        await press_each(pilot, "k")
        (out,) = person(shop, "tobias").out
        assert (out.first.day, out.end.day, out.why) == (5, 12, "exams")
        await cursor_on(app, pilot, "Tobias is not in")
        await press_each(pilot, "d")
        await choose(pilot, "remove")
        await press_each(pilot, "k")
        assert person(shop, "tobias").out == ()


async def test_without_a_person_under_the_cursor_the_app_asks_who(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "Bench")
        await press_each(pilot, "y")
        await until_screen(pilot, QuestionDialog)
        await pilot.press(*"Tobias", "enter")
        await until_screen(pilot, FormDialog)
        assert read(app, "#title") == "Tobias is not in"


async def test_days_out_that_overlap_are_refused_and_nothing_is_written(
    open_app: OpenApp, shop: Path
) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "Ines")
        await press_each(pilot, "y")
        await fill(pilot, why="ill")
        await press_each(pilot, "k")
        before = (shop / "shop.toml").read_bytes()
        await cursor_on(app, pilot, "Ines")
        await press_each(pilot, "y")
        await fill(pilot, hours="09:00-10:00")
        (told,) = [toast.message for toast in app._notifications]
        assert "Ines is out twice at a time, 2026-12-02 and 2026-12-02, 09:00-10:00" in told
        assert (shop / "shop.toml").read_bytes() == before


async def test_a_person_gets_hours_of_their_own(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "Tobias")
        await press_each(pilot, "d")
        assert app.screen.query_one("#b-hours", Input).value == "Sat 9:00–13:00"
        await fill(pilot, hours="mon-fry 8:00-12:00")
        assert '"fry" is no weekday; write it as Mon-Fri' in told_wrong(app)
        await fill(pilot, hours="tue-thu 8:00-12:00, 13:00-17:00; sat 9:00-13:00")
        await press_each(pilot, "k")
        both = ((480, 720), (780, 1020))
        assert person(shop, "tobias").hours == {
            "tuesday": both, "wednesday": both, "thursday": both, "saturday": ((540, 780),),
        }  # fmt: skip
        assert "helper, Tue-Thu 8:00–12:00, 13:00–17:00; Sat" in rows_text(app, "#shop")
        await cursor_on(app, pilot, "Tobias")
        await press_each(pilot, "d")
        await fill(pilot, hours="")
        await press_each(pilot, "k")
        assert person(shop, "tobias").hours is None


async def test_no_own_hours_are_written_as_a_word(open_app: OpenApp, shop: Path) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "Tobias")
        await press_each(pilot, "d")
        await fill(pilot, hours="none")
        await press_each(pilot, "k")
        assert person(shop, "tobias").hours == {}
        assert "helper, none" in rows_text(app, "#shop")


async def test_hours_are_read_as_they_are_shown_and_as_people_write_them(
    open_app: OpenApp, shop: Path
) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "5")
        await cursor_on(app, pilot, "Friday")
        assert "8:00–12:30, 13:15–16:30" in rows_text(app, "#shop")
        await press_each(pilot, "d")
        assert app.screen.query_one("#b-friday", Input).value == "8:00–12:30, 13:15–16:30"
        await fill(pilot, friday="7:30 am - 12 pm, 13:15–24:00")
        await press_each(pilot, "k")
    assert read_folder(shop).shop.hours["friday"] == ((450, 720), (795, 1440))
    assert '"07:30-12:00", "13:15-24:00"' in (shop / "shop.toml").read_text("utf-8")
