"""Rows of Done: the week as bars, and each day's work beside its estimate."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping

from rich.cells import cell_len
from textual.content import Content

from shopday.app.rows.day_rows import STANDS, day_heading, step_key
from shopday.app.widgets.row_list import Row
from shopday.planning.questions.worked_days import WorkedDay, WorkedStep, worked_text
from shopday.text import signs
from shopday.text.cells import bar, fit, wrapped
from shopday.text.durations import length_text, work_text
from shopday.text.times import date_text

FROM_TO, MARGIN, BAR = 12, 14, 20
"""Widths in cells: the times of a row, the margin before its text, and a bar."""
HOURS = 22
"""The width in cells of the hours of a day."""
LEAST_BAR = 6
"""Cells of a bar that has words beside it; if it had fewer, they go below it."""


def week_bars(
    monday: dt.date,
    days: Mapping[dt.date, WorkedDay],
    open_minutes: Mapping[dt.date, int],
    today: dt.date,
    cells: int,
) -> Content:
    """The hours of the week, and for each day a bar: minutes worked of minutes open. Days with neither are left out."""
    told = [_head(monday, days, today)]
    longest = max([1, *open_minutes.values(), *(day.minutes for day in days.values())])
    dates = {date: date_text(date, today) for date in (monday + dt.timedelta(days=n) for n in range(7))}
    label = max(map(len, dates.values())) + 1
    length = max(4, min(60, cells - label - HOURS))
    for date, named in dates.items():
        worked, whole = days[date].minutes if date in days else 0, open_minutes.get(date, 0)
        if worked or whole:
            said = [length_text(worked)] if worked or date <= today else []
            said += [f"{length_text(whole)} open"] if whole else []
            told.append(
                Content.assemble(
                    (fit(named, label), "bold" if date == today else ""),
                    (fit(_of_two(worked, whole, longest, length), length), "$primary"),
                    f" {' of '.join(said)}",
                )
            )
    return Content("\n").join(told)


def _head(monday: dt.date, days: Mapping[dt.date, WorkedDay], today: dt.date) -> Content:
    """The hours of the week, and how the work finished in it compares with its estimate."""
    ended = [
        worked for day in days.values() for worked in day.steps if worked.step.state in ("waiting", "done")
    ]
    finished = {worked.step.key: worked for worked in ended if not worked.step.unclocked}
    took, foreseen = sum(w.total for w in finished.values()), sum(w.step.work for w in finished.values())
    beside = f"; what was finished took {100 * took / foreseen:.0f} % of its estimate" if foreseen else ""
    worked = work_text(sum(day.minutes for day in days.values()))
    return Content.assemble(
        (f"Week of {date_text(monday, today)}", "bold $primary"), f": {worked} worked{beside}"
    )


def _of_two(worked: int, whole: int, longest: int, cells: int) -> str:
    """The minutes worked as a solid line, the rest of the whole as a dotted one."""
    most = max(worked, whole)
    return bar(worked / most if most else 0, max(1, round(cells * most / longest)))


def done_rows(days: Iterable[WorkedDay], today: dt.date) -> list[Row]:
    rows = [row for day in days for row in _day(day, today)]
    return rows or [
        Row("none", lambda width: Content(fit("Nothing was logged in this week.", width)), heading=True)
    ]


def _day(day: WorkedDay, today: dt.date) -> Iterator[Row]:
    yield day_heading(f"day#{day.date}", f"{date_text(day.date, today)}: {worked_text(day)}")
    for worked in sorted(day.steps, key=lambda w: w.start.timestamp()):
        yield _row(worked, day.date)


def _row(worked: WorkedStep, date: dt.date) -> Row:
    step = worked.step
    mark, look = STANDS.get(step.stands, (signs.DONE, "$muted"))

    def draw(width: int) -> Content:
        room, said = width - MARGIN, _beside_estimate(worked)
        beside = room - 1 - cell_len(said)
        length = min(BAR, beside if beside >= LEAST_BAR else room)
        drawn = _of_two(worked.total, step.work, max(worked.total, step.work, 1), length)
        lead = "\n" + " " * MARGIN
        return Content.assemble(
            fit(worked.clock, FROM_TO),
            (f"{mark} ", look),
            wrapped(step.full, room, MARGIN),
            lead,
            (drawn, "$warning" if worked.total > step.work else "$primary"),
            f" {said}" if beside >= LEAST_BAR else lead + wrapped(said, room, MARGIN),
        )

    return Row(f"{step_key(step)}#{date}", draw, subject=step)


def _beside_estimate(worked: WorkedStep) -> str:
    """ "3h 20m, 20m over the estimate"."""
    total, estimate = worked.total, worked.step.work
    if worked.step.unclocked:
        return f"its start was not logged, estimated {work_text(estimate)}"
    today = f"{work_text(worked.minutes)} this day, in all " if worked.minutes != total else ""
    if not estimate or worked.step.state == "under way":
        return f"{today}{work_text(total)} so far, estimated {work_text(estimate)}"
    if total == estimate:
        return f"{today}{work_text(total)}, as estimated"
    way = "over" if total > estimate else "under"
    return f"{today}{work_text(total)}, {work_text(abs(total - estimate))} {way} the estimate"
