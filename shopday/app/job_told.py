"""One job in whole sentences, below the list of jobs: what date holds, what it hangs on, and whether it could be
earlier."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app import words
from shopday.app.quote_words import holding
from shopday.planning.goodness import of_job, of_plan
from shopday.shop.plain import clean

if TYPE_CHECKING:
    from shopday.planning.odds import Odds
    from shopday.planning.plan import JobRow, Plan


def told(row: JobRow | None, plan: Plan, odds: Odds | None, now: dt.datetime) -> Content:
    """The job, and how good the whole plan is. row: None for a job that is not planned; odds: None while they
    are not known."""
    lines = [] if row is None else _job(row, odds, now)
    return Content("\n").join([*lines, Content.styled(of_plan(plan), "dim")])


def _job(row: JobRow, odds: Odds | None, now: dt.datetime) -> list[Content]:
    if row.delivered or row.delivery is None:
        return []
    title = Content.styled(words.cut(row.title or row.job, 40), "bold")
    sentences = " ".join(filter(None, (*holding(odds, row.job, now.date()), of_job(row, now))))
    return [Content.assemble(title, ". ", clean(sentences))]
