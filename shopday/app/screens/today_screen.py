"""Today and Waiting on: what to work on, and what runs unattended meanwhile."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical
from textual.content import Content
from textual.widgets import OptionList, Static

from shopday.app.rows.day_rows import day_rows, step_key
from shopday.app.rows.now_text import under_way
from shopday.app.rows.waiting_rows import waiting_rows
from shopday.app.screens.step_screen import StepScreen
from shopday.app.step_keys import screen_keys
from shopday.app.widgets.now_card import NowCard
from shopday.app.widgets.row_list import RowList
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.plan import PlannedStep

WIDE = 110
"""The width in columns from which the two lists are side by side."""


class TodayScreen(StepScreen):
    PLACE = "today"
    HELP_TEXT = (
        "On top what to work on now and until when; below it the day by the clock, and what you are waiting on, soonest "
        "first. Keys act on the line under the cursor. s and f log this minute, S and F ask when."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        *screen_keys(),
        Binding("z", "large", "Large, for the wall", show=False),
        Binding("tab", "other_list", "Other list", show=False),
        Binding("escape", "lists", "The lists again", show=False),
    ]

    def body(self) -> ComposeResult:
        yield NowCard()
        with Container(id="lists"):
            with Vertical(id="day-side"):
                yield Static("The day", id="day-head", classes="head", markup=False)
                yield RowList(id="day")
            with Vertical(id="waiting-side"):
                yield Static("Waiting on", id="waiting-head", classes="head", markup=False)
                yield RowList(id="waiting")

    def on_resize(self, event: events.Resize) -> None:
        self.set_class(event.size.width >= WIDE, "wide")
        self.call_after_refresh(self.tick)

    def show_plan(self) -> None:
        seen, now = self.state.dashboard, self.state.now
        self._show_now()
        if seen is None:
            return
        day, waits = seen.day, seen.waits
        self.suggests(day.take_up)
        start = f"{step_key(day.take_up)}#work" if day.take_up else ""
        self.query_one("#day", RowList).fill(day_rows(seen, now), start, "now")
        self.query_one("#waiting", RowList).fill(waiting_rows(waits, now))
        self._heads(len(waits), now)
        self._share_rows()

    def tick(self) -> None:
        super().tick()
        if self.ready:
            self._show_now()
            self._share_rows()

    def _share_rows(self) -> None:
        """Below each other, leave the day the rows that the waits do not need."""
        needed = None if self.has_class("wide") else 1 + self.query_one("#waiting", RowList).needed
        self.query_one("#waiting-side").styles.height = needed

    def _show_now(self) -> None:
        self.query_one(NowCard).show(self.state.dashboard, self.state.clock)

    def _heads(self, waits: int, now: dt.datetime) -> None:
        self.put("#day-head", Content(f"The day, {date_text(now.date(), now.date())}"))
        self.put("#waiting-head", Content(f"Waiting on ({waits})" if waits else "Waiting on"))

    def selected_step(self) -> PlannedStep | None:
        """The step under the cursor in the list with the focus; for a wait, the step it belongs to."""
        rows = self.query_one("#waiting" if self.query_one("#waiting").has_focus else "#day", RowList)
        subject = rows.current.subject if rows.current else None
        return getattr(subject, "step", subject) if rows.id == "waiting" else subject

    def step_to_start(self) -> PlannedStep | None:
        """The step under the cursor; if its work is over, the one that the card says to take up."""
        step, seen = self.selected_step(), self.state.dashboard
        row = self.query_one("#day", RowList).current
        on_its_work = step is not None and row is not None and row.key == f"{step_key(step)}#work"
        over = on_its_work and step is not None and not step.waits_for_hands
        if over and seen is not None and seen.day.take_up is not None and not under_way(seen.plan):
            return seen.day.take_up
        return step

    def step_to_finish(self) -> PlannedStep | None:
        """The step under the cursor if it was begun, else the only one under way."""
        step, plan = self.selected_step(), self.state.plan
        going = under_way(plan) if plan else []
        if len(going) == 1 and (step is None or step.state != "under way"):
            return going[0]
        return step

    def action_large(self) -> None:
        """Show the answer alone on the screen, or return to the lists."""
        card = self.query_one(NowCard)
        card.whole = not card.whole
        self.set_class(card.whole, "whole")
        self.call_after_refresh(self.tick)

    def action_lists(self) -> None:
        if self.query_one(NowCard).whole:
            self.action_large()

    def action_other_list(self) -> None:
        self.query_one("#day" if self.query_one("#waiting").has_focus else "#waiting").focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        if (step := self.selected_step()) is not None:
            self.session.step_actions.show_step(step)
