"""How the app says things: times, spans and names, measured in cells of the terminal.

Everything a person typed goes through `clean` or `fit` and into a `Content`, never into markup.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from rich.cells import cell_len, set_cell_size

from shopday.shop.safe_text import clean

WORKING_DAY = 480
"""Minutes of work that people call a day."""


def clean_lines(lines: Iterable[str]) -> str:
    return "\n".join(map(clean, lines))


def fit(text: str, cells: int) -> str:
    """The text in exactly so many cells: padded, or cut with an ellipsis."""
    shown = clean(text)
    if cells <= 0:
        return ""
    if cell_len(shown) <= cells:
        return shown + " " * (cells - cell_len(shown))
    return set_cell_size(set_cell_size(shown, cells - 1).rstrip() + "…", cells)


def cut(text: str, cells: int) -> str:
    """The text in at most so many cells."""
    return fit(text, cells).rstrip() if cell_len(clean(text)) > cells else clean(text)


def clock(moment: dt.datetime) -> str:
    return f"{moment.hour}:{moment.minute:02d}"


def day_name(date: dt.date, today: dt.date) -> str:
    """ "today", "Wed" within the week, "Wed 9 Dec" beyond it, with the year when it is another one."""
    ahead = (date - today).days
    if ahead == 0:
        return "today"
    if ahead in (1, -1):
        return "tomorrow" if ahead == 1 else "yesterday"
    if 1 < ahead < 7:
        return f"{date:%a}"
    return full_day(date, today)


def full_day(date: dt.date, today: dt.date) -> str:
    year = "" if date.year == today.year else f" {date.year}"
    return f"{date:%a} {date.day} {date:%b}{year}"


def when(moment: dt.datetime, now: dt.datetime) -> str:
    """A moment as people say it from now: "15:00", "Thu 9:00", "Thu 10 Dec 9:00"."""
    if moment.date() == now.date():
        return clock(moment)
    return f"{day_name(moment.date(), now.date())} {clock(moment)}"


def span(minutes: float) -> str:
    """A length of elapsed time in two units at most: "50m", "2h 30m", "3d 4h"."""
    whole = max(0, round(minutes))
    days, rest = divmod(whole, 1440)
    hours, left = divmod(rest, 60)
    pieces = [f"{n}{unit}" for n, unit in ((days, "d"), (hours, "h"), (left, "m")) if n]
    return " ".join(pieces[:2]) or "0m"


def work(minutes: float) -> str:
    """A length of hands-on work, in days of 8 h where it fills one: "45m", "7h 15m", "3 working days, 1h"."""
    full, rest = divmod(max(0, round(minutes)), WORKING_DAY)
    if not full:
        return span(rest)
    named = f"{full} working day{'s' if full > 1 else ''}"
    return f"{named}, {span(rest)}" if rest else named


def countdown(start: dt.datetime, end: dt.datetime) -> str:
    """What is left, by the second, and not to be taken for a time of day: "12m 05s"."""
    left = max(0, round(seconds(start, end)))
    return f"{left // 60}m {left % 60:02d}s"


def seconds(start: dt.datetime, end: dt.datetime) -> float:
    """Real seconds from one moment to another; right across a clock change."""
    return end.timestamp() - start.timestamp()


def days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def bar(share: float, cells: int) -> str:
    """How far along, as a filled bar."""
    full = round(max(0.0, min(1.0, share)) * cells)
    return "━" * full + "┄" * (cells - full)
