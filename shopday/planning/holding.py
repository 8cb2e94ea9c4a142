"""What holds, in plain sentences."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import TYPE_CHECKING

from shopday.planning.chances import percent
from shopday.planning.wording import both

if TYPE_CHECKING:
    from shopday.planning.odds import JobOdds


def dates(odds: JobOdds, say: Callable[[dt.date], str]) -> str:
    """The dates one could promise, said by `say`: the earliest is the one nobody should."""
    held = ((50, odds.p50), (80, odds.p80), (95, odds.p95))
    said = [f"{say(date.date())} with {share} %" for share, date in held if date is not None]
    return f"What holds: {both(said)}." if said else "Nobody can tell what date holds."


def doubt(odds: JobOdds) -> str:
    """Which steps the doubt about a job's date comes from; "" where none stands out."""
    if not odds.risks:
        return ""
    first, *rest = odds.risks
    said = [f"{percent(first.share)} comes from {first.name}"]
    said += [f"{percent(risk.share)} from {risk.name}" for risk in rest]
    return f"Of the doubt about the date, {both(said)}."
