"""Rows of Waiting on: until when, how far along, what it frees."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app.widgets.row_list import Row
from shopday.planning.plan import elapsed
from shopday.text.cells import bar, fit, wrapped
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.planning.questions.dashboard_types import WaitingItem

IN_COLUMNS = 70
"""The width in cells from which what it is stands beside how far along it is."""

BAR, INDENT = 5, 2


def waiting_rows(waits: Sequence[WaitingItem], now: dt.datetime) -> list[Row]:
    if not waits:
        text = "Nothing is being waited on."
        return [Row("none", lambda width: Content(fit(text, width)), heading=True)]
    column = 1 + max(len(_until(wait, now)[0]) for wait in waits)
    return [_row(wait, now, column) for wait in waits]


def _row(wait: WaitingItem, now: dt.datetime, column: int) -> Row:
    def draw(width: int) -> Content:
        return (_in_columns if width >= IN_COLUMNS else _stacked)(wait, now, width, column)

    step = wait.step
    return Row(f"{step.address}#{step.pass_no}#{wait.what}", draw, subject=wait)


def _until(wait: WaitingItem, now: dt.datetime) -> tuple[str, str]:
    """When it ends, and its look. Windows and overdue things are marked by a word too."""
    text = moment_text(wait.until, now) if wait.until else "open"
    if wait.closing:
        by = wait.closes or wait.until
        return f"! by {moment_text(by, now)}" if by else "! closing", "$urgent"
    if wait.overdue:
        return "! overdue", "bold $warning"
    if wait.until is not None and elapsed(now, wait.until) <= 0:
        return f"! due {text}", "bold $warning"
    return text, "bold $secondary"


def _then(wait: WaitingItem) -> str:
    follows = wait.next if wait.kind != "window" else ""
    said = [f"then {follows}" if follows else "", f"frees {wait.frees}" if wait.frees else ""]
    return ", ".join(s for s in said if s)


def _what(wait: WaitingItem) -> str:
    if wait.kind in ("arrives", "away"):
        return f"{wait.what} ({wait.step.place})"
    if wait.kind == "window":
        return f"start {wait.step.full}"
    return f"{wait.what}: {wait.step.full}"


def _in_columns(wait: WaitingItem, now: dt.datetime, width: int, column: int) -> Content:
    """Until when, what, and how far along; what it frees below."""
    until, look = _until(wait, now)
    share, then = _share(wait), _then(wait)
    left = width - column - len(share) - 1
    what, *more = wrapped(_what(wait), left).split("\n")
    rest = [*more, *(wrapped(then, width - column).split("\n") if then else ())]
    below = "".join(f"\n{' ' * column}{line}" for line in rest)
    pad = " " * (column - len(until))
    return Content.assemble((until, look), pad, fit(what, left + 1), (share, "$secondary"), (below, "$muted"))


def _stacked(wait: WaitingItem, now: dt.datetime, width: int, column: int) -> Content:
    """Until when and how far along; below it what, and what it frees."""
    until, look = _until(wait, now)
    what, then = wrapped(_what(wait), width - INDENT, INDENT), wrapped(_then(wait), width - INDENT, INDENT)
    below = ("\n" + " " * INDENT + then, "$muted") if then else ""
    pad = " " * (column - len(until))
    return Content.assemble(
        (until, look), pad, (_share(wait), "$secondary"), "\n" + " " * INDENT + what, below
    )


def _share(wait: WaitingItem) -> str:
    return f"{bar(wait.share, BAR)} {round(wait.share * 100):3d}%"
