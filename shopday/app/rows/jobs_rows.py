"""Rows of Jobs: promise, planned delivery, chance, days in hand; those at risk first."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app.widgets.row_list import Row
from shopday.planning.odds.distributions import DOUBTFUL, LIKELY, percent
from shopday.text.cells import fit
from shopday.text.durations import days_text
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.odds.delivery_odds import Odds
    from shopday.planning.plan import JobRow, Plan
    from shopday.shop.models import Job

WORD, DATE, CHANCE = 17, 15, 10
STANDS = {"quote": "a quote, not planned", "shelved": "put on the shelf", "live": "being planned"}
"""How a job stands that is not planned."""
WIDE = 100
"""Cells from which the date that holds with 80 % has room."""


def head_line(width: int, odds: Odds | None = None) -> str:
    rough = odds is not None and not odds.done
    return (
        "  "
        + fit("job", _title(width))
        + fit("promised", DATE)
        + fit("delivers", DATE)
        + (fit("80 % sure", DATE) if width >= WIDE else "")
        + fit("so far" if rough else "chance", CHANCE)
        + "in hand"
    )


def _title(width: int) -> int:
    dates = 3 if width >= WIDE else 2
    return max(12, width - 2 - dates * DATE - CHANCE - WORD)


def job_standing(row: JobRow, chance: float | None = None) -> tuple[int, str, str, str]:
    """How it stands: rank (worst first), sign, words and look. All but the words follow the chance of its promise,
    or the days in hand while that is not known; beside those in hand the words tell how many its reserve wants."""
    hand = row.days_in_hand
    if row.delivered:
        return 9, "◆", "delivered", "dim"
    if row.delivery is None:
        return 0, "!", "cannot be planned", "bold $error"
    if hand is None:
        return 6, "·", "no promise", ""
    said = _days(row, hand)
    if row.late_minutes if chance is None else chance < DOUBTFUL:
        return 1, "!", said, "bold $error"
    if (hand <= 1 or bool(row.short_minutes)) if chance is None else chance < LIKELY:
        return 2, "~", said, "bold $warning"
    return 5, "▪", said, "$success"


def _days(row: JobRow, hand: int) -> str:
    if row.late_minutes:
        return f"{days_text(max(1, -hand))} LATE"
    if hand <= 1:
        return "tight: 1 day" if hand else "tight: that day"
    return f"{days_text(hand)}, wants {row.reserve_days}" if row.reserve_days else days_text(hand)


def jobs_rows(plan: Plan, jobs: dict[str, Job], today: dt.date, odds: Odds | None) -> list[Row]:
    """`odds`: None while they are not known."""
    rows = sorted(plan.jobs, key=lambda row: _place(row, odds))
    planned = {row.job for row in plan.jobs}
    rest = [(id, job) for id, job in jobs.items() if id not in planned]
    left_out = [_left_out(lost.address) for lost in plan.unplaced if lost.is_job]
    return [_job(row, today, odds) for row in rows] + left_out + [_unplanned(id, job) for id, job in rest]


def _place(row: JobRow, odds: Odds | None) -> tuple[int, float, int, str]:
    chance = _known(row, odds)
    return job_standing(row, chance)[0], chance or 0, row.days_in_hand or 0, row.job


def _known(row: JobRow, odds: Odds | None) -> float | None:
    """The chance of its promise; None as long as it is rough."""
    found = odds.job(row.job) if odds is not None and odds.done else None
    return found.promise if found is not None else None


def _date(date: dt.date | None, today: dt.date) -> str:
    return date_text(date, today) if date else "-"


def _job(row: JobRow, today: dt.date, odds: Odds | None) -> Row:
    _, sign, said, look = job_standing(row, _known(row, odds))
    found = odds.job(row.job) if odds else None
    chance = percent(found.promise) if found and found.promise is not None else ""
    sure = found.p80.date() if found and found.p80 else None
    how = look if odds and odds.done else "dim"

    def draw(width: int) -> Content:
        delivery = row.delivery.date() if row.delivery else None
        return Content.assemble(
            (f"{sign} ", look),
            (
                fit(row.title or row.job, _title(width) - 1) + " ",
                "bold" if look.startswith("bold") else "",
            ),
            fit(_date(row.promise, today), DATE),
            fit(_date(delivery, today), DATE),
            (fit(_date(sure, today) if found else "", DATE), "" if odds and odds.done else "dim")
            if width >= WIDE
            else "",
            (fit(chance, CHANCE), how),
            (fit(said, WORD), look),
        )

    return Row(row.job, draw, subject=row.job)


def _unplanned(id: str, job: Job) -> Row:
    return _line(id, f"? {job.title or id}: {STANDS.get(job.status, job.status)}", "dim")


def _left_out(id: str) -> Row:
    return _line(id, f"! {id}: left out, its file has faults", "bold $error")


def _line(id: str, said: str, look: str) -> Row:
    return Row(id, lambda width: Content.styled(fit(said, width), look), subject=id)
