"""The plan as Markdown: a table of the jobs, then day after day."""

from __future__ import annotations

import re
from collections.abc import Iterator

from shopday.export.plan_page import plan_days
from shopday.export.rich_parts import moment_of
from shopday.planning.plan import JobRow, Plan
from shopday.shop.folder import ShopFolder
from shopday.text.safe import clean
from shopday.text.times import date_text, moment_text

_SIGNS = re.compile(r"([\\`*_{}\[\]<>#|~!&])")


def plan_markdown(folder: ShopFolder, plan: Plan) -> str:
    """The plan; everything that people typed is escaped."""
    return "\n".join(_lines(folder, plan)) + "\n"


def _lines(folder: ShopFolder, plan: Plan) -> Iterator[str]:
    today = plan.now.date()
    yield from (f"# {_plain(folder.shop.name)}, {date_text(today, today)}", "")
    yield from ("| job | promise | delivery |", "| --- | --- | --- |")
    yield from (_job(row, plan) for row in plan.jobs)
    for date, lines in plan_days(folder, plan):
        yield from ("", f"## {moment_of(date, plan.now)}", "")
        yield from (f"- {_plain(when.plain.strip())} {_plain(what.plain)}" for when, what in lines)
    if plan.unplaced:
        yield from ("", "## Cannot be planned", "")
        yield from (f"- {_plain(row.address)}: {_plain(row.why)}" for row in plan.unplaced)


def _job(row: JobRow, plan: Plan) -> str:
    promise = date_text(row.promise, plan.now.date()) if row.promise else ""
    delivery = moment_text(row.delivery, plan.now) if row.delivery else "cannot be planned"
    late = ", late" if row.late_minutes else ""
    return f"| {_plain(row.title or row.job)} | {promise} | {delivery}{late} |"


def _plain(said: str) -> str:
    return _SIGNS.sub(r"\\\1", clean(said))
