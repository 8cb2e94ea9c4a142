"""The date to tell a customer, which holds with four chances in five, in the largest letters that fit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from itertools import zip_longest
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app.rows.large_letters import large
from shopday.planning.odds.distributions import DOUBTFUL, LIKELY, percent
from shopday.planning.questions.obstacles import obstacles
from shopday.text.cells import fit, wrapped
from shopday.text.names import in_sentence
from shopday.text.safe import clean
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.app.protocol import PlannerAnswer
    from shopday.planning.odds.delivery_odds import JobOdds

WORDS = 27
"""Cells that the words beside the letters need; in less room they are below."""
GAP = 3
"""Cells between letters and words."""


def date_to_say(
    answer: PlannerAnswer, promise: dt.date | None, today: dt.date, cells: int, lines: int
) -> Content:
    """The rows of the date to tell. lines: how many the letters may take."""
    quote, odds = answer.quote, answer.odds
    if quote is None or quote.earliest is None:
        return Content.styled("It cannot be planned.", "$urgent")
    found = odds.job(quote.job) if odds else None
    if found is None or odds is None:
        return Content.assemble(
            ("The date to say", "bold"),
            f" is being worked out. The earliest is {date_text(quote.earliest.date(), today)}.",
        )
    if found.p80 is None:
        return Content.styled(
            "No date can be given: it may take longer than anybody can see ahead.", "$urgent"
        )
    said = date_text(found.p80.date(), today)
    surer = found.p95 is not None and found.p95.date() == found.p80.date()
    words = [
        ("The date to say", "bold"),
        (f"{said} holds with {95 if surer else 80} %{'' if odds.done else ', so far'}.", ""),
        *_wanted(found, promise, today),
    ]
    return _beside(said, words, cells, lines)


def _wanted(found: JobOdds, promise: dt.date | None, today: dt.date) -> list[tuple[str, str]]:
    """How likely the job is to be ready by the day it is wanted."""
    if promise is None or found.promise is None:
        return []
    chance = found.promise
    look = "$urgent" if chance < DOUBTFUL else "bold $warning" if chance < LIKELY else "$success"
    return [(f"{date_text(promise, today)}, the day it is wanted, holds with {percent(chance)}.", look)]


def _beside(said: str, words: Sequence[tuple[str, str]], cells: int, lines: int) -> Content:
    """The date in large letters, with the words on their right or, in less room, below them."""
    room = cells - WORDS - GAP
    letters = large(said, room, lines, 2)
    if letters is None:
        letters, room = large(said, cells, lines, 1) or [said], 0
    wide = max(map(len, letters)) + GAP if room else 0
    told = [(line, look) for text, look in words for line in wrapped(text, cells - wide).split("\n")]
    drawn = [Content.styled(fit(line, wide) if wide else line, "bold $accent") for line in letters]
    if not wide:
        return Content("\n").join([*drawn, *(Content.styled(*line) for line in told)])
    blank = Content(" " * wide)
    rows = zip_longest(drawn, (Content.styled(*line) for line in told))
    return Content("\n").join(Content.assemble(left or blank, right or "") for left, right in rows)


def safe_date(answer: PlannerAnswer) -> dt.date | None:
    """The date to say, once all draws for it are made."""
    quote, odds = answer.quote, answer.odds
    found = odds.job(quote.job) if quote is not None and odds is not None and odds.done else None
    return found.p80.date() if found is not None and found.p80 is not None else None


def cannot_be_kept(answer: PlannerAnswer, today: dt.date) -> str:
    """What can be said instead of a promise that nobody can keep."""
    quote, safe = answer.quote, safe_date(answer)
    if quote is None or quote.earliest is None:
        found = obstacles(quote.plan, quote.job).by_reason if quote is not None else ()
        return " ".join(["It cannot be planned.", *(each.told for each in found[:1])])
    said = f"The earliest delivery is {date_text(quote.earliest.date(), today)}."
    return said if safe is None else f"{said} {date_text(safe, today)} holds with 80 %."


def sentence_for_customer(title: str, date: dt.date, today: dt.date) -> str:
    """The date in a sentence that can be sent to the customer."""
    return f"The {in_sentence(clean(title))} can be ready by {date_text(date, today)}."
