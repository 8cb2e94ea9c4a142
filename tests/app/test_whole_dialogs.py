"""Every dialog that a key opens is whole, on a phone and on the smallest usual terminal."""

from __future__ import annotations

import ast
import inspect
from collections.abc import AsyncIterator
from pathlib import Path
from textwrap import dedent
from typing import Any

import pytest
from app_reading import press_each, until
from app_shop import NOW, OpenApp
from textual.app import App
from textual.binding import Binding
from textual.pilot import Pilot
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from shopday.app.app import ShopdayApp
from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.dialogs.dialog import Dialog
from shopday.app.dialogs.first_start import FirstStart
from shopday.app.dialogs.form_dialog import FormDialog
from shopday.app.dialogs.help_dialog import HelpDialog
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.dialogs.recipe_dialog import RecipeDialog
from shopday.app.dialogs.step_dialog import StepDialog
from shopday.app.dialogs.why_dialog import WhyDialog
from shopday.app.screens.lessons_screen import LessonDialog
from shopday.app.screens.screen_registry import CLASSES, screen_class
from shopday.app.widgets.choices import Choices
from shopday.app.widgets.header import PLACES
from shopday.app.widgets.pick_line import PickLine
from shopday.app.widgets.row_list import RowList

pytestmark = pytest.mark.slow

SIZES = [(41, 46), (80, 24)]
TO_PLACE = {name: [str(n)] for n, name in enumerate(PLACES, 1)} | {"job": ["2", "enter"]}
TO_PLACE["newjob"] += ["escape", "A", "enter"]
ELSEWHERE = ("left", "right", "tab", "escape", "e", "z", "w", "s", "f", "space", "delete", "h")
"""Keys that open no dialog, as they move, go back, log, or leave the app for an editor; the reasons are asked for elsewhere."""


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("place", CLASSES)
async def test_every_dialog_of_a_place_is_whole(open_app: OpenApp, place: str, size: tuple[int, int]) -> None:
    app = open_app()
    async with app.run_test(size=size, notifications=True) as pilot:
        await press_each(pilot, *TO_PLACE[place])
        opened = {title async for title in _opened_by_keys(pilot, app, place)}
        assert len(opened) >= {"ahead": 3, "done": 4}.get(place, 1)


@pytest.mark.parametrize("size", SIZES)
async def test_the_form_of_each_line_of_my_shop_is_whole(open_app: OpenApp, size: tuple[int, int]) -> None:
    app = open_app()
    async with app.run_test(size=size, notifications=True) as pilot:
        await press_each(pilot, "5")
        lines = [row for row in app.screen.query_one(RowList).rows if not row.heading]
        assert len(lines) > 25
        for _ in lines:
            await press_each(pilot, "d")
            await _whole(pilot, app)
            await press_each(pilot, "escape", "down")


@pytest.mark.parametrize("size", SIZES)
async def test_the_questions_of_the_first_start_are_whole(tmp_path: Path, size: tuple[int, int]) -> None:
    app = FirstStart(tmp_path, NOW.date())
    async with app.run_test(size=size, notifications=True) as pilot:
        await pilot.pause()
        await _whole(pilot, app)


async def _opened_by_keys(pilot: Pilot[None], app: ShopdayApp, place: str) -> AsyncIterator[str]:
    """Press every key of the place on each of its first rows; the titles of the dialogs, which are whole."""
    here = app.screen
    keys = [b.key.partition(",")[0] for b in screen_class(place).BINDINGS if isinstance(b, Binding)]
    for _ in range(2):
        for key in ["enter", *(key for key in keys if key not in ELSEWHERE), "question_mark"]:
            if key == "enter" and place in ("newjob", "jobs"):
                continue
            await press_each(pilot, key)
            if isinstance(app.screen, Dialog):
                await _whole(pilot, app)
                yield str(app.screen.query_one("#title", Static).render())
            while isinstance(app.screen, ModalScreen):
                await press_each(pilot, "escape")
            if app.screen is not here:
                await press_each(pilot, *TO_PLACE[place])
        await press_each(pilot, "down")


async def _whole(pilot: Pilot[object], app: App[object]) -> None:
    """Nothing of the dialog is cut off, and its last line and all its choices can be reached."""
    dialog = app.screen.query_one("#dialog")
    await until(pilot, lambda: dialog.region.height > 0)
    assert app.screen.region.contains_region(dialog.region)
    narrow = app.screen.has_class("-narrow")
    for text in dialog.query(Static):
        if text.display and text.size.width and not (narrow and text.id == "labels"):
            _all_words(text)
    for line in (*dialog.query(Input), *dialog.query(PickLine)):
        if line.display:
            assert len(line.placeholder) <= line.content_size.width, line.placeholder
            assert not narrow or line.border_title is None or len(line.border_title) <= line.size.width - 4
    for choices in dialog.query(Choices):
        assert choices.where(len(choices.choices) - 1).right <= choices.size.width
        choices.focus()
        await pilot.pause()
        assert dialog.region.contains_region(choices.region)


def _all_words(text: Static) -> None:
    lines = [strip.text.strip() for strip in text.render_lines(text.size.region)]
    assert "".join("".join(lines).split()) == "".join(str(text.render()).split())
    assert "…" not in "".join(lines)


@pytest.mark.parametrize(
    "dialog",
    [FormDialog, RecipeDialog, StepDialog, HelpDialog, ConfirmMoves, QuestionDialog, WhyDialog, LessonDialog],
)  # fmt: skip
def test_a_dialog_shown_again_takes_over_all_that_it_was_given(dialog: type[Dialog[Any]]) -> None:
    made = ast.parse(dedent(inspect.getsource(dialog.__init__)))
    given = {
        node.attr
        for node in ast.walk(made)
        if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Store)
    }
    assert given == set(dialog.CONTENT)
