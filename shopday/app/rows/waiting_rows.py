"""Rows of Waiting on: until when, how far along, what it sets free."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content

from shopday.app.rows.day_rows import job_title
from shopday.app.widgets.row_list import Row
from shopday.planning.plan import elapsed
from shopday.text.cells import bar, fit
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.planning.plan import Plan
    from shopday.planning.questions.dashboard_types import WaitingItem

ONE_LINE = 70
"""Cells from which a wait fits on one line."""

WITH_BAR = 100
"""Cells from which a bar fits beside how far along it is, without cutting words."""


def waiting_rows(waits: Sequence[WaitingItem], plan: Plan, now: dt.datetime) -> list[Row]:
    if not waits:
        text = "Nothing is being waited on."
        return [Row("none", lambda width: Content(fit(text, width)), heading=True)]
    column = 1 + max(len(_until(wait, now)[0]) for wait in waits)
    return [_row(wait, job_title(plan, wait.step.job), now, column) for wait in waits]


def _row(wait: WaitingItem, title: str, now: dt.datetime, column: int) -> Row:
    def draw(width: int) -> Content:
        return (
            _one_line(wait, title, now, width, column)
            if width >= ONE_LINE
            else _two_lines(wait, title, now, width)
        )

    step = wait.step
    return Row(f"{step.address}#{step.pass_no}#{wait.what}", draw, subject=wait)


def _until(wait: WaitingItem, now: dt.datetime) -> tuple[str, str]:
    """When it ends, and its look: a window and what is overdue are told by a word as well."""
    text = moment_text(wait.until, now) if wait.until else "open"
    if wait.closing:
        by = wait.closes or wait.until
        return f"! by {moment_text(by, now)}" if by else "! closing", "bold $error"
    if wait.overdue or (wait.until is not None and elapsed(now, wait.until) <= 0):
        return f"! due {text}", "bold $warning"
    return text, "bold $secondary"


def _then(wait: WaitingItem) -> str:
    follows = wait.next if wait.kind != "window" else ""
    said = [f"then {follows}" if follows else "", f"frees {wait.frees}" if wait.frees else ""]
    return ", ".join(s for s in said if s)


def _what(wait: WaitingItem, title: str) -> str:
    if wait.kind in ("arrives", "away"):
        return f"{wait.what}, {title}"
    if wait.kind == "window":
        return f"start {wait.step.label}, {title}"
    return f"{wait.step.label}: {wait.what}, {title}"


def _one_line(wait: WaitingItem, title: str, now: dt.datetime, width: int, column: int) -> Content:
    until, look = _until(wait, now)
    share = f" {bar(wait.share, 5)} {round(wait.share * 100):3d}%  "
    share = share if width >= WITH_BAR else share[-6:]
    left = width - column - cell_len(share)
    name = left * 2 // 3
    return Content.assemble(
        (fit(until, column), look),
        fit(_what(wait, title), name),
        (share, "$secondary"),
        (fit(_then(wait), left - name), "dim"),
    )


def _two_lines(wait: WaitingItem, title: str, now: dt.datetime, width: int) -> Content:
    until, look = _until(wait, now)
    head = max(11, len(until) + 1)
    return Content.assemble(
        (fit(until, head), look),
        fit(_what(wait, title), width - head),
        "\n",
        (f"  {bar(wait.share, 7)} {round(wait.share * 100):3d}%  ", "$secondary"),
        (fit(_then(wait), width - 16), "dim"),
    )
