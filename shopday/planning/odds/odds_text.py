"""Which dates are safe, and what makes them uncertain, in plain sentences."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import TYPE_CHECKING

from shopday.planning.odds.distributions import percent
from shopday.text.sentences import both

if TYPE_CHECKING:
    from shopday.planning.odds.delivery_odds import JobOdds


def odds_dates(odds: JobOdds, say: Callable[[dt.date], str]) -> str:
    """The dates one could promise, formatted by `say`. If two are the same, the better chance is told."""
    held = ((80, odds.p80), (95, odds.p95))
    said = {say(date.date()): share for share, date in held if date is not None}
    if not said:
        return "No date can be given."
    safe = "Safe dates" if len(said) > 1 else "Safe date"
    return f"{safe}: {', '.join(f'{date} ({share} %)' for date, share in said.items())}."


def odds_causes(odds: JobOdds) -> str:
    """Which steps cause the uncertainty of a job's date; "" if none stands out."""
    if not odds.risks:
        return ""
    first, *rest = odds.risks
    said = [f"{first.name} causes {percent(first.share)} of the uncertainty"]
    return f"{both([*said, *(f'{risk.name} {percent(risk.share)}' for risk in rest)])}."
