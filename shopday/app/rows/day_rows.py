"""Rows of the day: what happens when, and what could be started instead."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app.rows.now_text import coming_work
from shopday.app.widgets.row_list import Row
from shopday.planning.questions.dashboard_types import DayLine
from shopday.planning.questions.obstacles import obstacles
from shopday.text import signs
from shopday.text.cells import fit, wrapped
from shopday.text.times import clock_cells, date_text, time_of

if TYPE_CHECKING:
    from shopday.planning.plan import Plan, PlannedStep
    from shopday.planning.questions.dashboard_types import Alternative, Dashboard

MARKS = {
    "work": (signs.WORK, "$primary"),
    "break": (signs.BREAK, "$muted"),
    "ready": (signs.WAIT, "$secondary"),
    "window": (signs.URGENT, "$urgent"),
    "arrives": (signs.ARRIVES, "$secondary"),
    "leaves": (signs.LEAVES, "$secondary"),
    "deliver": (signs.DELIVERY, "$success"),
}
STANDS = {
    "done": (signs.DONE, "$muted"),
    "not needed": (signs.DONE, "$muted"),
    "waiting": (signs.DONE, "$muted"),
    "under way": (signs.UNDER_WAY, "$accent"),
    "put down": (signs.PUT_DOWN, "$accent"),
}
"""How begun work is marked: sign and look by state."""


def time_cells() -> int:
    """Cells for the time of a line."""
    return clock_cells() + 1


def margin() -> int:
    """Cells before the text of a line."""
    return time_cells() + 2


MOST = 6
"""The most alternatives shown."""


def day_heading(key: str, text: str) -> Row:
    return Row(key, lambda width: Content.styled(wrapped(text, width), "bold $primary"), heading=True)


def job_title(plan: Plan, job: str) -> str:
    row = plan.job(job)
    return row.title if row and row.title else job


def step_key(step: PlannedStep) -> str:
    return f"{step.address}#{step.pass_no}"


def day_rows(seen: Dashboard, now: dt.datetime) -> list[Row]:
    """The day with a line at now between past and future, what could be started instead, and what to do before
    closing."""
    day, plan, lights_out = seen.day, seen.plan, seen.lights_out
    rows = [*_by_the_clock(seen, now)] or [_plain("free", "Nothing is planned for this day.")]
    if day.could_start:
        rows.append(day_heading("instead", day.instead(plan.now)))
        rows += [_alternative(other) for other in day.could_start[:MOST]]
        if (more := len(day.could_start) - MOST) > 0:
            rows.append(_plain("more", f"and {more} more; each job's steps are under 2 Jobs", margin()))
    if day.take_up is None:
        rows += _next_day(seen, now)
    if lights_out:
        rows.append(day_heading("lights", "Before the lights go out"))
        rows += [_plain(f"lights#{i}", f"! {text}", time_cells()) for i, text in enumerate(lights_out)]
    unplanned = obstacles(plan).lines("! cannot be planned: ")
    return rows + [_plain(f"unplaced#{i}", said) for i, said in enumerate(unplanned)]


def _next_day(seen: Dashboard, now: dt.datetime) -> Iterator[Row]:
    """The work of the next day, as some of it may have been done today and is still to be logged."""
    coming = [(step.next_work(now), step) for step in coming_work(seen.plan, now)]
    date = coming[0][0].date() if coming else now.date()
    if date > now.date():
        yield day_heading("next", f"Next, {date_text(date, now.date())}")
        lines = (DayLine(at, step.full, "work", step) for at, step in coming if at.date() == date)
        yield from (_line(line, seen, now, 0) for line in lines)


def _by_the_clock(seen: Dashboard, now: dt.datetime) -> Iterator[Row]:
    lines = list(enumerate(seen.day.lines))
    past = [(place, line) for place, line in lines if _is_past(line, now)]
    ahead = [(place, line) for place, line in lines if not _is_past(line, now)]
    yield from (_line(line, seen, now, place) for place, line in past)
    if lines:
        yield Row("now", partial(_now_line, now), heading=True)
    yield from (_line(line, seen, now, place) for place, line in ahead)


def _is_past(line: DayLine, now: dt.datetime) -> bool:
    """True if the line is past. Work in hand, and things still to arrive or leave, are not."""
    open_ = line.kind in ("arrives", "leaves") or (line.step is not None and line.step.in_hand)
    return not open_ and (line.until or line.at) <= now


def _now_line(now: dt.datetime, width: int) -> Content:
    return Content.styled(
        f"{fit(time_of(now), time_cells())}{'─' * max(0, width - time_cells() - 5)} now", "bold $accent"
    )


def _plain(key: str, text: str, indent: int = 0) -> Row:
    def draw(width: int) -> Content:
        return Content(" " * indent + wrapped(text, width - indent - 2, indent + 2))

    return Row(key, draw, heading=True)


def _line(line: DayLine, seen: Dashboard, now: dt.datetime, place: int) -> Row:
    step = line.step if line.kind == "work" else None
    mark, look = STANDS.get(step.stands if step else "", MARKS.get(line.kind, (signs.OTHER, "")))
    text = f"{line.text}, pinned" if step is not None and step.key in seen.pinned else line.text

    def draw(width: int) -> Content:
        past = _is_past(line, now) or look == "$muted"
        said = wrapped(text, width - margin(), margin())
        return Content.assemble(
            (fit(time_of(line.at), time_cells()), "bold"),
            (f"{mark} ", look),
            (said, "$muted" if past else ""),
        )

    key = f"{step_key(line.step)}#{line.kind}" if line.step else f"{line.kind}#{place}"
    return Row(key, draw, heading=line.step is None, subject=line.step)


def _alternative(other: Alternative) -> Row:
    step = other.step

    def draw(width: int) -> Content:
        return Content.assemble(
            (" " * time_cells() + f"{signs.WORK} ", "$primary"),
            wrapped(step.full, width - margin(), margin()),
            ("\n" + " " * margin() + wrapped(other.why_not_first, width - margin(), margin()), "$muted"),
        )

    return Row(f"{step_key(step)}#instead", draw, subject=step)
