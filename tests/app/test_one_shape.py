"""Every screen and every page says the same moment and the same length in the same words."""

from __future__ import annotations

import contextlib
import io
import re
from collections.abc import AsyncIterator
from pathlib import Path

import pytest
from app_reading import until
from app_shop import NOW, OpenApp

from shopday.__main__ import main
from shopday.app.app import ShopdayApp
from shopday.planning.open_shop import OpenShop
from shopday.planning.questions.day import day_view
from shopday.planning.questions.waiting import waiting_items
from shopday.planning.questions.why import why
from shopday.text.times import date_text, moment_text, time_of

pytestmark = pytest.mark.slow

WIDE = (180, 60)
PAGES = (
    ("today",),
    ("plan",),
    ("waiting",),
    ("sheet",),
    ("note", "elm-hall-table"),
    ("check",),
)
OTHER_SHAPES = {
    "a clock with a leading zero": r"(?<![\d:])0\d:\d\d",
    "a weekday beside a clock": r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2}:\d\d",
    "a word for a day beside a clock": r"\b(tomorrow|yesterday) (at )?\d{1,2}:\d\d",
    "a half of the day": r"\d ?[ap]\.?m\b",
    "a date of the files": r"\b20\d\d-\d\d-\d\d",
    "a year where none is needed": r"\d (Nov|Dec|Jan|Feb|Mar) 20\d\d",
    "a length in words": r"\b\d+ (h|min|hours?|minutes)\b",
    "more than a day in hours": r"\b(2[4-9]|[3-9]\d|\d{3,})h\b",
}


def shown(app: ShopdayApp) -> str:
    """The whole screen as it stands, line by line."""
    return "\n".join(strip.text.rstrip() for strip in app.screen._compositor.render_strips())


async def screens(app: ShopdayApp) -> AsyncIterator[tuple[str, str]]:
    """The screens that tell of the plan, and the cards of a step; My shop and New job show what is written."""
    async with app.run_test(size=WIDE) as pilot:
        await until(pilot, lambda: "Under way" in shown(app))
        for name, keys in {
            "Today": ("1",),
            "Jobs": ("2",),
            "a job": ("2", "enter"),
            "Ahead": ("escape", "3"),
            "To get": ("6",),
            "a step": ("1", "down", "enter"),
            "why": ("escape", "w"),
        }.items():
            for key in keys:
                await pilot.press(key)
                await pilot.pause()
            await pilot.pause(0.1)
            yield name, shown(app)


def page(shop: Path, *command: str) -> str:
    said = io.StringIO()
    argv = ["--shop", str(shop), "--now", f"{NOW:%Y-%m-%dT%H:%M}", *command]
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
        main([*argv, "--effort", "0"] if command != ("check",) else argv)
    return said.getvalue()


def in_another_shape(text: str) -> list[str]:
    return [
        f"{name}: {line.strip()}"
        for name, pattern in OTHER_SHAPES.items()
        for line in text.splitlines()
        if re.search(pattern, line)
    ]


async def test_screens_and_pages_of_the_demo_say_moments_and_lengths_alike(
    shop: Path, open_app: OpenApp
) -> None:
    told = {command[0]: page(shop, *command) for command in PAGES}
    told |= {name: text async for name, text in screens(open_app())}
    assert {name: in_another_shape(text) for name, text in told.items() if in_another_shape(text)} == {}

    open_shop = OpenShop(shop, NOW)
    plan = open_shop.plan(0)
    for row in plan.jobs:
        if row.delivery is not None and not row.delivered:
            assert moment_text(row.delivery, NOW) in told["plan"] or row.delivery.date() == NOW.date()
            assert date_text(row.delivery.date(), NOW.date()) in told["Jobs"]
    first, *_ = (wait for wait in waiting_items(open_shop, plan) if wait.kind == "wait" and wait.until)
    assert first.until is not None
    for name in ("Today", "waiting", "sheet"):
        assert moment_text(first.until, NOW) in told[name], name
    for line in day_view(open_shop, plan).lines:
        for name in ("Today", "today"):
            assert time_of(line.at) in told[name], (name, line.text)


def test_the_chain_of_reasons_says_moments_in_the_same_shape(shop: Path) -> None:
    open_shop = OpenShop(shop, NOW)
    plan = open_shop.plan(0)
    said = "\n".join(line for step in plan.steps for line in why(open_shop, plan, *step.key))
    assert moment_text(max(step.start for step in plan.steps), NOW) in said
    assert in_another_shape(said) == []


@pytest.mark.parametrize(
    "text",
    [
        "until 09:30",
        "Thu 9:00",
        "tomorrow 9:00",
        "9:30 pm",
        "on 2026-12-03",
        "4 Jan 2027",
        "9 h 20 min",
        "41h left",
    ],
)
def test_the_check_finds_another_shape(text: str) -> None:
    assert in_another_shape(text)
