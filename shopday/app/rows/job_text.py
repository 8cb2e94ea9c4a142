"""One job in whole sentences: which date holds, what it depends on, whether it could be earlier; and its delivery as
a strip of days."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content

from shopday.app.rows.delivery_strip import own_strip
from shopday.app.rows.quote_text import holding
from shopday.planning.odds.distributions import percent
from shopday.planning.questions.optimality_text import job_optimality, settled_optimality
from shopday.text.cells import cut, wrapped
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.odds.delivery_odds import Odds
    from shopday.planning.plan import JobRow, Plan


STRIP, LEAST_STRIP = 36, 12
"""Cells of the picture of a delivery, at most, and at least where words stand beside it."""


def chance_line(row: JobRow, odds: Odds | None, today: dt.date, cells: int) -> Content | None:
    """The delivery as a strip of days, with the dates that hold; None if nothing is known or open."""
    found = odds.job(row.job) if odds else None
    if found is None or odds is None or row.delivered or row.delivery is None:
        return None
    kept = [f"kept with {percent(found.promise)}"] if found.promise is not None else []
    held = ((80, found.p80), (95, found.p95))
    dates = [f"{share} % by {date_text(date.date(), today)}" for share, date in held if date is not None]
    words = f"{'' if odds.done else 'so far '}{', '.join([*kept, *dates])}"
    beside = cells - cell_len(words) - 2
    if beside < LEAST_STRIP:
        return Content.assemble(own_strip(row, found, today, cells), "\n", wrapped(words, cells))
    return Content.assemble(own_strip(row, found, today, min(STRIP, beside)), "  ", words)


def job_sentences(row: JobRow | None, plan: Plan, odds: Odds | None, now: dt.datetime, cells: int) -> Content:
    """The job, and what is certain of how good the whole plan is, in lines of this many cells. row: None for a job
    that is not planned; odds: None while they are unknown."""
    lines = [] if row is None else _job(row, odds, now, cells)
    return Content("\n").join([*lines, Content.styled(settled_optimality(plan), "$muted")])


def _job(row: JobRow, odds: Odds | None, now: dt.datetime, cells: int) -> list[Content]:
    if row.delivered or row.delivery is None:
        return []
    title = cut(row.title or row.job, 40)
    sentences = " ".join(filter(None, (*holding(odds, row.job, now.date()), job_optimality(row, now))))
    return [Content(wrapped(f"{title}. {sentences}", cells)).stylize("bold", 0, len(title))]
