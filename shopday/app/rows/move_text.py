"""How far deliveries move, in whole sentences and in one line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app import words
from shopday.planning.plan import elapsed
from shopday.planning.questions.plan_changes import hardly
from shopday.shop.safe_text import clean

if TYPE_CHECKING:
    from shopday.planning.questions.plan_changes import DeliveryMove


def move_distance(move: DeliveryMove) -> str:
    """How far a delivery moves: "2 days later", "3h earlier the same day", "no longer possible"."""
    if move.after is None:
        return "can no longer be planned"
    if move.before is None:
        return "can be planned again"
    count = (move.after.date() - move.before.date()).days
    minutes = elapsed(move.before, move.after)
    way = "later" if minutes > 0 else "earlier"
    if count:
        return f"{words.days(abs(count))} {way}"
    return f"{words.span(abs(minutes))} {way}, the same day"


def move_sentence(move: DeliveryMove, today: dt.date) -> Content:
    """One job's move as a whole sentence, told by word and symbol."""
    later = move.after is None or (move.before is not None and elapsed(move.before, move.after) > 0)
    where = f", to {words.full_day(move.after.date(), today)}" if move.after else ""
    mark = "!" if move.slips else "›" if later else "‹"
    pieces: list[str | tuple[str, str]] = [
        (f"{mark} ", "bold $error" if move.slips else "$warning" if later else "$success"),
        (clean(move.title or move.job), "bold"),
        f": {move_distance(move)}{where}",
    ]
    if move.slips and move.promise:
        pieces.append((f"; its promise of {words.full_day(move.promise, today)} SLIPS", "bold $error"))
    return Content.assemble(*pieces)


def move_summary(moves: Sequence[DeliveryMove], gains_first: bool = False) -> str:
    """All moves in one short line: a promise that slips first, then the longest way (or the largest gain)."""
    if not moves:
        return "No delivery moves."
    if few := hardly(moves):
        return f"No delivery moves by more than {few} minutes."
    slips = sum(move.slips for move in moves)
    first = max(moves, key=lambda m: -_minutes(m) if gains_first else (m.slips, abs(_minutes(m))))
    rest = f", and {len(moves) - 1} more" if len(moves) > 1 else ""
    warning = f" {slips} promise{'s' if slips > 1 else ''} SLIP{'' if slips > 1 else 'S'}." if slips else ""
    return f"{first.title or first.job}: {move_distance(first)}{rest}.{warning}"


def _minutes(move: DeliveryMove) -> float:
    return elapsed(move.before, move.after) if move.before and move.after else 1e9
