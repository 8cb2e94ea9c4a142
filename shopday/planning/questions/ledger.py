"""Tables for the books: hours and costs by day, job, customer and step, estimated and actual.

Every sum is made of the steps in `job_costs`, so that no two tables contradict each other.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from shopday.planning.encoding.actual_times import hours_so_far
from shopday.planning.encoding.passes import Pass, passes_of
from shopday.planning.encoding.work_intervals import spans_worked
from shopday.planning.questions.job_costs import JobCosts, Outlay, StepCosts, job_costs
from shopday.shop.step_graph import expand

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

By = Literal["day", "job", "customer", "step"]


@dataclass(frozen=True, slots=True)
class LedgerRow:
    """One line of a table; fields that its kind of line lacks are "" or None.

    estimate:  None in lines by day, as days are not estimated.
    over:      nothing of it is left to do.
    unclocked: passes whose work is not known (see `StepCosts`).
    unpriced:  names of what has no price.
    """

    date: dt.date | None
    job: str
    title: str
    customer: str
    address: str
    name: str
    estimate: Outlay | None
    actual: Outlay
    over: bool | None
    unclocked: int = 0
    unpriced: tuple[str, ...] = ()


def ledger(open_shop: OpenShop, by: By, job: str | None = None) -> list[LedgerRow]:
    """The lines of one kind, for all jobs or for one. Lines without estimate and actual are left out."""
    folder = open_shop.folder
    costs = job_costs(folder, open_shop.state(), open_shop.minute())
    steps = [
        _row(open_shop, own, step) for own in costs.values() if job in (None, own.job) for step in own.steps
    ]
    if by == "day":
        rows = list(_days(open_shop, steps))
    else:
        rows = _summed(steps, KEYS[by])
    return [row for row in rows if row.actual != Outlay() or (row.estimate or Outlay()) != Outlay()]


def _row(open_shop: OpenShop, own: JobCosts, step: StepCosts) -> LedgerRow:
    customer = open_shop.folder.jobs[own.job].customer
    return LedgerRow(
        None, own.job, own.title, customer, step.address, step.name, step.estimate, step.actual, step.over,
        step.unclocked, step.unpriced,
    )  # fmt: skip


def _summed(rows: list[LedgerRow], alike: Callable[[LedgerRow], LedgerRow]) -> list[LedgerRow]:
    """One line for all rows with the same key, in the order of their first row."""
    found: dict[LedgerRow, LedgerRow] = {}
    for row in rows:
        key = alike(row)
        so_far = found.get(key, key)
        found[key] = LedgerRow(
            key.date, key.job, key.title, key.customer, key.address, key.name,
            estimate=(so_far.estimate or Outlay()) + (row.estimate or Outlay()),
            actual=so_far.actual + row.actual,
            over=(so_far.over is not False) and bool(row.over),
            unclocked=so_far.unclocked + row.unclocked,
            unpriced=tuple(dict.fromkeys((*so_far.unpriced, *row.unpriced))),
        )  # fmt: skip
    return list(found.values())


def _blank(row: LedgerRow, **told: str) -> LedgerRow:
    return replace(LedgerRow(row.date, "", "", "", "", "", None, Outlay(), None), **told)  # type: ignore[arg-type]


KEYS: dict[str, Callable[[LedgerRow], LedgerRow]] = {
    "step": lambda row: _blank(
        row, job=row.job, title=row.title, customer=row.customer, address=row.address, name=row.name
    ),
    "job": lambda row: _blank(row, job=row.job, title=row.title, customer=row.customer),
    "customer": lambda row: _blank(row, customer=row.customer),
}
"""By kind of line: what rows of one line have in common."""


# ------------------------------------------------------------ by day


def _days(open_shop: OpenShop, steps: list[LedgerRow]) -> Iterator[LedgerRow]:
    """One line per step and day on which it was worked on, the earliest day first."""
    shares = _minutes_by_day(open_shop)
    found = [
        LedgerRow(date, row.job, row.title, row.customer, row.address, row.name, None, outlay, None)
        for row in steps
        for date, outlay in _parted(row.actual, shares.get(row.address, Counter()))
    ]
    yield from sorted(found, key=lambda row: (row.date or dt.date.min, row.job))


def _minutes_by_day(open_shop: OpenShop) -> dict[str, Counter[dt.date]]:
    """Minutes worked, by step and date."""
    every, now = open_shop.folder.all_live(), open_shop.minute()
    passes = passes_of(every, expand(every), open_shop.state())
    hours = hours_so_far(open_shop.folder.shop, passes, now)
    usual = hours.calendars[hours.open]
    found: dict[str, Counter[dt.date]] = {}
    for p in passes:
        for start, end in spans_worked(hours, p, now, usual) or _as_logged(p):
            days = found.setdefault(p.address, Counter())
            while start < end:
                date = open_shop.zone.date(start)
                until = min(end, open_shop.zone.minute(date + dt.timedelta(days=1), 0))
                days[date] += until - start
                start = until
    return found


def _as_logged(p: Pass) -> Iterator[tuple[int, int]]:
    for spell in p.log.worked(0) if p.log is not None else ():
        yield spell.start, spell.start if spell.end is None else spell.end


def _parted(outlay: Outlay, days: Counter[dt.date]) -> Iterator[tuple[dt.date, Outlay]]:
    """Divide minutes and their price among the days in proportion to the work of each; rounding loses no minute."""
    whole, told, counted = sum(days.values()), 0, 0
    for date in sorted(days):
        counted += days[date]
        minutes = round(outlay.minutes * counted / whole) - told
        told += minutes
        if minutes:
            yield date, Outlay(minutes, outlay.work * minutes / outlay.minutes)
