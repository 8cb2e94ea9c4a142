"""The ways in: pointer alone, the command list, the themes, other sizes, no colour."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_reading import choices, choose, news, press_each, read, rows_text, until
from app_shop import NOW, OpenApp, app_on
from textual.command import CommandList, CommandPalette
from textual.widgets import Input

from shopday.app.app import ShopdayApp
from shopday.app.dialogs.step_dialog import StepDialog
from shopday.app.key_bindings import declared_bindings
from shopday.app.screens.screen_registry import CLASSES
from shopday.app.themes import BY_NIGHT
from shopday.app.widgets.choices import Choices
from shopday.app.widgets.footer import ShopFooter
from shopday.app.widgets.header import PLACES, ShopHeader
from shopday.app.widgets.link_bar import LinkBar
from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow


def start_of(app: ShopdayApp, line: type[LinkBar], says: str) -> int:
    """The first cell of what is to be tapped."""
    return next(cells.start for cells, link in app.screen.query_one(line).fitting() if link.says == says)


async def test_a_pointer_alone_goes_everywhere_and_logs(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        for name in ("jobs", "ahead", "newjob", "myshop", "toget", "today"):
            await pilot.click(ShopHeader, offset=(start_of(app, ShopHeader, PLACES[name]), 0))
            await pilot.pause()
            assert type(app.screen).__name__ == CLASSES[name].partition(":")[2]
        await pilot.click("#day", offset=(12, 1))  # below the line at now
        await pilot.pause()
        assert isinstance(app.screen, StepDialog)
        await choose(pilot, "finish")
        await pilot.pause()
        assert "Finished: Cut the joints" in news(app)
        await pilot.click(ShopFooter, offset=(start_of(app, ShopFooter, "Undo"), 0))
        await pilot.pause()
        assert "Undone: " in news(app)


async def test_everything_is_in_the_command_list(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        names = [command.title for command in app.get_system_commands(app.screen)]
        assert {
            "Start",
            "Finish",
            "One more pass",
            "It's here",
            "Why",
            "Undo",
            "Help",
            "Quit",
            *PLACES.values(),
        } <= set(names)
        assert len(names) == len(set(names))
        await pilot.press("c")
        await pilot.pause()
        assert isinstance(app.screen, CommandPalette)
        await pilot.press(*"jobs")
        found = app.screen.query_one(CommandList)
        await until(pilot, lambda: found.options and "Jobs" in str(found.options[0].prompt))
        await pilot.press("enter")
        await until(pilot, lambda: app.screen.query("#jobs"))


async def test_the_letters_of_keys_can_be_typed_in_a_field(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("4")
        await pilot.pause()
        await pilot.press(*"quick chest 15")
        assert app.screen.query_one("#f-title").value == "quick chest 15"
        await pilot.press("escape", "1")
        await pilot.pause()
        assert "Under way" in read(app, "#now")
        await pilot.press("4", *" feet")
        assert app.screen.query_one("#f-title").value == "quick chest 15 feet"


async def test_a_key_changes_the_theme_and_back(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        assert app.screen.styles.background.hex.lower() == BY_NIGHT.background
        await pilot.press("l")
        assert not app.current_theme.dark
        await pilot.press("l")
        assert app.current_theme.dark


async def test_a_wider_terminal_puts_the_lists_side_by_side(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        assert app.screen.query_one("#waiting").region.x < 10
        await pilot.resize_terminal(120, 40)
        await pilot.pause()
        assert app.screen.query_one("#waiting").region.x > 60
        assert "brass pulls" in rows_text(app, "#waiting")


async def test_state_is_visible_without_colour(open_app: OpenApp, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        assert "! overdue" in rows_text(app, "#waiting")
        await pilot.press("2")
        await pilot.pause()
        jobs = rows_text(app, "#jobs")
        assert all(line[0] in "!~▪·◆?" and len(line.rstrip()) > 60 for line in jobs.splitlines())


async def test_about_seven_keys_fit_at_the_foot(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        for key in "123456":
            await pilot.press("escape", key)
            await pilot.pause()
            footer = app.screen.query_one(ShopFooter)
            keys = list(footer.fitting())
            assert 5 <= len(keys) <= 10
            said = [link.says for _, link in keys]
            links = [link.says for link in footer.links]
            assert said == [*links[: len(said) - 1], "More"]
            assert len(links) - len(said) <= 0  # what has no room is in the menu


async def test_every_button_of_a_dialog_is_on_the_screen(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert choices(app) == [
            "finish", "start_at", "finish_at", "put_down", "skip", "again", "rework", "overrun", "why", "change", "note",
            "none",
        ]  # fmt: skip
        assert app.screen.region.contains_region(app.screen.query_one(Choices).region)


async def test_a_reused_dialog_shows_its_new_content(open_app: OpenApp) -> None:
    """Cards are kept: nothing of the step before, of what was typed before or of where one was stays on them."""
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        titles = []
        for keys in (("enter", "escape"), ("down", "enter", "right", "escape"), ("down", "enter")):
            await press_each(pilot, *keys[:-1])
            if isinstance(app.screen, StepDialog):
                titles.append(read(app, "#title"))
                await press_each(pilot, "down")
            await press_each(pilot, keys[-1])
        assert read(app, "#title") not in titles
        assert app.screen.query_one(Choices).at == 0
        assert app.screen.query_one(Choices).has_focus
        await press_each(pilot, "escape", "d")
        shown = app.screen.query_one("#b-name", Input).value
        await press_each(pilot, "x", "y", "escape", "d")
        assert app.screen.query_one("#b-name", Input).value == shown
        assert app.screen.query_one("#b-name", Input).has_focus


@pytest.mark.parametrize("place", PLACES)
async def test_every_key_of_a_place_can_be_tapped(open_app: OpenApp, place: str) -> None:
    """At the foot, or in the menu that opens there."""
    app = open_app()
    async with app.run_test(size=(41, 46), notifications=True) as pilot:
        await press_each(pilot, str(list(PLACES).index(place) + 1))
        assert type(app.screen).__name__ == CLASSES[place].partition(":")[2]
        foot = app.screen.query_one(ShopFooter)
        assert "More" in {link.says for _, link in foot.fitting()}
        tapped = {link.says for _, link in foot.fitting()}
        tapped |= {command.title for command in app.get_system_commands(app.screen)}
        keys = {
            binding.description for binding, _ in declared_bindings(app, app.screen) if binding.description
        }
        assert len(keys) > 10
        assert keys <= tapped


async def test_good_news_does_not_follow_to_another_place(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "f")
        assert news(app).startswith("Finished: Cut the joints")
        await press_each(pilot, "1")
        assert news(app).startswith("Finished: Cut the joints")
        await press_each(pilot, "2")
        assert news(app) == ""


async def test_a_shop_without_jobs_says_in_each_place_how_to_begin(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text(
        'name = "Adze"\ntimezone = "UTC"\n[hours]\nmonday = ["08:00-17:00"]\n'
    )
    app = app_on(OpenShop(tmp_path, NOW))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "1")
        assert "Press 4 to plan a new job." in read(app, "#now")
        await press_each(pilot, "2")
        assert "Press 4 to plan a new one." in rows_text(app, "#jobs")
        await press_each(pilot, "3")
        assert "Press 4 to plan a new job." in read(app, "#lane-told")
        await press_each(pilot, "6")
        assert rows_text(app, "#toget").split("\n")[1] == "  nothing"


async def test_a_search_without_a_find_says_so(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press_each(pilot, "2", "slash", *"zwieback")
        assert rows_text(app, "#jobs") == "No job fits zwieback."
