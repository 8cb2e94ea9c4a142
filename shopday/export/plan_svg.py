"""The plan as a picture (SVG): a lane for each job, work dark, waits light, promise and delivery marked."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from shopday.export.svg_parts import LINE, WAIT, WORK, drawing, svg_bar, words
from shopday.planning.plan import JobRow, Moment, Plan, State
from shopday.shop.folder import ShopFolder
from shopday.text.times import date_text

DAY, LANE, LABEL, HEAD, FOOT = 26, 30, 190, 60, 34
"""Sizes in the picture's units: width of a day, height of a lane, width of the names, heights of head and foot."""
LONGEST = 90
"""The most days that are drawn."""


def plan_svg(folder: ShopFolder, plan: Plan) -> str:
    first = plan.now.date()
    deliveries = (row.delivery.date() for row in plan.jobs if row.delivery is not None)
    last = max([first, *deliveries, *(row.promise for row in plan.jobs if row.promise is not None)])
    days = min(LONGEST, (last - first).days + 2)
    wide, high = max(LABEL + days * DAY + 10, 480), HEAD + len(plan.jobs) * LANE + FOOT
    title = f"{folder.shop.name}, {date_text(first, first)}"
    lanes = (piece for n, row in enumerate(plan.jobs) for piece in _lane(plan, row, HEAD + n * LANE, days))
    return drawing(wide, high, title, [*_calendar(first, days, high - FOOT), *lanes, *_legend(high - FOOT)])


def _calendar(first: dt.date, days: int, high: int) -> Iterator[str]:
    for ahead in range(days):
        date, x = first + dt.timedelta(days=ahead), LABEL + ahead * DAY
        yield f'<line x1="{x}" y1="{HEAD - 16}" x2="{x}" y2="{high}" stroke="{LINE}" stroke-width=".5"/>'
        yield words(x + 3, HEAD - 6, str(date.day), 'font-size="10"')
        if date.weekday() == 0 or (ahead == 0 and date.weekday() < 5):  # room until Monday's
            yield words(x + 3, HEAD - 20, date_text(date, first), 'font-size="10"')


def _lane(plan: Plan, row: JobRow, top: int, days: int) -> Iterator[str]:
    name = row.title or row.job
    yield words(8, top + 18, name if len(name) < 28 else f"{name[:26]}…")
    for step in (step for step in plan.steps if step.job == row.job and step.state is not State.DONE):
        for wait in step.waits:
            if not wait.informs:
                yield from _bar(plan, wait.start, wait.end, top, days, WAIT, f"{step.label}: {wait.name}")
        for start, end in step.stretches:
            yield from _bar(plan, start, end, top, days, WORK, step.label)
    if row.promise is not None and 0 <= (row.promise - plan.now.date()).days < days:
        yield _promised(LABEL + ((row.promise - plan.now.date()).days + 1) * DAY, top)
    if row.delivery is not None and (x := _x(plan, row.delivery)) <= LABEL + days * DAY:
        yield _delivered(x, top)


def _promised(x: float, top: float) -> str:
    return f'<path d="M{x:.1f} {top + 4}l5 9l-5 9l-5-9z" fill="none" stroke="#000"><title>promised</title></path>'


def _delivered(x: float, top: float) -> str:
    return f'<path d="M{x:.1f} {top + 4}l9 9l-9 9z" fill="#000"><title>delivered</title></path>'


def _legend(top: int) -> Iterator[str]:
    """What the marks mean."""
    yield from (svg_bar(8, 22, top + 6, 14, WORK, "work"), words(28, top + 18, "work"))
    yield from (svg_bar(78, 92, top + 6, 14, WAIT, "waiting"), words(98, top + 18, "waiting"))
    yield from (_delivered(166, top), words(182, top + 18, "delivery"))
    yield from (_promised(254, top), words(268, top + 18, "end of the promised day"))


def _bar(
    plan: Plan, start: Moment, end: Moment, top: int, days: int, colour: str, said: str
) -> Iterator[str]:
    """The part of a bar that lies in the picture."""
    left, right = max(LABEL, _x(plan, start)), min(LABEL + days * DAY, _x(plan, end))
    if left < right:
        yield svg_bar(left, right, top + 6, 14, colour, said)


def _x(plan: Plan, moment: Moment) -> float:
    """The x of a moment, by local time, so that all days are equally wide."""
    ahead = (moment.date() - plan.now.date()).days
    return LABEL + (ahead + (moment.hour * 60 + moment.minute) / 1440) * DAY
