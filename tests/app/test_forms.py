"""Forms: everything wrong is told at its field at once, what has a list is picked, the first field is typed over."""

from __future__ import annotations

import pytest
from app_reading import press_each, rows_text
from app_shop import OpenApp
from textual.widgets import Input, Static

from shopday.app.app import ShopdayApp
from shopday.app.dialogs.form_dialog import FormDialog
from shopday.app.dialogs.pick_dialog import PickDialog
from shopday.planning.plan import PlannedStep

pytestmark = pytest.mark.slow


def step_named(app: ShopdayApp, name: str) -> PlannedStep:
    assert app.session.state.plan is not None
    return next(step for step in app.session.state.plan.steps if step.name == name)


def at(app: ShopdayApp, field: str) -> str:
    return str(app.screen.query_one(f"#w-{field}", Static).render())


async def test_all_errors_are_shown_at_once_each_at_its_field(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.session.step_actions.change(step_named(app, "Sand the stand"))
        await pilot.pause()
        await press_each(pilot, *"Rub")  # the name that stood there is typed over
        assert app.screen.query_one("#b-name", Input).value == "Rub"
        app.screen.query_one("#b-hands_on", Input).value = "long"
        app.screen.query_one("#b-passes", Input).value = "many"
        await press_each(pilot, "enter")
        assert isinstance(app.screen, FormDialog)
        assert '"long" is not a duration' in at(app, "hands_on")
        assert at(app, "passes") == "write a whole number from 1 to 100"
        assert app.screen.focused is app.screen.query_one("#b-hands_on")
        labels = str(app.screen.query_one("#labels", Static).render()).splitlines()
        assert app.screen.query_one("#b-passes").region.y - app.screen.query_one(
            "#labels"
        ).region.y == labels.index("Passes")


async def test_predecessors_are_picked_by_name_and_found_by_typing(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        shape = step_named(app, "Shape the book rest")
        app.session.step_actions.change(shape)
        await pilot.pause()
        app.screen.query_one("#b-after").focus()
        await press_each(pilot, "enter")
        assert isinstance(app.screen, PickDialog)
        await press_each(pilot, *"stand")
        assert "Sand the stand (Stand)" in rows_text(app, "#found")
        assert "Cut" not in rows_text(app, "#found").replace("Cut the joints (Stand)", "")
        place = rows_text(app, "#found").splitlines().index("  Sand the stand (Stand)")
        await press_each(pilot, *("down",) * place, "enter", "tab", "tab", "enter")
        assert isinstance(app.screen, FormDialog)
        app.screen.query_one("#b-name").focus()
        await press_each(pilot, "enter", "k")
        folder = app.session.state.open_shop.folder
        own = folder.jobs[shape.job].step_at(shape.part, shape.step)
        assert own is not None
        assert [after.step for after in own.after or ()] == ["stand/sand"]


async def test_the_status_of_a_job_is_picked_with_the_arrows(open_app: OpenApp) -> None:
    app = open_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.session.job_actions.change("pear-lectern")
        await pilot.pause()
        app.screen.query_one("#b-status").focus()
        await press_each(pilot, "right", "right")
        app.screen.query_one("#b-title").focus()
        await press_each(pilot, "enter", "k")
        assert app.session.state.open_shop.folder.jobs["pear-lectern"].status == "shelved"
