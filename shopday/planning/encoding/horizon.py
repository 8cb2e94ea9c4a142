"""How far the calendars of a plan reach, back and ahead."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable

from shopday.planning.encoding.passes import Pass
from shopday.scheduler import DAY
from shopday.shop.models import Job, Shop

DAYS_BACK = 7
"""Days that the calendars reach back from now, and from the first logged fact."""
MOST_DAYS_BACK = 200
LEAST_DAYS_AHEAD = 120
MOST_DAYS_AHEAD = 2200
"""The most days that the calendars reach ahead: six years."""


def days_ahead(shop: Shop, jobs: Iterable[Job], passes: tuple[Pass, ...], today: dt.date) -> int:
    """Days to plan ahead: up to the last written date, then three times the remaining work and the longest job's
    waits."""
    week = sum(end - start for spans in shop.hours.values() for start, end in spans) or 600
    work = sum(p.base + (p.missed.adds if p.missed else 0) for p in passes if not p.finished)
    waits: Counter[str] = Counter()
    for p in passes:
        waits[p.ref.job] += 2 * sum(wait.takes for wait in p.waits) + _outside(p)
    needed = 21 * work // week + max(waits.values(), default=0) // DAY
    return min(MOST_DAYS_AHEAD, _to_last_date(shop, jobs, passes, today) + max(LEAST_DAYS_AHEAD, needed + 60))


def first_minute(passes: tuple[Pass, ...], now: int) -> int:
    """The first minute of the calendars: early enough to tell who was in when the passes were worked on."""
    logged = [m for p in passes if p.log for m in (p.log.started, p.log.finished) if m is not None]
    return max(min([now, *logged]) - DAYS_BACK * DAY, now - MOST_DAYS_BACK * DAY)


def _outside(p: Pass) -> int:
    kind, amount = p.step.away.takes if p.step.away else ("minutes", 0)
    return amount if kind == "minutes" else amount * 2 * DAY


def _to_last_date(shop: Shop, jobs: Iterable[Job], passes: tuple[Pass, ...], today: dt.date) -> int:
    dates = [date for job in jobs for date in (job.begin, job.promise) if date is not None]
    dates += [date for p in passes for date in (p.due_on, p.expected) if date is not None]
    dates += [p.step.on.date() for p in passes if p.step.on]
    dates += [closed.last or closed.first for closed in shop.closed]
    dates += [out.end for person in shop.people for out in person.out]
    ahead = [(date - today).days for date in dates]
    return max([0, *(days for days in ahead if days < MOST_DAYS_AHEAD)])
