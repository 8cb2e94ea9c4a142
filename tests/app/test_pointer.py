"""The pointer alone, on the screen of a phone; and the look that is remembered."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_reading import choose, press_each, toasts, until, until_screen
from app_shop import NOW, OpenApp, app_on
from textual.command import CommandPalette
from textual.pilot import Pilot

from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.dialogs.recipe_dialog import RecipeDialog
from shopday.app.dialogs.step_dialog import StepDialog
from shopday.app.screens.ahead_screen import AheadScreen
from shopday.app.screens.new_job_screen import NewJobScreen
from shopday.app.screens.today_screen import TodayScreen
from shopday.app.terminal_look import look_to_begin_with, read_answer
from shopday.app.widgets.choices import Choices
from shopday.app.widgets.footer import ShopFooter
from shopday.app.widgets.header import ShopHeader
from shopday.app.widgets.link_bar import LinkBar
from shopday.app.widgets.row_list import RowList
from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow


async def tap(pilot: Pilot[None], bar: type[LinkBar], says: str, row: int = 0) -> None:
    cells = next(cells for cells, link in pilot.app.screen.query_one(bar).fitting() if link.says == says)
    await pilot.click(bar, offset=(cells.start, row))
    await pilot.pause()


async def test_on_a_phone_places_and_keys_are_in_a_menu_and_cards_close_on_a_tap_outside(
    open_app: OpenApp, shop: Path
) -> None:
    app = open_app()
    async with app.run_test(size=(41, 46), notifications=True) as pilot:
        await pilot.pause()
        assert [link.key for _, link in app.screen.query_one(ShopHeader).fitting()] == ["≡"]
        await tap(pilot, ShopHeader, "Today", row=1)  # two rows high for a finger
        await until_screen(pilot, CommandPalette)
        await pilot.press(*"ahead")
        await until(pilot, lambda: app.screen.query_one("CommandList").option_count == 1)  # type: ignore[attr-defined]
        await pilot.click("CommandList", offset=(3, 1))
        await until_screen(pilot, AheadScreen)
        await until(pilot, lambda: app.screen.query_one(ShopFooter).size.height == 2)
        await tap(pilot, ShopFooter, "Later", row=1)
        assert isinstance(app.screen, AheadScreen)
        assert app.screen.first > NOW.date()
        await tap(pilot, ShopFooter, "More")
        await until_screen(pilot, CommandPalette)
        await press_each(pilot, "escape")

        await press_each(pilot, "1")
        await until_screen(pilot, TodayScreen)
        await press_each(pilot, "enter")
        await until_screen(pilot, StepDialog)
        await pilot.click(offset=(20, 1))
        await until_screen(pilot, TodayScreen)

        assert app.theme == "shop-night"
        await press_each(pilot, "l")
        assert app.theme == "shop-day"
    assert look_to_begin_with(shop) == (True, "")


async def test_a_tap_outside_closes_a_form_only_while_nothing_is_typed_in_it(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "S")
        await until_screen(pilot, QuestionDialog)
        await pilot.click(offset=(1, 1))
        await until_screen(pilot, TodayScreen)
        await press_each(pilot, "S", *"8:1")
        await pilot.click(offset=(1, 1))
        await until(pilot, lambda: toasts(app))
        assert toasts(app) == ["What you typed would be lost: choose Back to leave it."]
        assert isinstance(app.screen, QuestionDialog)
        await choose(pilot, "leave")
        await press_each(pilot, "4", "escape", "A", *"oil")
        assert isinstance(app.screen, RecipeDialog)
        await pilot.click(offset=(1, 1))
        await until_screen(pilot, NewJobScreen)


async def test_a_tap_confirms_a_typed_answer(shop: Path) -> None:
    app = app_on(OpenShop(shop, NOW))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        taken: list[str | None] = []
        app.session.open_dialog(QuestionDialog("When?", "A time.", (), str, "8:45"), taken.append)
        await until_screen(pilot, QuestionDialog)
        place = app.screen.query_one(Choices).where(0)
        await pilot.click(Choices, offset=place.offset)
        await until_screen(pilot, TodayScreen)
        assert taken == ["8:45"]


@pytest.mark.parametrize(
    ("answer", "light", "typed"),
    [
        (b"\x1b]11;rgb:ffff/fafa/f0f0\x1b\\\x1b[?62;22c", True, ""),
        (b"\x1b]11;rgb:1d/1b/19\x07\x1b[?6c4", False, "4"),
        (b"\x1b[?1;2c", False, ""),
        (b"4\x1b[A\x1b[?1;2c", False, ""),
    ],
)
def test_the_terminal_says_whether_it_is_light(answer: bytes, light: bool, typed: str) -> None:
    assert read_answer(answer) == (light, typed)


async def test_what_fingers_tap_is_two_rows_high(
    open_app: OpenApp, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHOPDAY_FINGERS", "1")
    app = open_app()
    async with app.run_test(size=(80, 40), notifications=True) as pilot:
        await pilot.press("5")
        await pilot.pause()
        rows = app.screen.query_one(RowList)
        places = [place for place, row in enumerate(rows.rows) if not row.heading][:6]
        tops = {place: line for line, (place, _) in reversed(list(enumerate(rows._lines)))}
        assert all(tops[place + 1] - tops[place] >= 2 for place in places)
        assert app.screen.query_one(ShopFooter).size.height == 2
        await pilot.click(RowList, offset=(5, tops[places[2]] + 1))
        assert rows.current is rows.row_at(places[2])
        await press_each(pilot, "escape", "1", "enter")
        await until_screen(pilot, StepDialog)
        choices = app.screen.query_one(Choices)
        await until(pilot, lambda: choices.size.height > 0)
        assert choices.where(0).height == 2
        assert choices.size.height == choices.where(len(choices.choices) - 1).bottom
