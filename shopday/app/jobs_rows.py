"""Rows of Jobs: promise, planned delivery, days in hand; those at risk first."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app import words
from shopday.app.rows import Row
from shopday.planning.chances import DOUBTFUL, LIKELY, percent

if TYPE_CHECKING:
    from shopday.planning.odds import JobOdds, Odds
    from shopday.planning.plan import JobRow, Plan
    from shopday.shop.models import Job

WORD, DATE, CHANCE = 17, 15, 10
STANDS = {"quote": "a quote, not planned", "shelved": "put on the shelf", "live": "has no steps"}
"""How a job stands that is not planned."""
WIDE = 100
"""Cells from which the date that holds with 80 % has room."""


def head_line(width: int) -> str:
    return (
        "  "
        + words.fit("job", _title(width))
        + words.fit("promised", DATE)
        + words.fit("delivers", DATE)
        + (words.fit("80 % sure", DATE) if width >= WIDE else "")
        + words.fit("holds", CHANCE)
        + "in hand"
    )


def _title(width: int) -> int:
    dates = 3 if width >= WIDE else 2
    return max(12, width - 2 - dates * DATE - CHANCE - WORD)


def in_hand(row: JobRow) -> int | None:
    """Days from planned delivery to promise; negative: late."""
    if row.promise is None or row.delivery is None:
        return None
    return (row.promise - row.delivery.date()).days


def standing(row: JobRow) -> tuple[int, str, str, str]:
    """How it stands: rank (worst first), sign, words and look."""
    hand = in_hand(row)
    if row.delivered:
        return 9, "◆", "delivered", "dim"
    if row.delivery is None:
        return 0, "!", "cannot be planned", "bold $error"
    if hand is None:
        return 6, "·", "no promise", ""
    if row.late_minutes:
        return 1, "!", f"{words.days(max(1, -hand))} LATE", "bold $error"
    if hand <= 1:
        return 2, "~", "tight: 1 day" if hand else "tight: that day", "bold $warning"
    return 5, "▪", words.days(hand), "$success"


def jobs_rows(plan: Plan, jobs: dict[str, Job], today: dt.date, odds: Odds | None) -> list[Row]:
    """`odds`: None while they are not known."""
    ordered = sorted(plan.jobs, key=lambda r: (standing(r)[0], in_hand(r) or 0, r.job))
    rows = [_job(row, today, odds.job(row.job) if odds else None) for row in ordered]
    planned = {row.job for row in plan.jobs}
    rest = [(id, job) for id, job in jobs.items() if id not in planned]
    return rows + [_unplanned(id, job) for id, job in rest]


def _date(date: dt.date | None, today: dt.date) -> str:
    return words.full_day(date, today) if date else "-"


def _chance(odds: JobOdds | None) -> tuple[str, str]:
    """The chance of the promise, and its look."""
    if odds is None or odds.promise is None:
        return "", ""
    look = "$success" if odds.promise >= LIKELY else "$warning" if odds.promise >= DOUBTFUL else "bold $error"
    return percent(odds.promise), look


def _job(row: JobRow, today: dt.date, odds: JobOdds | None) -> Row:
    _, sign, said, look = standing(row)
    chance, how = _chance(odds)
    sure = odds.p80.date() if odds and odds.p80 else None

    def draw(width: int) -> Content:
        delivery = row.delivery.date() if row.delivery else None
        return Content.assemble(
            (f"{sign} ", look),
            (
                words.fit(row.title or row.job, _title(width) - 1) + " ",
                "bold" if look.startswith("bold") else "",
            ),
            words.fit(_date(row.promise, today), DATE),
            words.fit(_date(delivery, today), DATE),
            words.fit(_date(sure, today) if odds else "", DATE) if width >= WIDE else "",
            (words.fit(chance, CHANCE), how),
            (words.fit(said, WORD), look),
        )

    return Row(row.job, draw, subject=row.job)


def _unplanned(id: str, job: Job) -> Row:
    said = STANDS.get(job.status, job.status)
    return Row(
        id,
        lambda width: Content.styled(f"? {words.fit(f'{job.title or id}: {said}', width - 2)}", "dim"),
        subject=id,
    )
