"""Done: the work of each day, the week at a glance, and corrections of wrong times."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import OptionList, Static

from shopday.app.rows.done_rows import done_rows, week_bars
from shopday.app.screens.step_screen import StepScreen
from shopday.app.step_keys import screen_keys
from shopday.app.widgets.row_list import RowList

if TYPE_CHECKING:
    from shopday.app.session import Session
    from shopday.planning.plan import PlannedStep
    from shopday.planning.questions.worked_days import WorkedDay

WEEK = dt.timedelta(days=7)


class DoneScreen(StepScreen):
    PLACE = "done"
    HELP_TEXT = (
        "What was worked on, day by day, and how long, beside the estimate. S and F correct when a step was started or "
        "finished. < and > go a week back and on. Minutes in which somebody had two steps in hand are shared by them."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        *screen_keys("start_at", "finish_at", "again", "note", shown=("start_at", "finish_at")),
        Binding("less_than_sign,comma,left", "move(-1)", "Earlier", key_display="<"),
        Binding("greater_than_sign,full_stop,right", "move(1)", "Later", key_display=">"),
        Binding("t", "today", "Today"),
        Binding("P", "print", "Print"),
    ]

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._back, self._week = 0, dict[dt.date, "WorkedDay"]()

    def body(self) -> ComposeResult:
        yield Static("", id="week", markup=False)
        yield RowList(id="done")

    @property
    def monday(self) -> dt.date:
        today = self.state.now.date()
        return today - dt.timedelta(days=today.weekday()) - WEEK * self._back

    def show_plan(self) -> None:
        plan, today = self.state.plan, self.state.now.date()
        if plan is None:
            return
        from shopday.planning.questions.gone_work import gone_work  # not before the first picture
        from shopday.planning.questions.worked_days import worked_days

        days = worked_days(plan, gone_work(self.state.open_shop))
        self._week = {day.date: day for day in days if self.monday <= day.date < self.monday + WEEK}
        self.query_one("#done", RowList).fill(done_rows(self._week.values(), today))
        self._show_week()

    def _show_week(self) -> None:
        days, monday, today = self.state.open_shop.days(), self.monday, self.state.now.date()
        dates = [monday + dt.timedelta(days=n) for n in range(7)]
        open_minutes = {date: sum(end - start for start, end in days.shop_day(date)) for date in dates}
        told = week_bars(monday, self._week, open_minutes, today, self.size.width - 2)
        self.query_one("#week", Static).update(told)

    def on_resize(self, event: events.Resize) -> None:
        if self.ready and self.state.plan is not None:
            self._show_week()

    def selected_step(self) -> PlannedStep | None:
        row = self.query_one("#done", RowList).current
        return row.subject if row else None

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        if (step := self.selected_step()) is not None:
            self.session.step_actions.show_step(step)

    def action_move(self, by: int) -> None:
        self._back = max(0, self._back - by)
        self.show_plan()

    def action_today(self) -> None:
        self._back = 0
        self.show_plan()

    def action_print(self) -> None:
        from shopday.app.actions.paper_actions import PaperActions

        PaperActions(self.session).choose(self.monday)
