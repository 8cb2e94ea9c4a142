"""Jobs: will I make it? Those at risk first."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList, Static

from shopday.app.rows.job_text import job_sentences
from shopday.app.rows.jobs_rows import head_line, jobs_rows
from shopday.app.screens.shop_screen import ShopScreen
from shopday.app.session_messages import JobOpened
from shopday.app.widgets.row_list import RowList


class JobsScreen(ShopScreen):
    PLACE = "jobs"
    HELP_TEXT = (
        "Every job with its promise, the delivery planned, and the days in hand between them; the worst stands "
        "on top. Work overruns: `chance` is the chance that the promise is kept, `so far` while that is still being "
        "worked out, and where there is room the date that holds with 80 % stands beside it. `!` marks less than 50 %, "
        "`~` less than 80 %. Below, of the job under the cursor: its safe dates, the steps that make them uncertain, "
        "and whether any plan could deliver it earlier. "
        "Enter or o opens a job: its steps, and everything that can be changed."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("o", "open", "Open"),
        Binding("d", "change", "Change"),
        Binding("a", "accept", "Accept quote"),
        Binding("e", "edit", "Editor"),
    ]

    def body(self) -> ComposeResult:
        yield Static("", id="jobs-head", classes="head", markup=False)
        yield RowList(id="jobs")
        yield Static("", id="job-told", markup=False)

    def show_plan(self) -> None:
        self._head()
        if (plan := self.state.plan) is not None:
            jobs = self.state.open_shop.folder.jobs
            self.query_one("#jobs", RowList).fill(
                jobs_rows(plan, jobs, self.state.now.date(), self.state.odds)
            )
            self._tell()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        self._tell()

    def _tell(self) -> None:
        """In words, how sure the job under the cursor is."""
        plan, job = self.state.plan, self.chosen_job()
        if plan is not None:
            row = plan.job(job) if job is not None else None
            self.put("#job-told", job_sentences(row, plan, self.state.odds, self.state.now))

    def on_resize(self, event: events.Resize) -> None:
        self._head()

    def _head(self) -> None:
        width = self.query_one("#jobs", RowList).scrollable_content_region.width
        self.put("#jobs-head", Content(head_line(width, self.state.odds)))

    def chosen_job(self) -> str | None:
        row = self.query_one("#jobs", RowList).current
        return row.subject if row else None

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.action_open()

    def action_open(self) -> None:
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
