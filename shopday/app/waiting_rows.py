"""Rows of Waiting on: until when, how far along, what it sets free."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app import words
from shopday.app.rows import Row

if TYPE_CHECKING:
    from shopday.planning.waiting import Waiting

ONE_LINE = 70
"""Cells from which a wait fits on one line."""


def waiting_rows(waits: Sequence[Waiting], now: dt.datetime) -> list[Row]:
    if not waits:
        text = "Nothing is being waited on."
        return [Row("none", lambda width: Content(words.fit(text, width)), heading=True)]
    return [_row(wait, now) for wait in waits]


def _row(wait: Waiting, now: dt.datetime) -> Row:
    def draw(width: int) -> Content:
        return _one_line(wait, now, width) if width >= ONE_LINE else _two_lines(wait, now, width)

    step = wait.step
    return Row(f"{step.address}#{step.pass_no}#{wait.what}", draw, subject=wait)


def _until(wait: Waiting, now: dt.datetime) -> tuple[str, str]:
    """When it ends, and its look: a window and what is overdue are told by a word as well."""
    text = words.when(wait.until, now) if wait.until else "open"
    if wait.closing:
        by = wait.closes or wait.until
        return f"! by {words.when(by, now)}" if by else "! closing", "bold $error"
    if wait.overdue:
        return f"! due {text}", "bold $warning"
    return text, "bold $secondary"


def _then(wait: Waiting) -> str:
    said = [f"then {wait.next}" if wait.next else "", f"frees {wait.frees}" if wait.frees else ""]
    return ", ".join(s for s in said if s)


def _what(wait: Waiting) -> str:
    return f"{wait.step.label}: {wait.what}"


def _one_line(wait: Waiting, now: dt.datetime, width: int) -> Content:
    until, look = _until(wait, now)
    name = max(20, (width - 12 - 14) // 2)
    rest = width - 12 - name - 14
    return Content.assemble(
        (words.fit(until, 12), look),
        words.fit(_what(wait), name),
        (f" {words.bar(wait.share, 7)} {round(wait.share * 100):3d}% "[:14], "$secondary"),
        (words.fit(_then(wait), rest), "dim"),
    )


def _two_lines(wait: Waiting, now: dt.datetime, width: int) -> Content:
    until, look = _until(wait, now)
    head = min(16, max(11, len(until) + 1))
    return Content.assemble(
        (words.fit(until, head), look),
        words.fit(_what(wait), width - head),
        "\n",
        (f"  {words.bar(wait.share, 7)} {round(wait.share * 100):3d}%  ", "$secondary"),
        (words.fit(_then(wait), width - 16), "dim"),
    )
