"""The week on one page: what to do on each of the next seven days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

from shopday.export.day_sheet import line_row
from shopday.export.sheet_model import Sheet, SheetSection, most
from shopday.planning.plan import Plan
from shopday.text.safe import clean
from shopday.text.times import date_text, time_of

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

DAYS = 7
MOST_OF_A_DAY = 7
"""The most rows of each day."""
TOLD = ("work", "arrives", "leaves", "window", "deliver")
"""The kinds of lines that matter for a week."""


def week_sheet(open_shop: OpenShop, plan: Plan) -> Sheet:
    """The sheet from today on; days with nothing to do are left out."""
    today = plan.now.date()
    last = today + dt.timedelta(days=DAYS - 1)
    date = f"{date_text(today, today)} to {date_text(last, today)}"
    return Sheet(clean(open_shop.folder.shop.name), date, time_of(plan.now), tuple(_days(open_shop, plan)))


def _days(open_shop: OpenShop, plan: Plan) -> Iterator[SheetSection]:
    from shopday.planning.questions.day import day_view

    today = plan.now.date()
    for ahead in range(DAYS):
        date = today + dt.timedelta(days=ahead)
        lines = day_view(open_shop, plan, date).lines
        rows = [line_row(line) for line in lines if line.kind in TOLD and (line.until or line.at) >= plan.now]
        if rows:
            yield SheetSection(date_text(date, today), most(rows, MOST_OF_A_DAY))
