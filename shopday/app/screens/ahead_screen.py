"""Ahead: what the next weeks look like, in lanes by job, by station or by person."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList, Static

from shopday.app.rows.day_rows import job_title
from shopday.app.rows.lanes import BY, CLOSED, DELIVERED, LIGHT, PROMISED, SOLID, Lane, day_heads, draw_lane
from shopday.app.screens.shop_screen import ShopScreen
from shopday.app.session_messages import JobOpened
from shopday.app.widgets.row_list import Row, RowList
from shopday.text.cells import cut
from shopday.text.safe import clean
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.app.session import Session

ZOOMS = (2, 3, 4, 6, 8, 12)
"""Cells a day."""

LEGEND = f"{SOLID} hands on  {LIGHT} waiting  {PROMISED} promised  {DELIVERED} delivered  {CLOSED} closed"


class AheadScreen(ShopScreen):
    PLACE = "ahead"
    HELP_TEXT = (
        "Lanes over days. Solid is hands-on work, light is waiting, days off are dotted; the promised day and the planned "
        "delivery are marked. v changes between jobs, stations and people; the arrows move a week; plus and minus zoom."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("v", "view", "Job/station/person"),
        Binding("left", "move(-7)", "Week back"),
        Binding("right", "move(7)", "Week on"),
        Binding("plus,equals_sign", "zoom(1)", "Closer", key_display="+"),
        Binding("minus", "zoom(-1)", "Wider", key_display="-"),
    ]

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._by, self._ahead, self._zoom = "job", 0, 2

    def body(self) -> ComposeResult:
        yield Static("", id="ahead-head", markup=False)
        yield RowList(id="lanes")
        yield Static("", id="lane-told", markup=False)
        yield Static(LEGEND, id="legend", markup=False)

    @property
    def first(self) -> dt.date:
        return self.state.now.date() + dt.timedelta(days=self._ahead)

    def show_plan(self) -> None:
        plan, shop = self.state.plan, self.state.open_shop.folder.shop
        rows = self.query_one("#lanes", RowList)
        self._head()
        if plan is not None:
            cells, first, days = ZOOMS[self._zoom], self.first, self.state.open_shop.days()
            rows.fill(
                [
                    _row(lane, lambda w, x=lane: draw_lane(x, days, first, cells, w))
                    for lane in BY[self._by](plan, shop)
                ]
            )
            self._tell()

    def on_resize(self, event: events.Resize) -> None:
        self._head()

    def _head(self) -> None:
        width = self.query_one("#lanes", RowList).scrollable_content_region.width
        cells = ZOOMS[self._zoom]
        self.put("#ahead-head", day_heads(self.first, self.state.now.date(), cells, width))

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        self._tell()

    def _tell(self) -> None:
        """In words, what the lane under the cursor holds next."""
        row = self.query_one("#lanes", RowList).current
        self.put("#lane-told", self._told(row.subject) if row else Content(""))

    def _told(self, lane: Lane) -> Content:
        plan, now = self.state.plan, self.state.now
        start = now if self._ahead == 0 else dt.datetime.combine(self.first, dt.time(), now.tzinfo)
        coming = sorted((s for s in lane.steps if s.complete >= start), key=lambda s: s.start)[:3]
        if plan is None or not coming:
            return Content(clean(f"{lane.label}: nothing from here on."))
        named = (
            f"{moment_text(s.start, now):>16}  {s.label}"
            + ("" if self._by == "job" else f", {job_title(plan, s.job)}")
            for s in coming
        )
        return Content("\n".join(cut(line, self.size.width - 2) for line in named))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        row = self.query_one("#lanes", RowList).current
        if row and self._by == "job":
            self.post_message(JobOpened(row.key))

    def action_view(self) -> None:
        order = list(BY)
        self._by = order[(order.index(self._by) + 1) % len(order)]
        self.show_plan()

    def action_move(self, count: int) -> None:
        self._ahead = max(0, self._ahead + count)
        self.show_plan()

    def action_zoom(self, by: int) -> None:
        self._zoom = min(len(ZOOMS) - 1, max(0, self._zoom + by))
        self.show_plan()


def _row(lane: Lane, draw: object) -> Row:
    return Row(lane.key, draw, subject=lane)  # type: ignore[arg-type]
