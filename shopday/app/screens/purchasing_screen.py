"""To get: what to order, expect or send away, by which day, and the materials for the coming week."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import OptionList

from shopday.app.rows.purchase_rows import to_get_rows
from shopday.app.screens.step_screen import StepScreen
from shopday.app.step_keys import screen_keys
from shopday.app.widgets.row_list import RowList

if TYPE_CHECKING:
    from shopday.planning.plan import PlannedStep


OUTSIDE = ("ordered", "asked", "arrived", "why", "change")
"""The step actions that this screen has, as others do."""


class PurchasingScreen(StepScreen):
    PLACE = "toget"
    HELP_TEXT = (
        "What has to be ordered or sent away, with the last day that delays no promise, the most pressing first, and the step "
        "that waits for it; below it what the work of the coming week uses up. O says that something was ordered and for when, j that you asked for it and "
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
        today = self.state.now.date()
        rows = to_get_rows(seen.orders, seen.needs, today)
        self.query_one("#toget", RowList).fill(rows)

    def selected_step(self) -> PlannedStep | None:
        row = self.query_one("#toget", RowList).current
        return row.subject if row else None

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        if (step := self.selected_step()) is not None:
            self.session.step_actions.show_step(step)
