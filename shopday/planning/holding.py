"""What holds, in plain sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.planning.chances import percent
from shopday.planning.wording import both

if TYPE_CHECKING:
    from shopday.planning.odds import JobOdds


def doubt(odds: JobOdds) -> str:
    """Which steps the doubt about a job's date comes from; "" where none stands out."""
    if not odds.risks:
        return ""
    first, *rest = odds.risks
    said = [f"{percent(first.share)} comes from {first.name}"]
    said += [f"{percent(risk.share)} from {risk.name}" for risk in rest]
    return f"Of the doubt about the date, {both(said)}."
