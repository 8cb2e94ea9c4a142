"""One job in whole sentences, below the list of jobs: which date holds, what it depends on, whether it could be
earlier."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app.rows.quote_text import holding
from shopday.planning.questions.optimality_text import job_optimality, plan_optimality
from shopday.text.cells import cut
from shopday.text.safe import clean

if TYPE_CHECKING:
    from shopday.planning.odds.delivery_odds import Odds
    from shopday.planning.plan import JobRow, Plan


def job_sentences(row: JobRow | None, plan: Plan, odds: Odds | None, now: dt.datetime) -> Content:
    """The job, and how good the whole plan is. row: None for a job that is not planned; odds: None while they are
    unknown."""
    lines = [] if row is None else _job(row, odds, now)
    return Content("\n").join([*lines, Content.styled(plan_optimality(plan), "$muted")])


def _job(row: JobRow, odds: Odds | None, now: dt.datetime) -> list[Content]:
    if row.delivered or row.delivery is None:
        return []
    title = Content.styled(cut(row.title or row.job, 40), "bold")
    sentences = " ".join(filter(None, (*holding(odds, row.job, now.date()), job_optimality(row, now))))
    return [Content.assemble(title, ". ", clean(sentences))]
