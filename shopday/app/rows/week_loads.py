"""How full the coming weeks are, person by person."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app.rows.day_rows import day_heading
from shopday.app.widgets.row_list import Row
from shopday.text.cells import bar, fit
from shopday.text.durations import booked_text
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.questions.loads import Load
    from shopday.shop.models import Shop

NAME, HOURS = 16, 25
FULL_SHARE = 0.95
"""The share from which a week has no room."""


def last_worked(loads: Mapping[str, Load], today: dt.date) -> dt.date:
    """The last day on which anybody has work."""
    return max(
        (date for load in loads.values() for date, taken in load.taken.items() if taken), default=today
    )


def week_rows(loads: Mapping[str, Load], shop: Shop, today: dt.date, first: dt.date) -> list[Row]:
    """The weeks from that of `first`, each with a bar for each person who is in."""
    last = last_worked(loads, today)
    monday, rows = first - dt.timedelta(days=first.weekday()), list[Row]()
    names = {person.id: person.label for person in shop.people}
    while monday <= last:
        dates = [date for n in range(7) if (date := monday + dt.timedelta(days=n)) >= today]
        rows.append(
            day_heading(f"week#{monday}", f"{date_text(dates[0], today)} to {date_text(dates[-1], today)}")
        )
        rows += [_row(id, names[id], monday, load, dates) for id, load in loads.items()]
        monday += dt.timedelta(days=7)
    return rows


def _row(id: str, name: str, monday: dt.date, load: Load, dates: list[dt.date]) -> Row:
    taken = sum(load.taken.get(date, 0) for date in dates)
    there = sum(load.there.get(date, 0) for date in dates)

    def draw(width: int) -> Content:
        label = min(NAME, width // 4)
        if not there:
            return Content.assemble("  ", fit(name, label), ("not in", "$muted"))
        share = taken / there
        look, said = ("bold $warning", "full") if share >= FULL_SHARE else ("$primary", "")
        hours = fit(f" {booked_text(round(taken))} of {booked_text(round(there))} {said}", HOURS)
        return Content.assemble(
            "  ", fit(name, label), (bar(share, max(4, width - label - HOURS - 2)), look), hours
        )

    return Row(f"{monday}#{id}", draw)
