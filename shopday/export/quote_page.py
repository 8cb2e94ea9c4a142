"""`shopday quote`: when a job could be delivered, and what that moves."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.text import Text

from shopday.export.changes_page import sentences
from shopday.export.rich_parts import BAD, DIM, GOOD, STRONG, goodness_line, heading, text, unplaced_rows
from shopday.planning.odds.delivery_odds import JobOdds
from shopday.planning.odds.distributions import percent
from shopday.planning.odds.odds_text import odds_causes, odds_dates
from shopday.planning.plan import Moment
from shopday.planning.questions import optimality_text
from shopday.planning.questions.costs_text import costs_text
from shopday.planning.questions.quote import Quote
from shopday.text.safe import clean
from shopday.text.times import date_text, moment_text


def quote_page(title: str, quote: Quote, odds: JobOdds | None) -> Group:
    now = quote.plan.now
    parts: list[RenderableType] = [text(title, STRONG), *_to_say(odds, now), _earliest(quote, now)]
    if odds is not None:
        parts.append(_holding(odds, now))
    if quote.alone is not None:
        parts.append(
            Text(f"With the shop empty of other work it would be {moment_text(quote.alone, now)}.", DIM)
        )
    parts.append(text(costs_text(quote.costs)))
    slips = sum(move.slips for move in quote.moves)
    parts.append(heading("What it does to the others"))
    parts += sentences(quote.moves, now)
    if slips:
        said = "One promise slips." if slips == 1 else f"{slips} promises slip."
        parts.append(Text(f"\n{said}", BAD))
    parts += goodness_line(quote.plan)
    parts.append(Text("\nNothing was written: put the file into jobs/ to take the job on.", DIM))
    return Group(*parts, *unplaced_rows(quote.plan))


def _to_say(odds: JobOdds | None, now: Moment) -> list[RenderableType]:
    """The date that holds in four of five cases."""
    if odds is None or odds.p80 is None:
        return []
    said = date_text(odds.p80.date(), now.date())
    return [Text("The date to say: ").append(said, f"bold {GOOD}").append(", which holds with 80 %.")]


def _earliest(quote: Quote, now: Moment) -> Text:
    if quote.earliest is None:
        return Text("It cannot be planned.", BAD)
    row = quote.plan.job(quote.job)
    line = Text("Earliest delivery: ").append(moment_text(quote.earliest, now), f"bold {GOOD}")
    if row is not None and row.late_minutes:
        line.append("; nobody can keep its promise", BAD)
    return line.append(f". {optimality_text.job_optimality(row, now) if row else ''}".rstrip())


def _holding(odds: JobOdds, now: Moment) -> Text:
    line = Text(odds_dates(odds, lambda date: date_text(date, now.date())))
    if odds.promise is not None:
        line.append(f" Its promise holds with {percent(odds.promise)}.")
    if odds.risks:
        line.append(f" {clean(odds_causes(odds))}")
    return line
