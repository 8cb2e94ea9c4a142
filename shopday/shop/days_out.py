"""Days on which one person is out: which entries overlap, and what is left of an entry if the person is in after
all."""

from __future__ import annotations

import datetime as dt
from itertools import combinations

from shopday.shop.models import Out
from shopday.shop.quantities import span_text
from shopday.text.times import date_text, hours_text

ONE_DAY = dt.timedelta(days=1)


def overlapping_days(one: Out, other: Out) -> bool:
    """True if both entries say of some minute that the person is out."""
    if max(one.first, other.first) > min(one.end, other.end):
        return False
    if one.hours is None or other.hours is None:
        return True
    return any(max(a, c) < min(b, d) for a, b in one.hours for c, d in other.hours)


def overlapping(out: tuple[Out, ...]) -> list[tuple[int, int]]:
    """The indices of each two entries that overlap."""
    return [
        (i, j) for (i, one), (j, other) in combinations(enumerate(out), 2) if overlapping_days(one, other)
    ]


def said(out: Out) -> str:
    """The days as they are written in the file: "2026-12-01 to 2026-12-02, 09:00-12:00"."""
    days = f"{out.first}" if out.end == out.first else f"{out.first} to {out.end}"
    return ", ".join([days, *(span_text(span) for span in out.hours or ())])


def days_out_text(out: Out, today: dt.date) -> str:
    """When somebody is out: "Tue 1 Dec to Wed 2 Dec", "Tue 1 Dec, 9:00–12:00"."""
    last = f" to {date_text(out.end, today)}" if out.end > out.first else ""
    return ", ".join([f"{date_text(out.first, today)}{last}", *map(hours_text, out.hours or ())])


def without(out: Out, first: dt.date, last: dt.date) -> tuple[Out, ...]:
    """What is left of the entry if the person is in from `first` to `last`: nothing, the entry, or one or two
    pieces."""
    if last < out.first or out.end < first:
        return (out,)
    pieces = (out.first, first - ONE_DAY), (last + ONE_DAY, out.end)
    return tuple(_from_to(out, a, b) for a, b in pieces if a <= b)


def _from_to(out: Out, first: dt.date, last: dt.date) -> Out:
    return out.model_copy(update={"first": first, "last": last if last > first else None})
