"""The small part of shopday that other programs may build on: open a shop, plan, see a day, quote, log.

    import shopday

    shop = shopday.Workshop("my-shop")
    for step in shop.plan().steps:
        print(step.start, step.address, step.name)
    shop.log("finish", "hall-table/top/glue")

What `shopday.__all__` names is stable: within a major version, functions, methods and fields may be added, but none
is renamed, removed or given another meaning. Everything else in the package may change at any time. Times have an
offset and are in the shop's zone. Mistakes of a person raise ShopdayError, whose message says what would be right.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

from shopday.journal.facts import Fact
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import JobRow, Plan, PlannedStep
from shopday.planning.questions.dashboard_types import DayView
from shopday.planning.questions.day import day_view
from shopday.planning.questions.quote import Quote, quote_job
from shopday.shop.faults import ShopdayError
from shopday.shop.loading.folder_reader import read_job

__all__ = ["DayView", "Fact", "JobRow", "Plan", "PlannedStep", "Quote", "ShopdayError", "Workshop"]


class Workshop:
    """A shop's folder. Another program may change it meanwhile: every answer reflects what is in it now.

    now: plan as if it were this time (in the shop's zone if it has no offset); the clock's time by default.
    """

    def __init__(self, folder: str | Path = ".", now: dt.datetime | None = None) -> None:
        self._open = OpenShop(Path(folder), now)

    def plan(self) -> Plan:
        """The plan as everybody at this folder sees it: the kept one, repaired if needed, or a new one (which takes
        seconds)."""
        self._open.refresh()
        return self._open.plan()

    def today(self, date: dt.date | None = None) -> DayView:
        """What to take up now, and the day by the clock; or those of another day."""
        return day_view(self._open, self.plan(), date)

    def quote(self, file: str | Path) -> Quote:
        """When a job whose file is not in the shop yet could be delivered, and what it would move."""
        self._open.refresh()
        return quote_job(self._open, *read_job(Path(file), self._open.folder))

    def log(
        self,
        kind: str,
        address: str,
        at: dt.datetime | None = None,
        by: Sequence[str] = (),
        anyway: bool = False,
    ) -> Fact:
        """Log that a step was started ("start"), paused ("pause"), finished ("finish") or not needed ("skip"), that
        it needs one more pass ("again"), or that something has arrived ("arrived"). Raises ShopdayError.

        at:     when it happened (now by default).
        by:     who started it.
        anyway: log a start even if the step may not be started yet.
        """
        return self._open.log(kind, address, at, self.plan(), by=by, anyway=anyway)

    def undo(self) -> Fact:
        """Undo what was logged last, and return it."""
        return self._open.undo()
