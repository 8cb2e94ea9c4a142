"""What moved from one plan to another: deliveries and promises."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import NamedTuple

from shopday.planning.plan import JobRow, Moment, Plan
from shopday.text.durations import days_text, length_text


class DeliveryMove(NamedTuple):
    """One job whose delivery moved.

    slips:  the first plan keeps its promise and the second breaks it.
    wanted: the days in hand that it would need to be safe, if it comes later and is left with fewer; else 0.
    """

    job: str
    title: str
    before: Moment | None
    after: Moment | None
    promise: dt.date | None
    slips: bool
    wanted: int = 0

    @property
    def minutes(self) -> int:
        """Real minutes later (negative: earlier); 0 if either delivery is not known."""
        if self.before is None or self.after is None:
            return 0
        return int(self.after.timestamp() - self.before.timestamp()) // 60

    @property
    def days(self) -> int:
        """Calendar days later (negative: earlier); 0 if either delivery is not known."""
        if self.before is None or self.after is None:
            return 0
        return (self.after.date() - self.before.date()).days

    @property
    def distance(self) -> str:
        """How far it moved, and whether within a day: "4 days later", "2h 30m earlier the same day"."""
        same = self.before is not None and self.after is not None and not self.days
        return f"{self.length} the same day" if same else self.length

    @property
    def length(self) -> str:
        """How far it moved: "4 days later", "2h 30m earlier", "can no longer be planned"."""
        if self.after is None:
            return "can no longer be planned"
        if self.before is None:
            return "can be planned again"
        way = "later" if self.minutes > 0 else "earlier"
        if self.days:
            return f"{days_text(abs(self.days))} {way}"
        return f"{length_text(abs(self.minutes))} {way}"

    @property
    def left(self) -> str:
        """What a move later leaves in hand, if that is too little: " (2 days in hand, wants 6)"; else ""."""
        if not self.wanted or self.after is None or self.promise is None:
            return ""
        days = (self.promise - self.after.date()).days
        return f" ({days_text(days) if days else 'no day'} in hand, wants {self.wanted})"


UNTOLD_MINUTES = 15
"""Minutes of a move that are not told: work under way is never planned to end at once, so deliveries creep."""


def hardly(moved: Sequence[DeliveryMove]) -> int | None:
    """The largest move in minutes if no move exceeds FEW and no promise slips; else None."""
    most = max((abs(move.minutes) for move in moved), default=0)
    told = any(move.slips or move.before is None or move.after is None for move in moved)
    return None if told or most > UNTOLD_MINUTES else most


def delivery_moves(before: Plan, after: Plan) -> tuple[DeliveryMove, ...]:
    """Every job in both plans whose delivery changed, bad news first: promises that slip, what can no longer be
    planned, the latest."""
    known = {row.job: row for row in before.jobs}
    pairs = ((known[row.job], row) for row in after.jobs if row.job in known)
    moves = (_move(old, new) for old, new in pairs if old.delivery != new.delivery)
    return tuple(sorted(moves, key=lambda move: (not move.slips, move.after is not None, -move.minutes)))


def _move(old: JobRow, new: JobRow) -> DeliveryMove:
    slips = _broken(new) and not _broken(old)
    move = DeliveryMove(new.job, new.title, old.delivery, new.delivery, new.promise, slips)
    unsafe = move.minutes > 0 and bool(new.short_minutes) and not _broken(new)
    return move._replace(wanted=new.reserve_days if unsafe else 0)


def _broken(row: JobRow) -> bool:
    return row.promise is not None and (row.late_minutes is None or row.late_minutes > 0)
