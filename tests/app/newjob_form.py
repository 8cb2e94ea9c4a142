"""New job filled in as a person does, and a shop with recipes small enough to work out by hand."""

from __future__ import annotations

import datetime as dt
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from zoneinfo import ZoneInfo

from app_reading import press_each, until, until_screen
from app_shop import app_on
from textual.pilot import Pilot
from textual.widgets import Input

from shopday.app.app import ShopdayApp
from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.dialogs.recipe_dialog import RecipeDialog
from shopday.app.screens.new_job_screen import NewJobScreen
from shopday.app.widgets.part_fields import PartFields, PartKeys
from shopday.app.widgets.row_list import RowList
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Plan, PlannedStep
from shopday.planning.solving.plan_decoder import decode_plan
from shopday.planning.solving.plan_solver import improved_plans
from shopday.scheduler import verify_result

MONDAY = dt.datetime(2026, 3, 2, 8, 0, tzinfo=ZoneInfo("Europe/Berlin"))
WEEK = '["08:00-12:00", "13:00-17:00"]'
SHOP = f"""
name = "Test shop"
timezone = "Europe/Berlin"
[hours]
monday = {WEEK}
tuesday = {WEEK}
wednesday = {WEEK}
thursday = {WEEK}
friday = {WEEK}
"""
RECIPES = {
    "slab": """
name = "Slab"
makes = "top"
parameters = [{ id = "boards", name = "Boards", default = 1 }]
steps = [
  { id = "mill", hands_on = "2h * boards" },
  { id = "glue", hands_on = "1h", waits = [{ name = "in clamps", takes = "3h" }] },
  { id = "sand", hands_on = "1h" },
]
""",
    "legs": """
name = "Legs"
makes = "base"
parameters = [{ id = "legs", name = "How many legs", default = 2 }, { id = "bolts", name = "Bolts", default = 4 }]
steps = [
  { id = "frame", hands_on = "1h * legs" },
  { id = "bolt", hands_on = "15m * bolts", needs = ["top"] },
]
""",
    "shelf": """
name = "Shelf"
steps = [{ id = "plane", hands_on = "3h" }]
""",
    "oil": """
name = "Oil [thin]"
finishing = true
steps = [
  { id = "wipe", hands_on = "30m" },
  { id = "coat", hands_on = "1h", waits = [{ name = "dries", takes = "2h" }] },
]
""",
    "pair": """
name = "Pair of steps"
steps = [{ id = "long", hands_on = "3h" }, { id = "short", hands_on = "1h", after = [] }]
""",
}


def small_shop(folder: Path) -> OpenShop:
    """One maker, five days of eight hours, and the recipes above."""
    (folder / "jobs").mkdir()
    (folder / "recipes").mkdir()
    (folder / "shop.toml").write_text(SHOP, "utf-8")
    for name, text in RECIPES.items():
        (folder / "recipes" / f"{name}.toml").write_text(text, "utf-8")
    return OpenShop(folder, MONDAY)


@asynccontextmanager
async def filling_in(app: ShopdayApp, title: str) -> AsyncIterator[NewJob]:
    """New job in the running app, with this title typed into it."""
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        form = NewJob(pilot, app)
        await form.named(title)
        yield form


class NewJob:
    """The form under a person's hands."""

    def __init__(self, pilot: Pilot[None], app: ShopdayApp) -> None:
        self.pilot, self.app = pilot, app

    async def named(self, title: str) -> None:
        """Go there and type."""
        await press_each(self.pilot, "4")
        await until_screen(self.pilot, NewJobScreen)
        await self.pilot.press(*title)
        await press_each(self.pilot, "escape")

    async def add(self, *recipes: str) -> None:
        for recipe in recipes:
            await press_each(self.pilot, "A")
            await until_screen(self.pilot, RecipeDialog)
            await self.pilot.press(*recipe)
            assert self.app.screen.query_one(RowList).current.subject.name == recipe
            await self.pilot.press("enter")
            await until_screen(self.pilot, NewJobScreen)
            await self.pilot.pause()

    @property
    def parts(self) -> list[PartFields]:
        return list(self.app.screen.query(PartFields))

    async def to_part(self, place: int) -> None:
        """By Tab until its keys have the focus."""
        keys = self.parts[place].query_one(PartKeys)
        while not keys.has_focus:
            await self.pilot.press("tab")

    async def at_part(self, place: int, *keys: str) -> None:
        await self.to_part(place)
        await press_each(self.pilot, *keys)
        await self.pilot.pause()

    async def buy(self, place: int, on: str, what: str = "", source: str = "") -> None:
        """The cursor stands in the first of the three lines."""
        await self.at_part(place, "B")
        await self.pilot.press(*what, "tab", *on, "tab", *source, "escape")
        await self.pilot.pause()

    async def type_in(self, selector: str, text: str, part: int | None = None) -> None:
        owner = self.app.screen if part is None else self.parts[part]
        owner.query_one(selector, Input).focus()
        await self.pilot.press("end", *["backspace"] * 20, *text, "escape")
        await self.pilot.pause()

    async def accept(self) -> None:
        await press_each(self.pilot, "a")
        await until_screen(self.pilot, ConfirmMoves)
        await press_each(self.pilot, "k")
        await until(self.pilot, lambda: "Kept" in self.app.session.news)


def newjob_app(open_shop: OpenShop) -> ShopdayApp:
    return app_on(open_shop)


def planned(folder: Path, now: dt.datetime = MONDAY, effort: float = 0.2) -> Plan:
    """The plan of what the files say, after an independent check of the schedule behind it."""
    shop = OpenShop(folder, now)
    *_, (built, result) = filter(None, improved_plans(shop.folder, shop.state(), shop.minute(), effort))
    assert verify_result(built.problem, result) == []
    plan = decode_plan(built, result)
    assert plan.unplaced == ()
    return plan


def rows(plan: Plan, job: str, part: str | None) -> list[PlannedStep]:
    return [step for step in plan.steps if (step.job, step.part) == (job, part)]


def complete(plan: Plan, address: str) -> dt.datetime:
    return max(step.complete for step in plan.steps if step.address == address)


def starts(plan: Plan, address: str) -> dt.datetime:
    return min(step.start for step in plan.steps if step.address == address)


def said(moment: dt.datetime | None) -> str:
    """ "Mon 08:00"."""
    assert moment is not None
    return f"{('Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun')[moment.weekday()]} {moment:%H:%M}"
