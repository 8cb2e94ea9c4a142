"""Reading a moment as people say it: "14:00", "thu", "thu 10:00", "2026-12-03 9:00", "tomorrow"."""

from __future__ import annotations

import datetime as dt
import re

from shopday.shop.models import WEEKDAYS

RIGHT = 'write a time as 14:00, a day as "thu", "tomorrow" or 2026-12-03, or both: thu 10:00'


def moment(text: str, now: dt.datetime) -> tuple[dt.date, int | None]:
    """The date, and minutes after midnight if a time was said. Raises ValueError with what would be right."""
    words = (
        text.strip().lower().replace("t", " ", 1)
        if re.match(r"\d{4}-\d\d-\d\dt", text.strip().lower())
        else text
    )
    day: dt.date | None = None
    minute: int | None = None
    for word in words.lower().split():
        if found := re.fullmatch(r"(\d{1,2}):(\d\d)", word):
            minute = _minute(int(found[1]), int(found[2]))
        else:
            day = _day(word, now.date())
    if day is None and minute is None:
        raise ValueError(f"There is nothing here; {RIGHT}")
    return day or now.date(), minute


def _minute(hour: int, minute: int) -> int:
    if hour > 23 or minute > 59:
        raise ValueError(f"{hour}:{minute:02d} is no time of day; {RIGHT}")
    return hour * 60 + minute


def _day(word: str, today: dt.date) -> dt.date:
    if word in ("today", "tomorrow"):
        return today + dt.timedelta(days=word == "tomorrow")
    for number, name in enumerate(WEEKDAYS):
        if len(word) >= 2 and name.startswith(word):
            return today + dt.timedelta(days=(number - today.weekday()) % 7)
    try:
        return dt.date.fromisoformat(word)
    except ValueError:
        raise ValueError(f"{word} is no day; {RIGHT}") from None
