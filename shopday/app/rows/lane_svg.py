"""The lanes as a picture to print: SVG, black on white, with no font of its own."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from html import escape
from typing import TYPE_CHECKING

from shopday.text.safe import clean
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
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" font-family="sans-serif" font-size="12">',
        f'<rect width="{WIDTH}" height="{height}" fill="white"/>',
        _text(10, 22, title, 'font-size="17" font-weight="bold"'),
        *_days(axis, height - 40),
    ]
    for place, lane in enumerate(lanes):
        lines += _lane(lane, HEAD + place * LANE, axis)
    at = _x(axis, now)
    lines.append(f'<path d="M{at:.1f} {HEAD - 8}V{height - 40}" stroke="black" stroke-dasharray="3 3"/>')
    lines.append(
        _text(
            10, height - 12, f"dark: hands on; light: waiting; ◇ promised. As planned at {time_of(now)}.", ""
        )
    )
    return "\n".join([*lines, "</svg>\n"])


def _x(axis: DayAxis, moment: dt.datetime) -> float:
    return LABEL + min(1.0, max(0.0, axis.place(moment) / axis.width)) * (WIDTH - LABEL - 10)


def _text(x: float, y: float, said: str, look: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" {look}>{escape(clean(said))}</text>'


def _days(axis: DayAxis, bottom: int) -> Iterator[str]:
    day = (WIDTH - LABEL - 10) / axis.count
    for place, date in enumerate(axis.dates):
        x = LABEL + place * day
        if date in axis.closed:
            yield f'<rect x="{x:.1f}" y="{HEAD - 8}" width="{day:.1f}" height="{bottom - HEAD + 8}" fill="#e4e4e4"/>'
        yield f'<path d="M{x:.1f} {HEAD - 8}V{bottom}" stroke="#cccccc"/>'
        yield _text(x + 2, HEAD - 26, weekday_text(date)[: 3 if day > 24 else 1], "")
        month = f" {month_text(date)}" if day > 45 and (place == 0 or date.day == 1) else ""
        yield _text(x + 2, HEAD - 12, f"{date.day}{month}", "")


def _lane(lane: Lane, y: int, axis: DayAxis) -> Iterator[str]:
    yield _text(10, y + 20, lane.label[:32], 'font-weight="bold"')
    for found in lane.steps:
        for span, _ in found.light:
            yield from _bar(span, y + 10, 14, axis, "#c9d3d8", "")
    for found in lane.steps:
        for span in found.solid:
            yield from _bar(span, y + 4, 26, axis, "#5b3b1c", found.step.label)
    if lane.row is not None and lane.row.promise is not None and axis.first <= lane.row.promise <= axis.last:
        at = _x(axis, dt.datetime.combine(lane.row.promise, dt.time(23)))
        yield _text(at - 5, y + 21, "◇", 'fill="#a3261d" font-size="15"')


def _bar(span: LaneSpan, y: int, height: int, axis: DayAxis, fill: str, name: str) -> Iterator[str]:
    low, high = _x(axis, span[0]), _x(axis, span[1])
    if span[1].date() < axis.first or span[0].date() > axis.last:
        return
    width = max(2.0, high - low)
    yield f'<rect x="{low:.1f}" y="{y}" width="{width:.1f}" height="{height}" rx="2" fill="{fill}"/>'
    if name and (letters := int((width - 6) / LETTER_WIDTH)) >= 4:
        yield _text(
            low + 3,
            y + 17,
            name if len(name) <= letters else f"{name[: letters - 1]}…",
            'fill="white" font-size="11"',
        )
