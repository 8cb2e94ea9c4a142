"""The deliveries that hold with 80 %, remembered for the plan they were drawn for, as customer notes ask for them
repeatedly.

`.odds.json` can be made again from the rest of the folder. It is valid on the day it was drawn, until something
changes that the plan depends on.
"""

from __future__ import annotations

import datetime as dt
import json
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import TYPE_CHECKING

from shopday.atomic_file import put_in_place
from shopday.planning.odds.delivery_odds import Odds, odds_of
from shopday.planning.plan import Moment, Plan

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

ODDS_FILE = ".odds.json"


def _last(draws: Iterator[Odds | None]) -> Odds:
    return deque(filter(None, draws), maxlen=1).pop()


def safe_delivery(
    open_shop: OpenShop, plan: Plan, job: str, last: Callable[[Iterator[Odds | None]], Odds] = _last
) -> Moment | None:
    """The delivery of a job that holds with 80 %; None if it lies beyond the calendars.

    last: runs the draws, which take long, and returns the last odds.
    """
    drawn_for = f"{open_shop.mark()} {plan.now.date()}"
    found = _read(open_shop, drawn_for)
    if found is None:
        odds = last(odds_of(open_shop, plan))
        found = {row.job: None if row.p80 is None else row.p80.isoformat() for row in odds.jobs}
        text = json.dumps({"for": drawn_for, "safe": found})
        with suppress(OSError):
            put_in_place(open_shop.path / ODDS_FILE, text.encode(), lasting=False)
    said = found.get(job)
    return None if said is None else dt.datetime.fromisoformat(said).astimezone(open_shop.zone.tz)


def _read(open_shop: OpenShop, drawn_for: str) -> dict[str, str | None] | None:
    """The remembered deliveries by job; None if there are none or they are not valid."""
    try:
        found = json.loads((open_shop.path / ODDS_FILE).read_bytes())
        if found["for"] != drawn_for:
            return None
        safe = {str(job): None if at is None else str(at) for job, at in found["safe"].items()}
        for at in filter(None, safe.values()):
            dt.datetime.fromisoformat(at)
        return safe
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None
