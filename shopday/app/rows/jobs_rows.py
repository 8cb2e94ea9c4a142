"""Rows of Jobs: promise, planned delivery, chance, days in hand; those at risk first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content

from shopday.app.rows.day_rows import day_heading, step_key
from shopday.app.rows.delivery_strip import strip
from shopday.app.widgets.row_list import Row
from shopday.planning.odds.distributions import DOUBTFUL, LIKELY, percent
from shopday.text.cells import fit, wrapped
from shopday.text.durations import days_text
from shopday.text.safe import clean
from shopday.text.signs import DELIVERY, OTHER
from shopday.text.times import date_text, moment_text

if TYPE_CHECKING:
    from shopday.planning.odds.delivery_odds import Odds
    from shopday.planning.plan import JobRow, Plan, PlannedStep
    from shopday.shop.base_model import Noted
    from shopday.shop.models import Job

MOST_STRIP = 60
"""The most cells of the strip of days in the list."""
WORD = 17
"""The width in cells of the words that tell how many days are in hand, and how many are wanted."""
NARROW, WIDE = 70, 100
"""Widths in cells: below the first a job takes two or three lines; from the second the date that holds with 80 % has
room."""
STANDS = {
    "quote": "a quote, not planned",
    "shelved": "shelved",
    "cancelled": "cancelled",
    "delivered": "delivered",
}
"""How the status of a job that is not planned is told."""
HEADINGS = {"quote": "Quotes", "shelved": "Shelved", "cancelled": "Cancelled", "delivered": "Delivered"}
"""The headings of jobs that are not planned, in this order."""
ORDERS = ("chance", "promise", "delivery", "name")
"""The orders in which jobs can be listed."""


@dataclass(frozen=True)
class Columns:
    """The widths of the columns of Jobs. The strip shows the days from today to the last date of any job.

    longest: the cells of the longest title; it gets no more room, so that its dates stand near it.
    """

    width: int
    longest: int = 200

    @property
    def date(self) -> int:
        return 15 if self.width >= WIDE else 12

    @property
    def chance(self) -> int:
        return 10 if self.width >= WIDE else 7

    @property
    def dates(self) -> int:
        return 3 if self.width >= WIDE else 2

    @property
    def strip(self) -> int:
        if self.width < NARROW:
            return max(6, self.width - 20)
        return min(MOST_STRIP, max(8, self._rest * 2 // 5, self._rest - self.longest - 1))

    @property
    def title(self) -> int:
        return max(12, min(self.longest + 1, self._rest - self.strip))

    @property
    def _rest(self) -> int:
        """The cells of the title and the strip."""
        return self.width - 2 - self.dates * self.date - self.chance - WORD


def longest_title(plan: Plan) -> int:
    return max((cell_len(clean(row.title or row.job)) for row in plan.jobs), default=0)


def head_line(at: Columns, odds: Odds | None = None, order: str = "chance") -> str:
    """The head of the columns. order: one of ORDERS, marked by a sign."""
    rough, width = odds is not None and not odds.done, at.width

    def named(says: str, of: str) -> str:
        return f"{says} ↓" if of == order else says

    if width < NARROW:
        return fit(f"  by {order}: promise, chance", width)
    return (
        "  "
        + fit(named("job", "name"), at.title)
        + fit("today →", at.strip)
        + fit(named("promised", "promise"), at.date)
        + fit(named("delivers", "delivery"), at.date)
        + (fit("80 % sure", at.date) if width >= WIDE else "")
        + fit("so far" if rough else "chance", at.chance)
        + "in hand"
    )


def job_standing(row: JobRow, chance: float | None = None) -> tuple[int, str, str, str]:
    """How a job stands: rank (worst first), sign, words and look. All but the words follow the chance of its promise
    or, while that is unknown, the days in hand. The words tell the days in hand and how many its reserve wants."""
    hand = row.days_in_hand
    if row.delivered:
        return 9, DELIVERY, "delivered", "$muted"
    if row.delivery is None:
        return 0, "!", "cannot be planned", "$urgent"
    if hand is None:
        return 6, "·", "no promise", ""
    said = _days(row, hand)
    if row.late_minutes if chance is None else chance < DOUBTFUL:
        return 1, "!", said, "$urgent"
    if (hand <= 1 or bool(row.short_minutes)) if chance is None else chance < LIKELY:
        return 2, "~", said, "bold $warning"
    return 5, "▪", said, "$success"


def _days(row: JobRow, hand: int) -> str:
    if row.late_minutes:
        return f"{days_text(max(1, -hand))} LATE"
    if hand <= 1:
        return "tight: 1 day" if hand else "tight: that day"
    return f"{days_text(hand)}, wants {row.reserve_days}" if row.reserve_days else days_text(hand)


def jobs_rows(
    plan: Plan,
    jobs: dict[str, Job],
    today: dt.date,
    odds: Odds | None,
    order: str = "chance",
    words: str = "",
) -> list[Row]:
    """The planned jobs in this order, then those left out, and then those not planned, under headings.

    odds:  None while they are unknown.
    words: only jobs whose title, customer, id, note or references contain them.
    """
    found = [
        row for row in plan.jobs if matches(words, row.title, row.customer, row.job, noted(jobs.get(row.job)))
    ]
    rows = sorted(found, key=lambda row: _place(row, odds, order))
    last, longest = _last_date(plan, odds, today), longest_title(plan)
    left_out = [
        _left_out(lost.address) for lost in plan.unplaced if lost.is_job and matches(words, lost.address)
    ]
    planned = {row.job for row in plan.jobs}
    rest = {
        id: job
        for id, job in jobs.items()
        if id not in planned and matches(words, job.title, job.customer, id, noted(job))
    }
    going = [row for row in rows if not row.delivered]
    over = [row for row in rows if row.delivered]
    drawn = [_job(row, today, odds, last, longest) for row in going] + left_out
    for status, heading in HEADINGS.items():
        apart = [_job(row, today, odds, last, longest) for row in over] if status == "delivered" else []
        apart += [_unplanned(id, job) for id, job in rest.items() if job.status == status]
        drawn += [day_heading(f"apart#{status}", heading), *apart] if apart else []
    return drawn or [_none(words)]


def _none(words: str) -> Row:
    said = f"No job fits {words.strip()}." if words else "There is no job yet. Press 4 to plan a new one."
    return Row("none", lambda width: Content(wrapped(said, width)), heading=True)


def matches(words: str, *texts: str) -> bool:
    """True if each of the words is found somewhere in the texts, in upper or lower case."""
    text = " ".join(texts).casefold()
    return all(word in text for word in words.casefold().split())


def _place(row: JobRow, odds: Odds | None, order: str) -> tuple[object, ...]:
    chance = _known(row, odds)
    far = dt.date.max
    first = {
        "promise": row.promise or far,
        "delivery": row.delivery.date() if row.delivery else far,
        "name": (row.title or row.job).casefold(),
    }.get(order, 0)
    return first, job_standing(row, chance)[0], chance or 0, row.days_in_hand or 0, row.job


def _last_date(plan: Plan, odds: Odds | None, today: dt.date) -> dt.date:
    """The last day that any strip has to show."""
    known = [row.promise for row in plan.jobs if row.promise and not row.delivered]
    known += [row.delivery.date() for row in plan.jobs if row.delivery and not row.delivered]
    known += [found.p95.date() for found in (odds.jobs if odds else ()) if found.p95]
    return max(known, default=today + dt.timedelta(days=7))


def _known(row: JobRow, odds: Odds | None) -> float | None:
    """The chance of the job's promise; None while it is rough."""
    found = odds.job(row.job) if odds is not None and odds.done else None
    return found.promise if found is not None else None


def _date(date: dt.date | None, today: dt.date, cells: int) -> str:
    """The date, without its weekday if there is no room."""
    said = date_text(date, today) if date else "-"
    return fit(said if len(said) < cells else said.partition(" ")[2], cells)


def _job(row: JobRow, today: dt.date, odds: Odds | None, last: dt.date, longest: int) -> Row:
    _, sign, said, look = job_standing(row, _known(row, odds))
    found = odds.job(row.job) if odds else None
    chance = percent(found.promise, in_column=True) if found and found.promise is not None else ""
    sure = found.p80.date() if found and found.p80 else None
    how = look if odds and odds.done else "$muted"
    delivery = row.delivery.date() if row.delivery else None
    strong = "bold" if look in ("$urgent", "bold $warning") else ""

    def draw(width: int) -> Content:
        at, title = Columns(width, longest), clean(row.title or row.job)
        picture = Content.assemble(strip(row, found, today, last, at.strip - 1), " ")
        if width < NARROW:
            date = _date(row.promise, today, 12)
            room = width - len(f"  delivers , {said}")
            ends = f"delivers {_date(delivery, today, room + 1).strip()}, " if delivery else ""
            stands = said if row.delivered else f"{ends}{said}"
            beside = width - 2 - cell_len(title) - cell_len(stands)
            named = Content.assemble((f"{sign} ", look), (wrapped(title, width - 2, 2), strong))
            held = Content.assemble("\n  ", (date, "$muted"), (fit(chance, 6), how), picture)
            if beside > 0:
                return Content.assemble(named, " " * beside, (stands, look), held)
            return Content.assemble(named, held, "\n  ", (wrapped(stands, width - 2, 2), look))
        return Content.assemble(
            (f"{sign} ", look),
            (fit(title, at.title - 1) + " ", strong),
            picture,
            _date(row.promise, today, at.date),
            _date(delivery, today, at.date),
            (_date(sure, today, at.date) if found else " " * at.date, "" if odds and odds.done else "$muted")
            if width >= WIDE
            else "",
            (fit(chance, at.chance), how),
            (fit(said, WORD), look),
        )

    return Row(row.job, draw, subject=row.job)


def _unplanned(id: str, job: Job) -> Row:
    sign = DELIVERY if job.status == "delivered" else OTHER
    return _line(id, f"{sign} {job.title or id}: {STANDS.get(job.status, job.status)}", "$muted")


def _left_out(id: str) -> Row:
    return _line(id, f"! {id}: left out, its file has faults", "$urgent")


def _line(id: str, said: str, look: str) -> Row:
    return Row(id, lambda width: Content.styled(fit(said, width), look), subject=id)


def noted(of: Noted | None) -> str:
    """The note and the references, in one line."""
    return "; ".join(said for _, said in of.noted()) if of is not None else ""


def step_rows(plan: Plan, jobs: Mapping[str, Job], words: str) -> list[Row]:
    """Steps whose name, note or references, or whose job's title, contain the words, with their planned times."""
    if not words:
        return []
    titles = {row.job: row.title or row.job for row in plan.jobs}
    others = {id: title for id, title in titles.items() if not matches(words, title)}
    notes = step_notes({id: jobs[id] for id in others if id in jobs})
    rows: list[Row] = []
    for step in plan.steps:
        if (title := others.get(step.job)) is None:
            continue
        named, seen = f"{step.label}, {title}", notes.get((step.job, step.part, step.step), "")
        if matches(words, named, seen):
            said = named if not seen or matches(words, named) else f"{step.label}: {seen}"
            rows.append(_found(step, said, plan.now))
        if len(rows) == MOST_STEPS:
            break
    return [day_heading("found", "Steps"), *rows] if rows else []


def step_notes(jobs: Mapping[str, Job]) -> dict[tuple[str, str | None, str], str]:
    """The notes and references of steps that have some, by job, part and step."""
    return {
        (id, part, step.id): noted(step)
        for id, job in jobs.items()
        for part, steps in ((None, job.steps), *((part.id, part.steps) for part in job.parts))
        for step in steps
        if step.note or step.refs
    }


MOST_STEPS = 50
"""The most steps listed."""


def _found(step: PlannedStep, named: str, now: dt.datetime) -> Row:
    def draw(width: int) -> Content:
        said = fit(f"{moment_text(step.start, now)}", 17)
        return Content.assemble("  ", (said, "$muted"), fit(named, max(10, width - 19)))

    return Row(step_key(step), draw, subject=step)
