"""The form of New job itself: typing, keys, taps, labels, dates, what is said before accepting."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from app_reading import choose, press_each, read, rows_text, toasts, until, until_screen
from app_shop import app_on
from local_planner import LocalPlanner
from newjob_form import (
    MONDAY,
    NewJob,
    filling_in,
    newjob_app,
    small_shop,
)
from textual.widgets import Input, Static

from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.screens.new_job_screen import NewJobScreen
from shopday.app.widgets.footer import ShopFooter
from shopday.app.widgets.link_bar import FoldedLinks
from shopday.app.widgets.part_fields import PartFields, PartKeys
from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow


async def test_letters_are_typed_in_a_field_and_are_keys_after_escape(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("4", *"dark [oak] 4 bay racks")
        assert app.screen.query_one("#f-title", Input).value == "dark [oak] 4 bay racks"
        assert app.screen.query_one(ShopFooter).links[0].key == "Esc"
        await pilot.press("enter", *"Ann")
        assert app.screen.query_one("#f-customer", Input).value == "Ann"
        await pilot.press("escape", "4", "!")
        assert app.screen.query_one("#f-title", Input).value == "dark [oak] 4 bay racks!"


async def test_the_footer_takes_taps_while_the_person_types(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await pilot.press("4", *"Rack")
        footer = app.screen.query_one(ShopFooter)
        cells = next(cells for cells, link in footer.fitting() if link.says == "Drop")
        await pilot.click(ShopFooter, offset=(cells.start, 0))
        await until(
            pilot, lambda: app.screen.query("#f-title") and not app.screen.query_one("#f-title", Input).value
        )


async def test_undo_restores_a_dropped_form_with_its_parts(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "4", "R", "escape", "A", "enter", "D")
        await until(pilot, lambda: app.screen.query("#f-title") and not app.screen.query(PartFields))
        assert app.screen.query_one("#f-title", Input).value == ""
        await press_each(pilot, "u")
        await until(pilot, lambda: app.screen.query("#f-title") and app.screen.query(PartFields))
        assert app.screen.query_one("#f-title", Input).value == "R"


async def test_part_keys_without_a_part_say_so(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await press_each(pilot, "4", "escape", "b", "B", "delete")
        assert toasts(app) == ["Add a part first."]


async def test_a_job_with_a_wrong_field_says_so_instead_of_being_accepted(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Table") as form:
        await form.add("Slab")
        await form.type_in("#p-boards", "many", part=0)
        await press_each(form.pilot, "a")
        assert toasts(app) == [read(app, "#date")]
        assert "Boards" in read(app, "#date")


async def test_a_finish_cannot_be_bought(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Table") as form:
        await form.add("Oil [thin]")
        assert "buy" not in {link.does for link in form.parts[0].query_one(PartKeys).links}
        await form.at_part(0, "B")
        assert "only a piece can be bought" in toasts(app)[-1]
        assert not form.parts[0].form.bought


@pytest.mark.parametrize("size", [(41, 46), (60, 18), (80, 24), (120, 40)])
async def test_no_label_or_hint_of_the_form_is_cut(tmp_path: Path, size: tuple[int, int]) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with app.run_test(size=size, notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named("")
        await form.add("Slab")
        await form.at_part(0, "B", "escape")  # without a day nothing is planned meanwhile
        await form.add(
            "Resin-filled top", "Base from outside, with inserts", "Table top or panel", "Case piece"
        )
        for label in app.screen.query(".label").results(Static):
            lines = [strip.text.strip() for strip in label.render_lines(label.size.region)]
            assert " ".join(line for line in lines if line) == str(label.render())
            assert label.size.height <= 2
        for line in app.screen.query(Input):
            assert len(line.placeholder) <= line.content_size.width
        for links in app.screen.query(FoldedLinks):
            said = " ".join(strip.text for strip in links.render_lines(links.size.region))
            assert (
                said.replace("›", "").split()
                == " ".join(f"{link.key} {link.says}" for link in links.links).split()
            )


async def test_the_work_of_a_job_is_said_in_working_days(tmp_path: Path) -> None:
    """Seven slabs of 4 h and 1 h for the delivery are 29 h: three days of 8 h, and 5 h."""
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Boards") as form:
        pilot = form.pilot
        await form.add(*["Slab"] * 7)
        await until(
            pilot,
            lambda: (
                "22 steps, 3 working days and 5h of work by the estimate."
                in " ".join(read(app, "#quote").split())
            ),
        )


async def test_wanted_by_accepts_dates_as_people_write_them(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Table") as form:
        pilot = form.pilot
        await form.add("Slab")
        for typed in ("18 Mar", "Wed 18 Mar", "18.3.", "Mar 18", "3-18", "in 16 days", "2026-03-18"):
            await form.type_in("#f-promise", typed)  # sanded Mon 14-15, delivered 15-16
            await until(
                pilot, lambda: "16 days before Wed 18 Mar, the day it is wanted." in read(app, "#quote")
            )
            await form.type_in("#f-promise", "")
            await until(pilot, lambda: "wanted" not in read(app, "#quote"))
        await form.type_in("#f-promise", "18 Mar")
        await form.accept()
    promise = OpenShop(tmp_path, MONDAY).folder.jobs["table"].promise
    assert f"{promise}" == "2026-03-18"


async def test_accepting_warns_of_a_promise_that_nobody_can_keep(tmp_path: Path) -> None:
    """Seven slabs are 29 h: 8 a day, so Thursday at best, and never tomorrow."""
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Boards") as form:
        pilot = form.pilot
        await form.add(*["Slab"] * 7)
        await form.type_in("#f-promise", "tomorrow")
        await until(pilot, lambda: "after Tue 3 Mar, the day it is wanted." in read(app, "#breaks"))
        await press_each(pilot, "a")
        await until_screen(pilot, QuestionDialog)
        assert "Nobody can keep Tue 3 Mar" in read(app, "#title")
        assert "The earliest delivery is Thu 5 Mar." in read(app, "#text")
        await press_each(pilot, "escape")
        assert not (tmp_path / "jobs" / "boards.toml").exists()
        await press_each(pilot, "a")
        await until_screen(pilot, QuestionDialog)
        await press_each(pilot, "1", "enter")
        await until(pilot, lambda: (tmp_path / "jobs" / "boards.toml").exists())
    assert f"{OpenShop(tmp_path, MONDAY).folder.jobs['boards'].promise}" == "2026-03-03"


async def test_accepting_waits_for_the_answer_to_a_changed_date(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Boards") as form:
        pilot = form.pilot
        await form.add(*["Slab"] * 7)
        await until(pilot, lambda: "Earliest delivery" in read(app, "#quote"))
        app.screen.query_one("#f-promise", Input).focus()
        await pilot.press(*"tomorrow", "escape", "a")
        await until_screen(pilot, QuestionDialog)
        assert "Nobody can keep Tue 3 Mar" in read(app, "#title")
        assert not (tmp_path / "jobs" / "boards.toml").exists()
        await press_each(pilot, "1", "enter")
        await until(pilot, lambda: (tmp_path / "jobs" / "boards.toml").exists())


MIND = "fingers and hoses clear"


async def test_a_job_that_cannot_be_planned_says_why_before_it_is_accepted(tmp_path: Path) -> None:
    """Two people carry the slabs, one of whom comes on Saturdays, when the other is off."""
    open_shop = small_shop(tmp_path)
    recipe = open_shop.folder.path / "recipes" / "slab.toml"
    recipe.write_text(recipe.read_text().replace('"2h * boards"', '"2h * boards", hands = 2'), "utf-8")
    with (tmp_path / "shop.toml").open("a") as file:
        file.write('[[people]]\nid = "ada"\n[[people]]\nid = "kit"\nhours = { saturday = ["09:00-12:00"] }\n')
    app = newjob_app(OpenShop(tmp_path, MONDAY))
    async with filling_in(app, "Boards") as form:
        pilot = form.pilot
        await form.add("Slab", "Slab")
        await until(pilot, lambda: "and 1 more:" in read(app, "#breaks").replace("\n", " "))
        assert read(app, "#date") == "It cannot be planned."
        why = "a maker and somebody to help are never in together"
        said = read(app, "#breaks").replace("\n", " ").lower()
        assert said.count(why) == 1, "one reason for both"
        await press_each(pilot, "a")
        await until_screen(pilot, QuestionDialog)
        assert why in read(app, "#text").replace("\n", " ").lower()
        await press_each(pilot, "enter")
        await until_screen(pilot, ConfirmMoves)
        assert "! Boards: cannot be planned\nNo other delivery moves." in read(app, "#told")
        await press_each(pilot, "k", "1")
        await until(pilot, lambda: why in rows_text(app, "#day").replace("\n  ", " ").lower())


async def test_broken_promises_and_cautions_are_shown_before_a_job_is_accepted(tmp_path: Path) -> None:
    recipe = small_shop(tmp_path).folder.path / "recipes" / "slab.toml"
    recipe.write_text(
        recipe.read_text().replace('"2h * boards"', '"2h * boards", minds = ["vacuum"]'), "utf-8"
    )
    app = newjob_app(OpenShop(tmp_path, MONDAY))
    async with filling_in(app, "Hall bench") as form:
        pilot = form.pilot
        await form.add(*["Slab"] * 3)
        await form.type_in("#f-promise", "today")
        await until(pilot, lambda: "being worked out" in read(app, "#date"))
        date, side = app.screen.query_one("#date"), app.screen.query_one("#answer-side")
        assert date.region.bottom <= side.region.y
        breaks, buttons = app.screen.query_one("#breaks"), app.screen.query("#answer-side Button")
        assert "after Mon 2 Mar, the day it is wanted." in read(app, "#breaks")
        assert breaks.region.bottom <= min(button.region.y for button in buttons)
        assert all(app.screen.region.contains_region(button.region) for button in buttons)
        assert MIND in read(app, "#cautions")
        await form.type_in("#f-promise", "")
        await press_each(pilot, "a")
        await until_screen(pilot, ConfirmMoves)
        assert "Hall bench: delivers Tue 3 Mar" in read(app, "#told")
        assert MIND in read(app, "#told")


async def test_the_date_is_copied_alone_or_in_a_sentence_and_shown(tmp_path: Path) -> None:
    open_shop = small_shop(tmp_path)
    app = app_on(open_shop, LocalPlanner(open_shop, effort=0.001))
    async with filling_in(app, "Hall bench") as form:
        pilot = form.pilot
        await press_each(pilot, "C")
        assert toasts(app) == ["The date to say is not known yet."]
        await form.add("Slab")
        holds = re.compile(r"(\w+ \d+ Mar) holds with (?:80|95) %\.")
        await until(pilot, lambda: holds.search(read(app, "#date")))
        (said,) = holds.findall(read(app, "#date"))
        await press_each(pilot, "C")
        await until_screen(pilot, QuestionDialog)
        await choose(pilot, "1")
        assert app.clipboard == f"The hall bench can be ready by {said}."
        assert app.clipboard in app.session.news
        await press_each(pilot, "C")
        await until_screen(pilot, QuestionDialog)
        await choose(pilot, "0")
        assert app.clipboard == said


async def test_undoing_an_accepted_job_brings_back_what_was_typed(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Table") as form:
        await form.add("Slab")
        await form.type_in("#p-boards", "3", part=0)
        await press_each(form.pilot, "a")
        await until_screen(form.pilot, ConfirmMoves)
        await press_each(form.pilot, "u")
        await until_screen(form.pilot, NewJobScreen)
        await until(form.pilot, lambda: app.screen.query("#p-boards"))
        assert app.screen.query_one("#p-boards", Input).value == "3"
        assert app.screen.query_one("#f-title", Input).value == "Table"
        await press_each(form.pilot, "U")
        await until(form.pilot, lambda: not app.screen.query(PartFields))
        assert (tmp_path / "jobs" / "table.toml").exists()


async def test_the_cursor_comes_to_a_part_as_it_is_added(tmp_path: Path) -> None:
    app = newjob_app(small_shop(tmp_path))
    async with filling_in(app, "Table") as form:
        await form.add("Slab", "Legs", "Slab")
        part = form.parts[-1]
        assert part.query_one(PartKeys).has_focus
        assert app.screen.query_one("#form").region.contains_region(part.region)
        await press_each(form.pilot, "tab", "4")
        assert part.query_one("#p-boards", Input).value == "4"
