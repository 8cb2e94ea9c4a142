"""Two weeks lived in the app through its keys. After each act screens and commands say the same days, minutes and
words, and the plan keeps every rule.

One maker, Monday to Friday from 8 to 12 and from 13 to 17; the first day is Monday 2 March 2026.
"""

from __future__ import annotations

import datetime as dt
import json
import re
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from app_reading import choose, news, press_each, read, rows_text, until, until_screen
from app_shop import app_on
from local_planner import LocalPlanner
from my_shop import cursor_on, fill
from newjob_form import MONDAY, NewJob, small_shop
from textual.pilot import Pilot
from textual.widgets import Input

from shopday.__main__ import main
from shopday.app.dialogs.confirm_moves import ConfirmMoves
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.screens.job_screen import JobScreen
from shopday.app.screens.new_job_screen import NewJobScreen
from shopday.app.widgets.row_list import RowList
from shopday.planning.open_shop import OpenShop
from shopday.planning.solving.plan_decoder import decode_plan
from shopday.planning.solving.plan_solver import repaired_plan
from shopday.scheduler import finished, verify_result
from shopday.text.times import date_text, moment_text, time_of

pytestmark = pytest.mark.slow

JOBS = {
    "tray": """
title = "River tray"
promise = 2026-03-20
[[parts]]
id = "board"
[[parts.steps]]
id = "dam"
name = "Dam the channel"
hands_on = "1h"
[[parts.steps]]
id = "pour"
name = "Pour the resin"
hands_on = "30m"
passes = 2
next_pass = { within = "30h", missed = { adds = "45m", why = "scuff-sand first" } }
waits = [{ name = "gels", takes = "20h" }]
[[parts.steps]]
id = "sand"
name = "Sand the board"
hands_on = "2h"
""",
    "chest": """
title = "Tool chest"
promise = 2026-03-13
[[parts]]
id = "case"
[[parts.steps]]
id = "cut"
name = "Cut the dovetails"
hands_on = "5h"
[[parts.steps]]
id = "glue"
name = "Glue up the case"
hands_on = "45m"
waits = [{ name = "in clamps", takes = "4h" }]
[[parts]]
id = "lid"
[[parts.steps]]
id = "hinges"
arrives = { what = "hinges", on = 2026-03-04, from = "the smith" }
[[parts.steps]]
id = "plane"
name = "Plane the lid"
hands_on = "1h"
after = []
[[steps]]
id = "hang"
name = "Hang the lid"
hands_on = "1h"
[[steps]]
id = "carry"
name = "Carry it over"
hands_on = "30m"
""",
    "stool": """
title = "Milking stool"
promise = 2026-03-27
[[steps]]
id = "turn"
name = "Turn the legs"
hands_on = "3h"
""",
}


class Fortnight:
    """The app under the maker's hands, and the commands beside it."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.now = folder, MONDAY
        self.open()

    def open(self) -> None:
        """A new app, as after it was quit."""
        self.shop = OpenShop(self.folder, self.now)
        self.app = app_on(self.shop, LocalPlanner(self.shop, effort=0))

    async def clock(self, pilot: Pilot[None], day: int, time: str) -> None:
        """Let it become that time of that day in March."""
        hour, minute = map(int, time.split(":"))
        self.now = self.now.replace(day=day, hour=hour, minute=minute)
        self.shop._now = self.shop.zone.of(self.now)
        self.app._tick()
        await pilot.pause()
        self.app.session.plan_updates.reordered_at = float("-inf")  # the maker looks before pressing a key
        assert self.app.session.state.plan is not None
        assert self.app.session.state.plan.now == self.now

    async def on(self, pilot: Pilot[None], name: str) -> None:
        """Today, with the cursor on the row of a step."""
        await press_each(pilot, "escape", "1", "home")
        rows = self.app.screen.query_one("#day", RowList)
        for _ in rows.rows:
            if rows.current is not None and name in rows.current.draw(70).plain:
                return
            await press_each(pilot, "down")
        raise AssertionError(f"no row says {name}: {rows.text}")

    async def log(self, pilot: Pilot[None], key: str, name: str, told: str, typed: str = "") -> None:
        """Press a key on a step, type a time if one is asked for, and read the news."""
        await self.on(pilot, name)
        await press_each(pilot, key)
        if typed:
            await press_each(pilot, *("space" if c == " " else c for c in typed), "enter")
        if isinstance(self.app.screen, ConfirmMoves):
            await press_each(pilot, "k")
        assert told in flat(news(self.app))
        await self.same_everywhere(pilot)

    async def again(self, pilot: Pilot[None], job: str, name: str) -> None:
        """One more pass of a step, pressed on its row of the job; what moves is read and kept."""
        await press_each(pilot, "2")
        jobs = self.app.screen.query_one("#jobs", RowList)
        jobs.highlighted = next(i for i, row in enumerate(jobs.rows) if row.subject == job)
        await press_each(pilot, "J")
        await until_screen(pilot, JobScreen)
        steps = self.app.screen.query_one("#steps", RowList)
        steps.highlighted = next(i for i, row in enumerate(steps.rows) if name in row.draw(76).plain)
        await press_each(pilot, "p")
        await until_screen(pilot, ConfirmMoves)
        told = flat(read(self.app, "#told"))
        await press_each(pilot, "k")
        delivery = dt.datetime.fromisoformat(
            next(j for j in self.ask("plan")["jobs"] if j["job"] == job)["delivery"]
        )
        assert f"to {date_text(delivery.date(), self.now.date())}" in told or "No delivery moves" in told
        await press_each(pilot, "escape")
        await self.same_everywhere(pilot)

    def ask(self, *argv: str) -> Any:
        """The answer of a command as JSON."""
        return json.loads(self.print(*argv, "--json"))

    def print(self, *argv: str) -> str:
        with redirect_stdout(StringIO()) as out:
            main(["--shop", str(self.folder), "--now", f"{self.now:%Y-%m-%dT%H:%M}", *argv])
        return out.getvalue()

    async def same_everywhere(self, pilot: Pilot[None]) -> None:
        """Today, Waiting on, Jobs, each job and Done against the commands."""
        self.judged()
        await press_each(pilot, "1")
        self.day_is_the_same()
        in_hand = re.search(r"Under way, (.*?) so far", read(self.app, "#now"))
        await press_each(pilot, "2")
        await self.jobs_are_the_same(pilot)
        await press_each(pilot, "7")
        self.hours_are_the_same()
        assert (
            in_hand is None or in_hand[1] == "0m" or f" {in_hand[1]} so far" in rows_text(self.app, "#done")
        )
        await press_each(pilot, "1")

    def judged(self) -> None:
        """The schedule behind the screen is the kept plan, and the verifier has nothing against it."""
        shop, kept = self.shop, self.shop.kept()
        assert kept is not None
        built, result = finished(repaired_plan(shop.folder, shop.state(), shop.minute(), kept))
        assert verify_result(built.problem, result) == []
        plan = self.app.session.state.plan
        assert plan is not None
        assert decode_plan(built, result).steps == plan.steps

    def day_is_the_same(self) -> None:
        today, day = self.ask("today"), flat(rows_text(self.app, "#day"))
        printed = flat(self.print("today"))
        for line in today["lines"]:
            at = time_of(dt.datetime.fromisoformat(line["at"]))
            if line["kind"] != "break":
                assert re.search(rf"(^| ){at} \S {re.escape(line['text'])}", day), (line, day)
            assert line["text"] in printed
        card = flat(read(self.app, "#now"))
        if today["take_up"] is not None:
            assert today["take_up"]["name"] in card
            end = dt.datetime.fromisoformat(today["take_up"]["end"])
            assert f"until {moment_text(end, self.now)}" in card
            assert f"until {moment_text(end, self.now)}" in printed
        waiting = flat(rows_text(self.app, "#waiting"))
        for item in self.ask("waiting")["waiting"]:
            assert ("start " if item["kind"] == "window" else item["what"]) in waiting
            if item["until"] and not item["overdue"]:
                over = dt.datetime.fromisoformat(item["until"])
                assert moment_text(over, self.now) in waiting, (item, waiting)

    async def jobs_are_the_same(self, pilot: Pilot[None]) -> None:
        rows, opened = self.app.screen.query_one("#jobs", RowList), False
        for job in self.ask("plan")["jobs"]:
            row = next(row for row in rows.rows if row.subject == job["job"])
            delivery = dt.datetime.fromisoformat(job["delivery"])
            if job["delivered"]:
                continue
            assert date_text(delivery.date(), self.now.date()) in row.draw(78).plain
            if not opened:
                opened = True
                rows.highlighted = rows.rows.index(row)
                await press_each(pilot, "J")
                await until_screen(pilot, JobScreen)
                head = flat(read(self.app, "#job-head"))
                assert f"{job['title']}: delivers {moment_text(delivery, self.now)}" in head
                assert ("LATE" in head) is (job["late_minutes"] > 0)
                await press_each(pilot, "escape")

    def hours_are_the_same(self) -> None:
        week = {f"{self.now - dt.timedelta(days=n):%Y-%m-%d}" for n in range(self.now.weekday() + 1)}
        days = self.ask("hours", "--by", "day")["rows"]
        worked = sum(row["actual_minutes"] for row in days if row["date"] in week)
        shown = [
            minutes(said)
            for said in re.findall(r"^\w+ \d+ \w+: (\S+(?: \d+m)?)", rows_text(self.app, "#done"), re.M)
        ]
        assert sum(shown) == worked, rows_text(self.app, "#done")


def flat(said: str) -> str:
    """Without the line breaks of a narrow list."""
    return " ".join(said.split())


def minutes(said: str) -> int:
    """ "1h 30m" in minutes."""
    return sum(int(count) * (60 if unit == "h" else 1) for count, unit in re.findall(r"(\d+)([hm])", said))


@pytest.fixture
def fortnight(tmp_path: Path) -> Fortnight:
    small_shop(tmp_path)
    with (tmp_path / "shop.toml").open("a", encoding="utf-8") as file:
        file.write('[[people]]\nid = "wren"\nname = "Wren"\n')
    for name, text in JOBS.items():
        (tmp_path / "jobs" / f"{name}.toml").write_text(text, "utf-8")
    return Fortnight(tmp_path)


async def test_a_fortnight_is_lived_through_keys_alone(fortnight: Fortnight) -> None:
    async with fortnight.app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        await fortnight.same_everywhere(pilot)
        await NewJob(pilot, fortnight.app).named("Wall shelf")
    fortnight.open()  # left with a half-filled form
    async with fortnight.app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause()
        for day in (monday, tuesday, wednesday, thursday, second_week):
            await day(fortnight, pilot)


async def monday(lived: Fortnight, pilot: Pilot[None]) -> None:
    """A quote is kept and accepted; work is logged as it happens and afterwards, and two steps at once."""
    app, form = lived.app, NewJob(pilot, lived.app)
    await press_each(pilot, "4")
    await until_screen(pilot, NewJobScreen)
    assert app.screen.query_one("#f-title", Input).value == "Wall shelf"
    await press_each(pilot, "escape")
    await form.add("Shelf")
    await form.type_in("#f-promise", "end of March")
    await until(pilot, lambda: "Tue 31 Mar, the day it is wanted" in flat(read(app, "#quote")))
    await press_each(pilot, "k")
    assert "Kept as a quote: Wall shelf" in news(app)
    await lived.same_everywhere(pilot)
    await press_each(pilot, "2", "end", "J")
    await until_screen(pilot, JobScreen)
    assert "· Plane, 3h" in rows_text(app, "#steps"), "a quote can be read before it is accepted"
    await press_each(pilot, "escape", "a")
    await until_screen(pilot, ConfirmMoves)
    told = read(app, "#told")
    await press_each(pilot, "k")
    shelf = next(job for job in lived.ask("plan")["jobs"] if job["title"] == "Wall shelf")
    assert (
        f"Wall shelf: delivers {date_text(dt.date.fromisoformat(shelf['delivery'][:10]), MONDAY.date())}"
        in told
    )
    await lived.same_everywhere(pilot)

    await lived.clock(pilot, 2, "9:10")
    await lived.log(pilot, "S", "Dam the channel", "Started: Dam the channel", "8:05")
    await lived.log(pilot, "f", "Dam the channel", "Finished: Dam the channel")
    await lived.log(pilot, "s", "Pour the resin", "Started: Pour the resin")
    await lived.clock(pilot, 2, "9:40")
    await lived.log(pilot, "f", "Pour the resin", "Finished: Pour the resin")
    await lived.log(pilot, "s", "Cut the dovetails", "Started: Cut the dovetails")
    await lived.clock(pilot, 2, "10:40")
    await lived.log(pilot, "s", "Turn the legs", "they share the minutes")
    await lived.clock(pilot, 2, "11:40")
    await lived.log(pilot, "space", "Turn the legs", "Put down: Turn the legs")
    await lived.clock(pilot, 2, "16:50")
    await lived.log(pilot, "F", "Cut the dovetails", "Finished: Cut the dovetails", "-20m")


async def tuesday(lived: Fortnight, pilot: Pilot[None]) -> None:
    """The hinges come two days later than said; a step is not needed after all; undo and redo."""
    await lived.clock(pilot, 3, "8:00")
    await lived.same_everywhere(pilot)
    await lived.log(pilot, "s", "Glue up the case", "Started: Glue up the case")
    await lived.clock(pilot, 3, "8:50")
    await lived.log(pilot, "f", "Glue up the case", "Finished: Glue up the case")
    await lived.log(pilot, "delete", "Plane the lid", "Not needed: Plane the lid")
    await press_each(pilot, "u")
    assert "Undone: Not needed" in news(lived.app) or "Undone: " in news(lived.app)
    await lived.same_everywhere(pilot)
    await press_each(pilot, "U")
    assert "Redone: " in news(lived.app)
    await lived.same_everywhere(pilot)


async def wednesday(lived: Fortnight, pilot: Pilot[None]) -> None:
    """The hinges are late; the second pour is begun after its window; then a note, and a job that is cancelled."""
    app = lived.app
    await lived.clock(pilot, 4, "15:00")
    await lived.same_everywhere(pilot)
    await press_each(pilot, "6")
    await until(pilot, lambda: "hinges" in rows_text(app, "#toget"))
    await press_each(pilot, "h")
    assert "Arrived: " in news(app)
    await lived.same_everywhere(pilot)
    await press_each(pilot, "u")  # it was not them after all
    await lived.same_everywhere(pilot)
    await lived.log(pilot, "o", "hinges", "here Fri 6 Mar: Hinges", "fri")
    await lived.log(pilot, "s", "Pour the resin (2 of 2)", "Started: Pour the resin (2 of 2)")
    await lived.clock(pilot, 4, "16:15")
    await lived.log(pilot, "f", "Pour the resin (2 of 2)", "Finished: Pour the resin (2 of 2)")
    pours = [step for step in lived.ask("plan")["steps"] if step["step"] == "pour"]
    assert [step["missed"] for step in pours] == [False, True]
    await lived.log(pilot, "N", "Pour the resin (2 of 2)", "Note on Pour the resin", "void left")
    await press_each(pilot, "2", "slash", *"stool", "enter", "M")
    await until_screen(pilot, QuestionDialog)
    await choose(pilot, "2")
    await until_screen(pilot, ConfirmMoves)
    await press_each(pilot, "k", "escape")
    assert "Cancelled" in rows_text(app, "#jobs")
    await lived.same_everywhere(pilot)


async def thursday(lived: Fortnight, pilot: Pilot[None]) -> None:
    """The maker is ill; the day after, the pour has sunk."""
    app = lived.app
    await lived.clock(pilot, 5, "7:30")
    await press_each(pilot, "5")
    await cursor_on(app, pilot, "Wren")
    await press_each(pilot, "y")
    await fill(pilot, why="ill")
    await until_screen(pilot, ConfirmMoves)
    await press_each(pilot, "k")
    await lived.same_everywhere(pilot)
    assert not [
        step for step in lived.ask("plan")["steps"] if step["people"] and step["start"][:10] == "2026-03-05"
    ]
    await lived.clock(pilot, 6, "8:00")
    await lived.same_everywhere(pilot)
    await lived.again(pilot, "tray", "Pour the resin (2 of 2)")
    await lived.log(pilot, "h", "hinges", "Arrived: ")
    await lived.log(pilot, "s", "Pour the resin (3 of 3)", "Started: Pour the resin (3 of 3)")
    await lived.clock(pilot, 6, "9:00")
    await lived.log(pilot, "f", "Pour the resin (3 of 3)", "Finished: Pour the resin (3 of 3)")


async def second_week(lived: Fortnight, pilot: Pilot[None]) -> None:
    """What stands first is begun and finished, day after day, until every job is delivered."""
    for day in (9, 10, 11, 12, 13):
        for time in ("8:00", "13:00"):
            await lived.clock(pilot, day, time)
            if first := lived.ask("today")["take_up"]:
                await lived.log(pilot, "s", first["name"], "Started: ")
                hours = dt.datetime.fromisoformat(lived.ask("today")["until"]) - lived.now
                await lived.clock(pilot, day, f"{(lived.now + hours).hour}:{(lived.now + hours).minute:02d}")
                await lived.log(pilot, "f", first["name"], "Finished: ")
    assert all(job["delivered"] for job in lived.ask("plan")["jobs"])
