"""What a person reads on the screen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Static

from shopday.app.app import ShopdayApp
from shopday.app.widgets.choices import Choices
from shopday.app.widgets.row_list import RowList

LONGEST = 500


def read(app: ShopdayApp, selector: str) -> str:
    return str(app.screen.query_one(selector, Static).render())


def news(app: ShopdayApp) -> str:
    return read(app, "#news")


def told_wrong(app: ShopdayApp) -> str:
    """Everything a form says is wrong, at its fields and below them."""
    at_fields = [
        str(line.render())
        for line in app.screen.query(Static)
        if line.has_class("wrong-line") and line.display
    ]
    return "\n".join([*at_fields, read(app, "#wrong")]).replace("\n", " ")


def rows_text(app: ShopdayApp, selector: str) -> str:
    return app.screen.query_one(selector, RowList).text


def toasts(app: ShopdayApp) -> list[str]:
    return [notification.message for notification in app._notifications]


async def press_each(pilot: Pilot[None], *keys: str) -> None:
    """One key after another, each when the one before has done its work."""
    for key in keys:
        await pilot.press(key)
        await pilot.pause()


def choices(app: ShopdayApp) -> list[str]:
    """What can be chosen in a dialog."""
    return [choice.id for choice in app.screen.query_one(Choices).choices]


async def choose(pilot: Pilot[None], id: str) -> None:
    """Tap what a dialog offers."""
    offered = pilot.app.screen.query_one(Choices)
    place = next(n for n, choice in enumerate(offered.choices) if choice.id == id)
    await pilot.click(Choices, offset=offered.where(place).offset)
    await pilot.pause()


async def until(pilot: Pilot[None], wanted: Callable[[], object]) -> None:
    """Wait for what must come, however busy the machine is."""
    for _ in range(LONGEST):
        if wanted():
            return
        await pilot.pause(0.02)
    raise AssertionError("never came")


async def until_screen(pilot: Pilot[None], screen: type[Screen[Any]]) -> None:
    await until(pilot, lambda: isinstance(pilot.app.screen, screen) and pilot.app.screen.query("*"))
