"""Names nobody should write and somebody will: shown as they are, everywhere, never acted on."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import tomlkit
from app_reading import news, read, rows_text, toasts
from app_shop import app_on
from rich.cells import cell_len
from textual.pilot import Pilot
from textual.widgets import Input

from shopday.app.app import ShopdayApp
from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow

NOW = dt.datetime(2026, 12, 2, 9, 0, tzinfo=ZoneInfo("America/Denver"))
HOSTILE = [
    "cut [/legs] of [bold red]Ash[/] top [x2]",
    "[@click=app.quit]tap me[/] $accent {brace} \\[back",
    "🪵 oak 👩‍🔧 שולחן אוכל",
    "w" * 200,
    "bell\x07 escape\x1b[2J tab\tend",
]

SHOP = """
name = {name}
timezone = "America/Denver"
[hours]
wednesday = ["08:00-17:00"]
thursday = ["08:00-17:00"]
friday = ["08:00-17:00"]
[[closed]]
from = 2026-12-24
why = {name}
[[people]]
id = "maker"
name = {name}
[[stations]]
id = "bench"
name = {name}
room = "main"
"""

JOB = """
title = {name}
customer = {name}
promise = 2026-12-04
[[parts]]
id = "top"
name = {name}
  [[parts.steps]]
  id = "mill"
  name = {name}
  hands_on = "1h"
  stations = ["bench"]
  waits = [{{ name = {name}, takes = "20h", keeps = "all" }}]
  [[parts.steps]]
  id = "screws"
  name = {name}
  arrives = {{ what = {name}, on = 2026-12-03, from = {name} }}
  after = []
[[steps]]
id = "deliver"
name = {name}
hands_on = "1h"
"""


@pytest.fixture(params=range(len(HOSTILE)), ids=lambda n: f"name{n}")
def name(request: pytest.FixtureRequest) -> str:
    return HOSTILE[request.param]


@pytest.fixture
def app(name: str, tmp_path: Path) -> ShopdayApp:
    written = tomlkit.item(name).as_string()
    (tmp_path / "jobs").mkdir()
    (tmp_path / "shop.toml").write_text(SHOP.format(name=written), "utf-8")
    (tmp_path / "jobs" / "desk.toml").write_text(JOB.format(name=written), "utf-8")
    open_shop = OpenShop(tmp_path, NOW)
    return app_on(open_shop)


async def through(pilot: Pilot[None], *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await pilot.pause()


def shown(name: str) -> str:
    """The start of the name as it must stand on the screen."""
    visible = name.replace("\x07", "\\x07").replace("\x1b", "\\x1b").replace("\t", "\\t")
    return visible[:8]


async def test_every_screen_shows_the_name_as_it_is(app: ShopdayApp, name: str) -> None:
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        assert shown(name) in read(app, "#now")
        assert shown(name) in rows_text(app, "#day")
        assert shown(name) in rows_text(app, "#waiting")
        for line in [*rows_text(app, "#day").splitlines(), *rows_text(app, "#waiting").splitlines()]:
            assert cell_len(line) <= 80
        await through(pilot, "enter")
        assert shown(name) in read(app, "#title")
        await through(pilot, "escape", "w")
        assert shown(name) in read(app, "#reasons")
        await through(pilot, "escape", "i")
        assert shown(name) in read(app, "#title")
        await through(pilot, "escape", "2")
        assert shown(name) in rows_text(app, "#jobs")
        await through(pilot, "enter")
        assert shown(name) in rows_text(app, "#steps")
        await through(pilot, "escape", "d")
        assert app.screen.query_one("#b-title", Input).value.startswith(shown(name))
        await through(pilot, "escape", "3")
        assert shown(name) in rows_text(app, "#lanes")
        await through(pilot, "6")
        assert shown(name) in rows_text(app, "#toget")
        await through(pilot, "5")
        assert shown(name) in rows_text(app, "#shop")


async def test_logging_and_toasts_take_the_name_as_it_is(app: ShopdayApp, name: str) -> None:
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await through(pilot, "s")
        assert shown(name) in news(app)
        await through(pilot, "p")
        assert shown(name) in read(app, "#title")
        await through(pilot, "u", "u")
        app.session.say(name, "error")
        await pilot.pause()
        assert shown(name) in toasts(app)[-1]
        assert not any(char in line for line in toasts(app) for char in "\x07\x1b")
