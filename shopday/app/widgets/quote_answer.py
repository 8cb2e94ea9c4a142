"""The answer to a new job: the date to tell across the screen, and beside the form what the job breaks and depends
on."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from shopday.app.rows.date_to_say import date_to_say
from shopday.app.rows.delivery_strip import STRIP_LEGEND, own_strip
from shopday.app.rows.quote_text import breaks, quote_sentences, reasons
from shopday.text.safe import clean, clean_lines

if TYPE_CHECKING:
    from shopday.app.forms.new_job_form import NewJobDraft
    from shopday.app.protocol import PlannerAnswer

TALL, LOW = 6, 3
"""Lines of the date's letters on a screen with many rows, and on one with few."""
TALL_FROM = 30
"""The rows from which a screen counts as tall."""
SIDES = 2
"""Cells beside the text."""


class DateToSay(Static):
    """The date to tell, or why there is none yet."""

    def __init__(self) -> None:
        super().__init__(id="date", markup=False)
        self._shown: tuple[PlannerAnswer, dt.date | None, dt.date] | None = None
        self.said = ""
        """Why there is no date, as it was said last."""

    def show(self, answer: PlannerAnswer, promise: dt.date | None, today: dt.date) -> None:
        self._shown = answer, promise, today
        screen = self.screen.size
        lines = TALL if screen.height >= TALL_FROM else LOW
        self.update(date_to_say(answer, promise, today, screen.width - SIDES, lines))

    def say(self, text: str) -> None:
        self._shown, self.said = None, text
        self.update(Content(clean(text)))

    def fit_in(self) -> None:
        """Fit the date into a screen of another size."""
        if self._shown is not None:
            self.show(*self._shown)


class QuoteAnswer(VerticalScroll, can_focus=True):
    """The answer below the date; the arrows scroll it while it has the focus."""

    LINES = ("breaks", "quote", "strip", "cautions", "reasons")

    def compose(self) -> ComposeResult:
        for id in self.LINES:
            line = Static(id=id, markup=False)
            line.display = False
            yield line

    def show(self, answer: PlannerAnswer, draft: NewJobDraft, now: dt.datetime) -> None:
        """Show the answer, bad news first."""
        quote, today = answer.quote, now.date()
        if quote is None:
            self.clear()
            return
        row, odds, cells = quote.plan.job(quote.job), answer.odds, self.content_size.width
        self._put("breaks", breaks(quote, draft, today))
        self._put("cautions", Content(clean_lines(f"! {said}" for said in draft.cautions)))
        self._put("quote", quote_sentences(quote, draft, now, cells, odds))
        if row is not None and row.delivery is not None:
            drawn = own_strip(row, odds.job(quote.job) if odds else None, today, cells)
            legend = "  ".join(f"{sign} {says}" for sign, says in STRIP_LEGEND)
            self._put("strip", Content.assemble(drawn, "\n", (f"from today: {legend}", "$muted")))
        self._put("reasons", reasons(draft))

    def clear(self) -> None:
        for id in self.LINES:
            self._put(id, Content(""))

    def _put(self, id: str, said: Content) -> None:
        line = self.query_one(f"#{id}", Static)
        line.display = bool(said.plain)
        line.update(said)
