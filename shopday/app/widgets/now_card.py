"""The big answer on top: what to take up now and until when, or how long the step under way has run."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from textual.content import Content
from textual.widgets import Static

from shopday.app.actions.window_alarm import closing_soon, countdown_line
from shopday.app.rows.day_rows import job_title
from shopday.planning.encoding.progress import progress
from shopday.text.cells import bar
from shopday.text.durations import work_text
from shopday.text.safe import clean
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.planning.plan import Plan, PlannedStep
    from shopday.planning.questions.dashboard_types import Dashboard


WORKING_OUT = Content.assemble(("Working out the day", "bold"), "\nOne moment.")


class NowCard(Static):
    def __init__(self) -> None:
        super().__init__(WORKING_OUT, id="now", markup=False)
        self._told = WORKING_OUT

    def show(self, seen: Dashboard | None, now: dt.datetime) -> None:
        lines = [_told(seen, now) if seen else WORKING_OUT]
        lines += [countdown_line(wait, now) for wait in closing_soon(seen.waits if seen else (), now)]
        told = Content("\n").join(lines)
        if not told.is_same(self._told):
            self._told = told
            self.update(told)


def under_way(plan: Plan) -> list[PlannedStep]:
    return [step for step in plan.steps if step.in_hand and step.kind == "work"]


def _told(seen: Dashboard, now: dt.datetime) -> Content:
    plan, day = seen.plan, seen.day
    going = under_way(plan)
    if going:
        return Content("\n").join(_running(step, plan, now) for step in going[:2])
    if day.take_up is None:
        return _nothing(plan, now)
    return _take_up(day.take_up, seen, now)


def _named(step: PlannedStep, plan: Plan) -> Content:
    return Content.assemble((clean(step.label), "bold $accent"), f"  {clean(job_title(plan, step.job))}")


def _take_up(step: PlannedStep, seen: Dashboard, now: dt.datetime) -> Content:
    until = seen.day.until or step.end
    begins = step.next_work(now)
    head = f"Next, at {moment_text(begins, now)}" if begins > now else "Take up now"
    return Content.assemble(
        (head, "bold"),
        f", until {moment_text(until, now)}{', pinned' if step.key in seen.pinned else ''}",
        "\n",
        _named(step, seen.plan),
        "\n",
        (_needs(step, now), "dim"),
        *((f"\n! {clean(line)}", "$warning") for line in seen.day.concerns),
    )


def _needs(step: PlannedStep, now: dt.datetime) -> str:
    """What is still to be worked on it, and on what."""
    left = progress(step, now).left or step.work
    gear = [f"{count} {name.replace('-', ' ')}" for name, count in step.gear.items()]
    return clean(
        ", ".join([f"{work_text(left)} of work", *(s.replace("-", " ") for s in step.stations), *gear])
    )


def _running(step: PlannedStep, plan: Plan, now: dt.datetime) -> Content:
    stands = progress(step, now)
    return Content.assemble(
        ("Under way", "bold"),
        f", {work_text(stands.worked)} so far, until {moment_text(step.end, now)}\n",
        _named(step, plan),
        "\n",
        (bar(stands.share, 24), "$primary"),
        (f"  {stands.rest}", "bold $warning" if stands.over else "dim"),
    )


def _nothing(plan: Plan, now: dt.datetime) -> Content:
    coming = [
        step for step in plan.steps if step.kind == "work" and step.start >= now and step.state == "planned"
    ]
    if not coming:
        return Content.assemble(
            ("Nothing to take up", "bold"), "\nNo work is planned. Press 4 to plan a new job."
        )
    step = min(coming, key=lambda s: s.start)
    return Content.assemble(
        ("Nothing to take up now", "bold"), f"\nNext, {moment_text(step.start, now)}:\n", _named(step, plan)
    )
