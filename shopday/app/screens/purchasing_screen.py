"""To get: what to order, expect or send away, by which day, and the materials for the coming week."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList

from shopday.app.rows.day_rows import day_heading, step_key
from shopday.app.screens.step_screen import StepScreen
from shopday.app.step_keys import screen_keys
from shopday.app.widgets.row_list import Row, RowList
from shopday.text.cells import fit
from shopday.text.safe import clean
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.plan import PlannedStep
    from shopday.planning.questions.material_needs import MaterialNeed
    from shopday.planning.questions.purchase_text import Purchase


OUTSIDE = ("ordered", "asked", "arrived", "why", "change")
"""The step actions that this screen has, as others do."""


class PurchasingScreen(StepScreen):
    PLACE = "toget"
    HELP_TEXT = (
        "What has to be ordered or sent away, with the last day that delays no promise, the most pressing first; below it "
        "what the work of the coming week uses up. O says that something was ordered and for when, j that you asked for it and "
        "what was promised, h that something is here, s that something left the shop."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("s", "do_step('start')", "Sent away"),
        *screen_keys(*OUTSIDE, shown=OUTSIDE[:-1]),
    ]

    def body(self) -> ComposeResult:
        yield RowList(id="toget")

    def show_plan(self) -> None:
        seen = self.state.dashboard
        if seen is None:
            return
        ordered = [_order(order, self.state.now.date()) for order in seen.orders]
        used = [_need(need, place) for place, need in enumerate(seen.needs)]
        rows = [
            day_heading("orders", "To order, expect, send or have back"),
            *(ordered or [_nothing("no-orders")]),
        ]
        rows += [day_heading("needs", "To have for the coming week"), *(used or [_nothing("no-needs")])]
        self.query_one("#toget", RowList).fill(rows)

    def selected_step(self) -> PlannedStep | None:
        row = self.query_one("#toget", RowList).current
        return row.subject if row else None

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        if (step := self.selected_step()) is not None:
            self.session.step_actions.show_step(step)


def _nothing(key: str) -> Row:
    return Row(key, lambda width: Content("  nothing"), heading=True)


def _order(order: Purchase, today: dt.date) -> Row:
    """The row of a purchase. Urgent ones are marked by sign and word, not by colour alone."""
    sign, look = ("!", "$urgent") if order.late else ("~", "bold $warning") if order.urgent else ("·", "")
    by = _column(order, today)

    def draw(width: int) -> Content:
        return Content.assemble((f"{sign} ", look), (fit(by, 15), look), clean(order.text))

    return Row(step_key(order.step), draw, subject=order.step)


def _column(order: Purchase, today: dt.date) -> str:
    """The day by which something must be done, or the state."""
    if order.state not in ("to order", "to send"):
        return order.state
    return f"by {date_text(order.by, today)}" if order.by else "late" if order.late else "no hurry"


def _need(need: MaterialNeed, place: int) -> Row:
    return Row(f"need#{place}", lambda width: Content(f"· {clean(need.text)}"), heading=True)
