"""Draws a lane over days: solid for work, light for waits, with names where there is room."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import groupby
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content

from shopday.app.rows.lanes import Lane, LaneStep
from shopday.text.cells import cut

if TYPE_CHECKING:
    from shopday.app.rows.day_axis import DayAxis
    from shopday.planning.questions.loads import Load

SOLID, LEFT, RIGHT, LIGHT, CHOSEN, CHOSEN_LIGHT, CLOSED, NOW = "█", "▌", "▐", "░", "▓", "▒", "·", "│"
HEIGHTS = "▁▂▃▄▅▆▇█"
WORK_LOOK, WAIT_LOOK, CHOSEN_LOOK, QUIET = "$primary", "$secondary", "bold $foreground", "$muted"
LEAST_NAME = 5
"""Cells below which a name is not drawn."""

Half = tuple[bool, LaneStep] | None
"""Half a cell: whether it is solid, and of which step. None: empty."""


@dataclass
class Drawing:
    """One line of cells: a sign and a look for each."""

    axis: DayAxis
    signs: list[str] = field(default_factory=list)
    looks: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        for date in self.axis.dates:
            closed = date in self.axis.closed
            blank = [" "] * self.axis.cells
            if closed:
                blank[(self.axis.cells - 1) // 2] = CLOSED
            self.signs += blank
            self.looks += [QUIET if closed else ""] * self.axis.cells

    def put(self, cell: int, sign: str, look: str) -> None:
        """Set a cell; cells outside the line are ignored."""
        if 0 <= cell < len(self.signs):
            self.signs[cell], self.looks[cell] = sign, look

    def mark_now(self, now: dt.datetime) -> None:
        """Draw a thin line at now, if the cell is empty."""
        cell = min(int(self.axis.place(now)), self.axis.end_of(now.date()))
        if 0 <= cell < len(self.signs) and self.signs[cell] in (" ", CLOSED):
            self.put(cell, NOW, "$accent")

    def content(self) -> Content:
        """The line, with closed days shaded."""
        return Content.assemble(*self._runs())

    def _runs(self) -> Iterator[tuple[str, str]]:
        shades = [date in self.axis.closed for date in self.axis.dates for _ in range(self.axis.cells)]
        cells = zip(self.signs, self.looks, shades, strict=True)
        for (look, closed), run in groupby(cells, key=lambda cell: (cell[1], cell[2])):
            yield "".join(sign for sign, *_ in run), f"{look} on $surface".strip() if closed else look


def draw_lane(lane: Lane, axis: DayAxis, now: dt.datetime, chosen: LaneStep | None) -> Drawing:
    """Draw light spans first, solid ones over them, and the chosen step over both."""
    drawing = Drawing(axis)
    halves: list[Half] = [None] * (2 * axis.width)
    seen = [step for step in lane.steps if step.end.date() >= axis.first and step.start.date() <= axis.last]
    for solid in (False, True):
        for found in sorted(seen, key=lambda step: step is chosen):
            for span in found.solid if solid else (span for span, _ in found.light):
                _paint(halves, axis, span, (solid, found))
    for cell in range(axis.width):
        _cell(drawing, cell, halves[2 * cell : 2 * cell + 2], chosen)
    _names(drawing, halves, chosen)
    _parted(drawing, halves)
    drawing.mark_now(now)
    return drawing


def _paint(halves: list[Half], axis: DayAxis, span: tuple[dt.datetime, dt.datetime], what: Half) -> None:
    """Fill the half cells that a span touches, at least one. A span within a night is drawn at the evening before."""
    low = math.floor(2 * axis.place(span[0]) + 1e-6)
    high = math.ceil(2 * axis.place(span[1]) - 1e-6)
    if high <= low and low % (2 * axis.cells) == 0 and span[0].hour * 60 + span[0].minute >= axis.closes:
        low -= 1
    for place in range(max(0, low), min(len(halves), max(high, low + 1))):
        halves[place] = what


def _cell(drawing: Drawing, cell: int, pair: list[Half], chosen: LaneStep | None) -> None:
    found = [half for half in pair if half is not None]
    solid = [half is not None and half[0] for half in pair]
    if not found:
        return
    here = any(half[1] is chosen for half in found)
    if not any(solid):
        drawing.put(cell, CHOSEN_LIGHT if here else LIGHT, CHOSEN_LOOK if here else WAIT_LOOK)
    elif here or all(solid):
        drawing.put(cell, CHOSEN if here else SOLID, CHOSEN_LOOK if here else WORK_LOOK)
    else:
        drawing.put(cell, LEFT if solid[0] else RIGHT, CHOSEN_LOOK if here else WORK_LOOK)


def _parted(drawing: Drawing, halves: list[Half]) -> None:
    """Draw a gap between two steps worked on one after the other."""
    for cell in range(1, len(halves) // 2):
        before, first, second = halves[2 * cell - 1 : 2 * cell + 2]
        if first == second and first and before and first[0] and before[0] and first[1] is not before[1]:
            drawing.put(cell, RIGHT, drawing.looks[cell].removeprefix("reverse "))


def _names(drawing: Drawing, halves: list[Half], chosen: LaneStep | None) -> None:
    """Draw the name of each step into its whole cells."""
    whole = [
        first if first == second else None for first, second in zip(halves[::2], halves[1::2], strict=True)
    ]
    cell = 0
    for half, run in groupby(whole, key=lambda half: half and (half[0], id(half[1]))):
        cells = list(run)
        if half and (first := cells[0]) is not None:
            solid, found = first
            name = found.step.label if solid else next((name for _, name in found.light), "")
            _name(drawing, cell, len(cells), name, solid, found is chosen)
        cell += len(cells)


def _name(drawing: Drawing, cell: int, room: int, name: str, solid: bool, chosen: bool) -> None:
    """Draw a name: on a bar as much as fits, for a wait all or nothing."""
    if room - 1 < LEAST_NAME or (not solid and cell_len(name) + 3 > room):
        return
    look = (CHOSEN_LOOK if chosen else WORK_LOOK) if solid else CHOSEN_LOOK if chosen else WAIT_LOOK
    said = f" {cut(name, room - 2)} " if solid else f" {name} "
    if cell_len(said) != len(
        said
    ):  # a wide character takes two cells, and would not fit a list of single ones
        return
    for place, sign in enumerate(said, cell if solid else cell + 1):
        drawing.put(place, sign, f"reverse {look}" if solid else look)


def draw_load(load: Load, axis: DayAxis, now: dt.datetime) -> Drawing:
    """How full each day is: as a height, and as a percentage if days are wide enough."""
    drawing = Drawing(axis)
    for place, date in enumerate(axis.dates):
        share = load.share(date)
        if not share:
            continue
        look = "bold $warning" if share > 0.95 else QUIET
        said = f"{HEIGHTS[min(7, int(share * 8))]}{round(share * 100) if axis.cells >= 5 else ''}"
        for at, sign in enumerate(said[: axis.cells], place * axis.cells):
            drawing.put(at, sign, look)
    drawing.mark_now(now)
    return drawing
