"""`shopday plan`: every job with its promise and delivery, those at risk first, then day after day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

from rich import box
from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from shopday.export.rich_parts import (
    BAD,
    DIM,
    GOOD,
    WARN,
    goodness_line,
    heading,
    moment_of,
    rows,
    span,
    text,
    title,
    unplaced_rows,
)
from shopday.planning.plan import JobRow, Moment, Plan, PlannedStep, State
from shopday.planning.questions.concerns import concerns
from shopday.text.durations import days_text
from shopday.text.times import date_text, time_of

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.shop.folder import ShopFolder

SAFE_DAYS = 1
"""Days in hand from which a job is no longer at risk."""


def plan_page(shop: OpenShop, plan: Plan) -> Group:
    parts: list[RenderableType] = [title(shop.folder.shop.name, plan.now), _jobs(plan), *goodness_line(plan)]
    for date, lines in plan_days(shop.folder, plan):
        parts += [heading(moment_of(date, plan.now)), rows(lines)]
    if not plan.jobs:
        parts.append(Text("No live job. A job is a file in jobs/.", WARN))
    if minded := concerns(shop, plan):
        parts += [heading("Mind"), *(Padding(text(f"! {row.text}", WARN), (0, 0, 0, 2)) for row in minded)]
    return Group(*parts, *unplaced_rows(plan))


def _jobs(plan: Plan) -> RenderableType:
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, 2, 0, 0))
    table.add_column("Job", overflow="fold", ratio=1)
    for name in ("Promise", "Delivery", ""):
        table.add_column(name, no_wrap=True)
    for row in sorted(plan.jobs, key=_risk):
        promise = date_text(row.promise, plan.now.date()) if row.promise else "none"
        table.add_row(text(row.title or row.job), promise, *_delivery(row, plan.now))
    return table


def _risk(row: JobRow) -> tuple[bool, int]:
    left = row.days_in_hand
    if row.delivery is None:
        return False, -(10**6)
    return row.delivered, 10**6 if left is None else left


def _delivery(row: JobRow, now: Moment) -> tuple[Text, Text]:
    if row.delivery is None:
        return Text("cannot be planned", BAD), Text("")
    said = Text(f"{date_text(row.delivery.date(), now.date())} {time_of(row.delivery)}")
    if row.delivered:
        return said, Text("delivered", DIM)
    left = row.days_in_hand
    if left is None:
        return said, Text("")
    if row.late_minutes:
        return said, Text(f"! {days_text(max(1, -left))} late", BAD)
    wants = f", wants {row.reserve_days}" if row.reserve_days else ""
    safe = left > SAFE_DAYS and not row.short_minutes
    return said, Text(f"{days_text(left)} in hand{wants}", GOOD if safe else WARN)


def plan_days(folder: ShopFolder, plan: Plan) -> Iterator[tuple[dt.date, list[tuple[Text, Text]]]]:
    """Everything from today on, by date and time."""
    found = sorted(_moments(folder, plan), key=lambda entry: entry[0])
    dates = sorted({start.date() for start, *_ in found if start.date() >= plan.now.date()})
    for date in dates:
        yield date, [(span(a, b), said) for a, b, said in found if a.date() == date]


def _moments(folder: ShopFolder, plan: Plan) -> Iterator[tuple[Moment, Moment | None, Text]]:
    for step in plan.steps:
        if step.state is not State.DONE:
            yield from _of_step(folder, step)
    for row in plan.jobs:
        if row.delivery is not None and not row.delivered:
            yield row.delivery, None, Text("✓ ", GOOD).append_text(text(f"{row.title or row.job} complete"))


def _of_step(folder: ShopFolder, step: PlannedStep) -> Iterator[tuple[Moment, Moment | None, Text]]:
    said = step.full
    if step.kind == "away":
        yield step.start, None, text(f"← {said} leaves")
    if step.kind != "work":
        yield step.end, None, text(f"→ {said}: {'back' if step.kind == 'away' else 'here'}")
    for n, (start, end) in enumerate(step.stretches):
        yield start, end, text(f"■ {said}{', goes on' if n else ''}")
    for wait in step.waits:
        if not wait.informs and wait.end > wait.start:
            yield wait.free or wait.end, None, text(f"○ {wait.name} is over: {said}", DIM)
