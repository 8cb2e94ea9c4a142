"""How far deliveries move, in whole sentences and in one line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.planning.plan import elapsed
from shopday.planning.questions.plan_changes import delivery_moves, hardly
from shopday.text.durations import days_text
from shopday.text.safe import clean
from shopday.text.signs import DELIVERY
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.plan import JobRow, Plan
    from shopday.planning.questions.plan_changes import DeliveryMove


def move_sentence(move: DeliveryMove, today: dt.date) -> Content:
    """One job's move as a whole sentence, marked by word and sign."""
    later = move.after is None or (move.before is not None and elapsed(move.before, move.after) > 0)
    where = f", to {date_text(move.after.date(), today)}" if move.after else ""
    mark = "!" if move.slips else "›" if later else "‹"
    pieces: list[str | tuple[str, str]] = [
        (f"{mark} ", "$urgent" if move.slips else "$warning" if later else "$success"),
        (clean(move.title or move.job), "bold"),
        f": {move.distance}{where}{move.left}",
    ]
    if move.slips and move.promise:
        pieces.append((f"; its promise of {date_text(move.promise, today)} SLIPS", "$urgent"))
    return Content.assemble(*pieces)


def change_lines(before: Plan, after: Plan, today: dt.date) -> list[Content]:
    """What a change does to deliveries: those of new jobs, then those that move."""
    known = {row.job for row in before.jobs}
    new = [_new_job(row, today) for row in after.jobs if row.job not in known]
    moves = [move_sentence(move, today) for move in delivery_moves(before, after)]
    if not moves:
        other = " other" if new else ""
        moves = [Content(f"No{other} delivery moves. Every{other} job keeps its day.")]
    return new + moves


def _new_job(row: JobRow, today: dt.date) -> Content:
    title = (clean(row.title or row.job), "bold")
    if row.delivery is None:
        return Content.assemble(("! ", "$urgent"), title, (": cannot be planned", "$urgent"))
    delivers = f": delivers {date_text(row.delivery.date(), today)}"
    if row.promise is None or not row.late_minutes:
        return Content.assemble((f"{DELIVERY} ", "$success"), title, delivers)
    late = days_text(max(1, (row.delivery.date() - row.promise).days))
    said = f"; {late} LATE, promised {date_text(row.promise, today)}"
    return Content.assemble(("! ", "$urgent"), title, delivers, (said, "$urgent"))


NAMED = 2
"""The most later jobs that are named in an offer."""


def offer_summary(moves: Sequence[DeliveryMove]) -> str:
    """What a better plan gains most, and which jobs are later in it, and by how much."""
    later = [move for move in moves if move.before and move.after and _minutes(move) > 0]
    if hardly(moves) is not None or not later:
        return move_summary(moves, gains_first=True)
    later.sort(key=_minutes, reverse=True)
    named = [f"{move.title or move.job} {move.length}{move.left}" for move in later[:NAMED]]
    more = [f"{len(later) - NAMED} more later"] if len(later) > NAMED else []
    sooner = [move for move in moves if move not in later]
    return f"{move_summary(sooner, gains_first=True)} For it: {', '.join(named + more)}."


def move_summary(moves: Sequence[DeliveryMove], gains_first: bool = False) -> str:
    """All moves in one short line. Promises that slip come first, then the largest move, or with `gains_first` the
    largest gain."""
    if not moves:
        return "No delivery moves."
    if few := hardly(moves):
        return f"No delivery moves by more than {few} minutes."
    slips = sum(move.slips for move in moves)
    first = max(moves, key=lambda m: (m.slips, -_minutes(m) if gains_first else abs(_minutes(m))))
    title, more = first.title or first.job, [f"{len(moves) - 1} more move"] if len(moves) > 1 else []
    lead = f"{BAD} {title} SLIPS its promise" if slips else title
    more += [f"{slips} promises slip"] if slips > 1 else []
    return ", and ".join([f"{lead}: {first.distance}", *more]) + "."


BAD = "!"
"""Begins a line about a promise that slips."""


def _minutes(move: DeliveryMove) -> float:
    return elapsed(move.before, move.after) if move.before and move.after else 1e9
