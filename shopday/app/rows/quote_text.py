"""A quote in words: what it breaks, its dates, and what it does to other jobs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app.rows.move_text import move_sentence
from shopday.planning.odds.odds_text import odds_causes, odds_dates
from shopday.planning.questions.costs_text import costs_text
from shopday.planning.questions.obstacles import obstacles
from shopday.planning.questions.optimality_text import job_optimality
from shopday.text.cells import wrapped
from shopday.text.durations import days_text
from shopday.text.safe import clean_lines
from shopday.text.times import date_text, time_of

if TYPE_CHECKING:
    from shopday.app.forms.new_job_form import NewJobDraft
    from shopday.planning.odds.delivery_odds import Odds
    from shopday.planning.questions.quote import Quote
    from shopday.shop.models import Job

Piece = str | tuple[str, str]


def quote_sentences(
    quote: Quote, draft: NewJobDraft, now: dt.datetime, cells: int, odds: Odds | None = None
) -> Content:
    """The dates of a quote, what they depend on, and what moves, in lines of this many cells. odds: which dates hold,
    once that is known."""
    dates = ("Earliest delivery", quote.earliest), ("Alone in the shop", quote.alone)
    pieces: list[Piece] = [f"{wrapped(f'{says}: {_date(date, now)}.', cells)}\n" for says, date in dates]
    pieces += _no_earlier(quote, now)
    pieces += _wanted(quote, draft, now.date())
    pieces += _holding(odds, quote.job, now.date(), cells)
    work = Content(wrapped(f"{_steps(draft.job)}, {costs_text(quote.costs)}", cells))
    return Content("\n").join([Content.assemble(*pieces), _others(quote, now.date()), work])


def breaks(quote: Quote, draft: NewJobDraft, today: dt.date) -> Content:
    """What the job would break: the day on which it is wanted, and promises to others."""
    promise, lines = draft.job.promise, list[Content]()
    if quote.earliest is None:
        said = clean_lines(obstacles(quote.plan, quote.job).lines("! "))
        lines.append(Content.styled(said, "$urgent"))
    elif promise is not None and quote.earliest.date() > promise:
        late = days_text((quote.earliest.date() - promise).days)
        said = f"! At best {late} after {date_text(promise, today)}, the day it is wanted."
        lines.append(Content.styled(said, "$urgent"))
    return Content("\n").join([*lines, *(move_sentence(move, today) for move in quote.moves if move.slips)])


def reasons(draft: NewJobDraft) -> Content:
    """Which part waits for which, why the parts are as they are, and what to have for them."""
    lines = [f"› {order}" for order in _orders(draft.job)]
    lines += [f"· {reason}" for part in draft.parts for reason in part.reasons]
    lines += [f"· To have: {mix}." for part in draft.parts for mix in part.mix]
    return Content(clean_lines(lines))


def _orders(job: Job) -> Iterator[str]:
    names = {part.id: part.label for part in job.parts}
    for part in job.parts:
        entries = (entry.step.rpartition("/")[0] for step in part.steps for entry in step.after or ())
        if others := dict.fromkeys(names[other] for other in entries if other):
            yield f"{part.label} waits for {' and '.join(others)}."


def _date(moment: dt.datetime | None, now: dt.datetime) -> str:
    if moment is None:
        return "cannot be planned"
    return f"{date_text(moment.date(), now.date())}, {time_of(moment)}"


def _no_earlier(quote: Quote, now: dt.datetime) -> list[Piece]:
    row = quote.plan.job(quote.job)
    said = job_optimality(row, now) if row else ""
    return [f"{said}\n"] if said else []


def _wanted(quote: Quote, draft: NewJobDraft, today: dt.date) -> list[Piece]:
    promise = draft.job.promise
    if promise is None or quote.earliest is None:
        return []
    hand = (promise - quote.earliest.date()).days
    if hand < 0:
        return []
    return [(f"{days_text(hand)} before {date_text(promise, today)}, the day it is wanted.\n", "$success")]


def _holding(odds: Odds | None, job: str, today: dt.date, cells: int) -> list[Piece]:
    """The dates one could promise: the earliest is one that nobody should."""
    found = odds.job(job) if odds else None
    if found is None:
        return []
    said = holding(odds, job, today)
    return [f"{wrapped(line, cells)}\n" for line in said if line]


def holding(odds: Odds | None, job: str, today: dt.date) -> list[str]:
    """The safe dates of a job, and what makes them uncertain. odds: None while they are unknown."""
    found = odds.job(job) if odds else None
    if odds is None or found is None:
        return ["Safe dates are being worked out."]
    said = odds_dates(found, lambda date: date_text(date, today))
    return [said if odds.done else f"So far: {said}", odds_causes(found)]


def _others(quote: Quote, today: dt.date) -> Content:
    moves = [move for move in quote.moves if not move.slips]
    if not moves:
        return Content("No other job moves." if not quote.moves else "Otherwise no job moves.")
    return Content("\n").join([Content("Other jobs:"), *(move_sentence(move, today) for move in moves)])


def _steps(job: Job) -> str:
    return f"{sum(len(part.steps) for part in job.parts) + len(job.steps)} steps"
