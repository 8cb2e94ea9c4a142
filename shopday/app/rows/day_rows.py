"""Rows of the day: what happens when, and what could be started instead."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content

from shopday.app.widgets.row_list import Row
from shopday.text.cells import cut, fit
from shopday.text.safe import clean
from shopday.text.times import clock_cells, time_of

if TYPE_CHECKING:
    from shopday.planning.plan import Plan, PlannedStep
    from shopday.planning.questions.dashboard_types import Alternative, Dashboard, DayLine

MARKS = {
    "work": ("▪", "$primary"),
    "break": ("–", "dim"),
    "ready": ("○", "$secondary"),
    "window": ("!", "bold $error"),
    "arrives": ("↓", "$secondary"),
    "leaves": ("↑", "$secondary"),
    "deliver": ("◆", "$success"),
}
"""A sign before each line, one cell wide; the words beside it say the same."""


MOST = 6
"""Alternatives shown; more would bury the day."""


def day_heading(key: str, text: str) -> Row:
    return Row(key, lambda width: Content.styled(fit(text, width), "bold $primary"), heading=True)


def job_title(plan: Plan, job: str) -> str:
    row = plan.job(job)
    return row.title if row and row.title else job


def step_key(step: PlannedStep) -> str:
    return f"{step.address}#{step.pass_no}"


def day_rows(seen: Dashboard, now: dt.datetime) -> list[Row]:
    day, plan, lights_out = seen.day, seen.plan, seen.lights_out
    rows = [_line(line, seen, now, place) for place, line in enumerate(day.lines)]
    if not rows:
        rows = [_plain("free", "Nothing is planned for this day.")]
    if day.could_start:
        rows.append(day_heading("instead", "Could be started now instead"))
        rows += [_alternative(other, plan) for other in day.could_start[:MOST]]
        if (more := len(day.could_start) - MOST) > 0:
            rows.append(_plain("more", f"      and {more} more; each job's steps are under 2 Jobs"))
    if lights_out:
        rows.append(day_heading("lights", "Before the lights go out"))
        rows += [_plain(f"lights#{i}", f"      ! {text}") for i, text in enumerate(lights_out)]
    rows += [
        _plain(f"unplaced#{i}", f"! cannot be planned: {u.address}: {u.why}")
        for i, u in enumerate(plan.unplaced)
    ]
    return rows


def _plain(key: str, text: str) -> Row:
    return Row(key, lambda width: Content(clean(text)), heading=True)


def _line(line: DayLine, seen: Dashboard, now: dt.datetime, place: int) -> Row:
    over = line.kind == "work" and line.step is not None and line.step.state in ("done", "waiting")
    mark, look = ("x", "dim") if over else MARKS.get(line.kind, ("·", ""))
    title = job_title(seen.plan, line.step.job) if line.step else ""
    pinned = line.kind == "work" and line.step is not None and line.step.key in seen.pinned
    text = f"{line.text}, pinned" if pinned else line.text

    def draw(width: int) -> Content:
        past = "dim" if over or (line.at < now and line.kind != "work") else ""
        said = cut(text, width - 8)
        return Content.assemble(
            (fit(time_of(line.at), clock_cells() + 1), "bold"),
            (f"{mark} ", look),
            (said, past or ("dim" if line.kind == "break" else "")),
            (_other_question(title, said, width - 8), "dim"),
        )

    key = f"{step_key(line.step)}#{line.kind}" if line.step else f"{line.kind}#{place}"
    return Row(key, draw, heading=line.step is None, subject=line.step)


def _other_question(title: str, said: str, width: int) -> str:
    """The job's title after the text, as far as it fits."""
    left = width - cell_len(said) - 2
    return f"  {cut(title, left)}" if title and left >= 8 and title not in said else ""


def _alternative(other: Alternative, plan: Plan) -> Row:
    step = other.step

    def draw(width: int) -> Content:
        named = f"{step.label}, {job_title(plan, step.job)}"
        return Content.assemble(
            ("      · ", "$primary"),
            cut(named, width - 8),
            (f"\n        {cut(f'not first: {other.why_not_first}', width - 8)}", "dim"),
        )

    return Row(f"{step_key(step)}#instead", draw, subject=step)
