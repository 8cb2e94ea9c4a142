"""The text above and below the lanes: what is shown, and the chosen step."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app.rows.day_rows import job_title
from shopday.app.rows.delivery_strip import STRIP_LEGEND
from shopday.app.rows.lane_drawing import LIGHT, NOW, SOLID
from shopday.text.cells import cut
from shopday.text.durations import work_text
from shopday.text.safe import clean
from shopday.text.times import date_text, moment_text, time_of

if TYPE_CHECKING:
    from shopday.planning.plan import Plan, PlannedStep

TITLES = {"job": "By job", "station": "By station", "person": "By person", "week": "Load by week"}
LOAD_SIGN = "▃"


def legend(by: str, width: int) -> Content:
    """The signs with their meanings, each in the look that it has on the lanes or on the bars of the weeks, in lines
    of this many cells."""
    lines: list[list[Content]] = [[]]
    for sign, says, look in _signs(by):
        piece = Content.assemble((sign, look), f" {says}")
        if lines[-1] and sum(each.cell_length + 2 for each in lines[-1]) + piece.cell_length > width:
            lines.append([])
        lines[-1].append(piece)
    return Content("\n").join(Content("  ").join(line) for line in lines)


def _signs(by: str) -> list[tuple[str, str, str]]:
    """Each sign with its meaning and its look."""
    if by == "week":
        return [("━", "planned work", "$primary"), ("━", "a full week", "bold $warning"), ("┄", "free", "")]
    light = "waiting" if by == "job" else "tied up meanwhile"
    signs = [(SOLID, "hands on", "$primary"), (LIGHT, light, "$secondary"), (NOW, "now", "$accent")]
    if by == "job":
        looks = ("$success", "$success", "$success", "bold $accent")
        signs += [(sign, says, look) for (sign, says), look in zip(STRIP_LEGEND, looks, strict=True)]
    else:
        signs.append((LOAD_SIGN, "how full the day is, in %", "$muted"))
    return signs


def period(start: dt.date, end: dt.date, today: dt.date) -> str:
    """The first and the last day: "2 – 25 Dec"."""
    first, last = (date_text(date, today).partition(" ")[2] for date in (start, end))
    return f"{start.day if start.replace(day=1) == end.replace(day=1) else first} – {last}"


def step_lines(
    step: PlannedStep, plan: Plan, names: Mapping[str, str], now: dt.datetime, width: int, whole: bool
) -> Content:
    """The chosen step: what, when and by whom, what it waited for, what waits after it; in four lines, or `whole`."""
    head = Content.assemble((clean(step.label), "bold $accent"), f", {clean(job_title(plan, step.job))}")
    who = [names.get(id, id) for id in (*step.people, *step.stations, *step.gear)]
    work = f"{work_text(step.work)} of work" if step.work else ""
    when = f"{step.stands}, {_from_to(step.start, step.end, now)}"
    lines = [", ".join(filter(None, (when, work, *who))), _after(step, plan, now), _then(step, now)]
    if whole:
        return Content("\n").join([head, *(Content(clean(line)) for line in lines if line)])
    shown = [head.truncate(width, ellipsis=True), *(Content(cut(line, width)) for line in lines if line)]
    return Content("\n").join(shown)


def _from_to(start: dt.datetime, end: dt.datetime, now: dt.datetime) -> str:
    until = time_of(end) if start.date() == end.date() else moment_text(end, now)
    return f"{moment_text(start, now)} to {until}"


def _after(step: PlannedStep, plan: Plan, now: dt.datetime) -> str:
    """The last thing that the step waits for."""
    last = max(step.awaits, key=lambda awaited: awaited.over, default=None)
    before = plan.step(*last.key) if last is not None else None
    if last is None or before is None:
        return f"start by {moment_text(step.window_ends, now)}" if step.window_ends else ""
    window = f"; start by {moment_text(step.window_ends, now)}" if step.window_ends else ""
    return f"after {before.label}, over {moment_text(last.over, now)}{window}"


def _then(step: PlannedStep, now: dt.datetime) -> str:
    waits = [f"{wait.name} until {moment_text(wait.end, now)}" for wait in step.waits]
    return f"then {', '.join(waits)}" if waits else ""
