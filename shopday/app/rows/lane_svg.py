"""The lanes as a picture to print."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

from shopday.export.svg_parts import LINE, WAIT, WORK, drawing, svg_bar, words
from shopday.text.times import month_text, time_of, weekday_text

if TYPE_CHECKING:
    from shopday.app.rows.day_axis import DayAxis
    from shopday.app.rows.lanes import Lane, LaneSpan

WIDTH, LABEL, HEAD, LANE = 1400, 220, 70, 34
LETTER_WIDTH = 6.2
"""The width of a letter on a bar, to which names are cut."""


def lanes_svg(title: str, lanes: list[Lane], axis: DayAxis, now: dt.datetime) -> str:
    """The whole picture: a title, the days, and a bar for each step."""
    height = HEAD + LANE * len(lanes) + 40
    at = _x(axis, now)
    foot = f"dark: hands on; light: waiting; ◇ promised. As planned at {time_of(now)}."
    return drawing(
        WIDTH,
        height,
        title,
        [
            *_days(axis, height - 40),
            *(piece for place, lane in enumerate(lanes) for piece in _lane(lane, HEAD + place * LANE, axis)),
            f'<path d="M{at:.1f} {HEAD - 8}V{height - 40}" stroke="black" stroke-dasharray="3 3"/>',
            words(10, height - 12, foot),
        ],
    )


def _x(axis: DayAxis, moment: dt.datetime) -> float:
    return LABEL + min(1.0, max(0.0, axis.place(moment) / axis.width)) * (WIDTH - LABEL - 10)


def _days(axis: DayAxis, bottom: int) -> Iterator[str]:
    day = (WIDTH - LABEL - 10) / axis.count
    for place, date in enumerate(axis.dates):
        x = LABEL + place * day
        if date in axis.closed:
            yield f'<rect x="{x:.1f}" y="{HEAD - 8}" width="{day:.1f}" height="{bottom - HEAD + 8}" fill="#e4e4e4"/>'
        yield f'<path d="M{x:.1f} {HEAD - 8}V{bottom}" stroke="{LINE}"/>'
        yield words(x + 2, HEAD - 26, weekday_text(date)[: 3 if day > 24 else 1])
        month = f" {month_text(date)}" if day > 45 and (place == 0 or date.day == 1) else ""
        yield words(x + 2, HEAD - 12, f"{date.day}{month}")


def _lane(lane: Lane, y: int, axis: DayAxis) -> Iterator[str]:
    yield words(10, y + 20, lane.label[:32], 'font-weight="bold"')
    for found in lane.steps:
        for span, wait in found.light:
            yield from _bar(span, y + 10, 14, axis, WAIT, wait)
    for found in lane.steps:
        for span in found.solid:
            yield from _bar(span, y + 4, 26, axis, WORK, found.step.label, named=True)
    if lane.row is not None and lane.row.promise is not None and axis.first <= lane.row.promise <= axis.last:
        at = _x(axis, dt.datetime.combine(lane.row.promise, dt.time(23)))
        yield words(at - 5, y + 21, "◇", 'fill="#a3261d" font-size="15"')


def _bar(
    span: LaneSpan, y: int, high: int, axis: DayAxis, colour: str, said: str, named: bool = False
) -> Iterator[str]:
    """named: what it is stands on it, as far as it fits."""
    if span[1].date() < axis.first or span[0].date() > axis.last:
        return
    left, right = _x(axis, span[0]), _x(axis, span[1])
    yield svg_bar(left, right, y, high, colour, said)
    if named and (letters := int((right - left - 6) / LETTER_WIDTH)) >= 4:
        name = said if len(said) <= letters else f"{said[: letters - 1]}…"
        yield words(left + 3, y + 17, name, 'fill="white" font-size="11"')
