"""The small part of shopday that other programs may build on: open a shop, plan, see a day, quote, log.

    import shopday

    shop = shopday.Workshop("my-shop")
    for step in shop.plan().steps:
        print(step.start, step.address, step.name)
    shop.log("finish", "hall-table/top/glue")

What `shopday.__all__` names stays: within one first number of the version functions, methods and the fields of what they
return may become more, none is renamed, left out or means something else. Everything else in the package may change any
day. Times are aware and in the shop's zone; whatever a person did wrong is a ShopdayError, whose text says what is right.
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
    """One shop's folder, read. Another program may change it meanwhile: every answer is of what stands there now.

    now: plan as if it were then (in the shop's zone where it has none); the clock when left out.
    """

    def __init__(self, folder: str | Path = ".", now: dt.datetime | None = None) -> None:
        self._open = OpenShop(Path(folder), now)

    def plan(self) -> Plan:
        """The plan as everybody at this folder sees it: the one kept, repaired, or a new one (which takes seconds)."""
        self._open.refresh()
        return self._open.plan()

    def today(self, date: dt.date | None = None) -> DayView:
        """What to take up now, and the day by the clock; or another day."""
        return day_view(self._open, self.plan(), date)

    def quote(self, file: str | Path) -> Quote:
        """When a job could be delivered whose file is not in the shop yet, and what it would move."""
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
        """Note that a step was started ("start"), put down ("pause"), finished ("finish") or is not needed ("skip"), that
        it needs one more pass ("again"), or that something is here ("arrived").

        at: when (now when left out); by: who started it; anyway: also where it may not be started yet.
        """
        return self._open.log(kind, address, at, self.plan(), by=by, anyway=anyway)

    def undo(self) -> Fact:
        """Take back what was logged last, and return it."""
        return self._open.undo()
