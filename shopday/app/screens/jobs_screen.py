"""Jobs: will I make it? Those at risk first."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.geometry import Size
from textual.widgets import Input, OptionList, Static

from shopday.app.rows.job_text import job_sentences
from shopday.app.rows.jobs_rows import ORDERS, Columns, head_line, jobs_rows, longest_title, step_rows
from shopday.app.screens.shop_screen import ShopScreen
from shopday.app.session_messages import JobOpened
from shopday.app.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from shopday.app.session import Session


class JobsScreen(ShopScreen):
    PLACE = "jobs"
    HELP_TEXT = (
        "Every job with its promise, the delivery planned, and the days in hand between them; the worst stands "
        "on top. Work overruns: `chance` is the chance that the promise is kept, `so far` while that is still being "
        "worked out, and where there is room the date that holds with 80 % stands beside it. `!` marks less than 50 %, "
        "`~` less than 80 %. Below, of the job under the cursor: its safe dates, the steps that make them uncertain, "
        "and whether any plan could deliver it earlier. "
        "The strip shows the days from today on: ◆ the planned delivery, ━ likely until then with 80 %, ─ possible with 95 %, ◇ "
        "the promise. Enter or J opens a job: its steps, and everything that can be changed. M delivers, shelves or cancels it; "
        "/ finds jobs and steps by any part of their names, notes and references."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("J", "open_job", "Open"),
        Binding("d", "change", "Change"),
        Binding("a", "accept", "Accept quote"),
        Binding("M", "status", "Status"),
        Binding("slash", "find", "Find", key_display="/"),
        Binding("v", "view", "View: the next order", show=False),
        Binding("A", "add", "Add a copy as a quote", show=False),
        Binding("e", "edit", "Editor", show=False),
        Binding("escape", "leave_field", "All jobs again", show=False),
    ]

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._order, self._words = ORDERS[0], ""

    def body(self) -> ComposeResult:
        yield Static("", id="jobs-head", classes="head", markup=False)
        yield RowList(id="jobs")
        find = Input(placeholder="part of a job, a customer or a step", id="find", compact=True)
        find.display = False
        yield find
        yield Static("", id="job-told", markup=False)

    def on_mount(self) -> None:
        self.watch(self.query_one("#jobs"), "virtual_size", self._end_with_the_last_job)

    def _end_with_the_last_job(self, drawn: Size) -> None:
        """The list is no higher than its rows, so that what is told of a job stands right below them."""
        self.query_one("#jobs").styles.max_height = drawn.height + 1

    def show_plan(self) -> None:
        self._head()
        if (plan := self.state.plan) is not None:
            jobs, today, odds = self.state.open_shop.folder.jobs, self.state.now.date(), self.state.odds
            rows = jobs_rows(plan, jobs, today, odds, self._order, self._words)
            self.query_one("#jobs", RowList).fill([*rows, *step_rows(plan, jobs, self._words)])
            self._tell()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        self._tell()

    def _tell(self) -> None:
        """Show in words how sure the job under the cursor is."""
        plan, drawn = self.state.plan, self.query_one("#jobs", RowList).under_cursor
        if plan is not None:
            row = plan.job(_job(drawn)) if drawn is not None else None
            room = self.size.width - 3
            self.put("#job-told", job_sentences(row, plan, self.state.odds, self.state.now, room))

    def on_resize(self, event: events.Resize) -> None:
        self._head()
        self._tell()

    def _head(self) -> None:
        jobs, plan = self.query_one("#jobs", RowList), self.state.plan
        at = Columns(jobs.room, longest_title(plan) if plan else 0)
        self.put("#jobs-head", Content(head_line(at, self.state.odds, self._order)))

    def chosen_job(self) -> str | None:
        """The job under the cursor; on a step that was found, the job of that step."""
        row = self.query_one("#jobs", RowList).current
        return _job(row) if row is not None else None

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Open the steps of the job; on a step that was found, open the step."""
        row = self.query_one("#jobs", RowList).current
        if row is not None and not isinstance(row.subject, str):
            self.session.step_actions.show_step(row.subject)
        else:
            self.action_open_job()

    # ------------------------------------------------------------ finding

    def action_find(self) -> None:
        find = self.query_one("#find", Input)
        find.display = True
        find.focus()

    def on_input_changed(self, event: Input.Changed) -> None:
        self._words = event.value
        self.show_plan()

    def on_input_submitted(self) -> None:
        self.query_one("#jobs").focus()

    def action_leave_field(self) -> None:
        find = self.query_one("#find", Input)
        find.value, find.display = "", False
        self.query_one("#jobs").focus()

    def action_view(self) -> None:
        """Switch to the next order."""
        self._order = ORDERS[(ORDERS.index(self._order) + 1) % len(ORDERS)]
        self.show_plan()

    # ------------------------------------------------------------ the job under the cursor

    def action_status(self) -> None:
        if (job := self.chosen_job()) is not None:
            self.session.job_actions.ask_status(job)

    def action_add(self) -> None:
        if (job := self.chosen_job()) is not None:
            self.session.job_actions.duplicate(job)

    def action_open_job(self) -> None:
        if (job := self.chosen_job()) is not None:
            self.post_message(JobOpened(job))

    def action_change(self) -> None:
        if (job := self.chosen_job()) is not None:
            self.session.job_actions.change(job)

    def action_accept(self) -> None:
        if (job := self.chosen_job()) is not None:
            self.session.job_actions.accept(job)

    def action_edit(self) -> None:
        if (job := self.chosen_job()) is not None:
            self.session.job_actions.open_editor(self.session.job_actions.path(job))


def _job(row: Row) -> str:
    """The job of a row: of the step, if one was found."""
    return str(getattr(row.subject, "job", row.subject))
