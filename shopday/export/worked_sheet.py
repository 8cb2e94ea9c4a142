"""A past week on one page: what was worked on each day, and how long."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from shopday.export.sheet_model import Sheet, SheetRow, SheetSection
from shopday.planning.questions.gone_work import gone_work
from shopday.planning.questions.worked_days import WorkedDay, WorkedStep, worked_days, worked_text
from shopday.text.durations import work_text
from shopday.text.safe import clean
from shopday.text.times import date_text, time_of

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Plan


def worked_sheet(open_shop: OpenShop, plan: Plan, monday: dt.date) -> Sheet:
    """The seven days from `monday` on, in their order."""
    today, last = plan.now.date(), monday + dt.timedelta(days=6)
    worked = worked_days(plan, gone_work(open_shop))
    days = reversed([day for day in worked if monday <= day.date <= last])
    date = f"{date_text(monday, today)} to {date_text(last, today)}"
    sections = tuple(_section(day, today) for day in days)
    return Sheet(clean(open_shop.folder.shop.name), date, time_of(plan.now), sections)


def _section(day: WorkedDay, today: dt.date) -> SheetSection:
    rows = [SheetRow(clean(_said(worked)), worked.clock) for worked in day.steps]
    return SheetSection(f"{date_text(day.date, today)}, done: {worked_text(day)}", tuple(rows))


def _said(worked: WorkedStep) -> str:
    full = worked.step.full
    return full if worked.step.unclocked else f"{full}: {work_text(worked.minutes)}"
