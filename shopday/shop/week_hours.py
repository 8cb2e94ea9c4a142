"""A person's week on one line: "Mon-Fri 8:00–12:00, 13:00–17:00; Sat 9:00–12:00"."""

from __future__ import annotations

import re
from itertools import groupby

from shopday.shop import typed_values
from shopday.shop.models import WEEKDAYS, WeekHours
from shopday.shop.quantities import shown
from shopday.text.times import hours_text

NONE = "none"
"""No own hours in any week."""

RIGHT = "write it as Mon-Fri 8:00-12:00, 13:00-17:00; Sat 9:00-12:00"
_PIECE = re.compile(r"([a-z]+)(?:\s*[-–]\s*([a-z]+))?\s+(\d.*)")


def week_text(hours: WeekHours) -> str:
    """The week on one line; consecutive days with the same hours are joined."""
    pieces = []
    for spans, days in groupby(WEEKDAYS, lambda day: hours.get(day, ())):
        names = [day[:3].capitalize() for day in days]
        if spans:
            said = names[0] if len(names) == 1 else f"{names[0]}-{names[-1]}"
            pieces.append(f"{said} {', '.join(map(hours_text, spans))}")
    return "; ".join(pieces) or NONE


def parse_week(text: str) -> dict[str, list[str]]:
    """Hours by weekday, as they are written to the file. Raises ValueError, which says what would be right."""
    week: dict[str, list[str]] = {}
    if text.strip().lower() == NONE:
        return week
    for piece in text.lower().split(";"):
        found = _PIECE.fullmatch(piece.strip())
        if found is None:
            raise ValueError(f"{shown(piece.strip())} is no day with hours; {RIGHT}")
        first, last = _weekday(found[1]), _weekday(found[2] or found[1])
        if last < first:
            raise ValueError(f"{shown(piece.strip())}: the week begins on Monday; {RIGHT}")
        for day in WEEKDAYS[first : last + 1]:
            if day in week:
                raise ValueError(f"{day.capitalize()} is there twice; {RIGHT}")
            week[day] = typed_values.field_hours(found[3])
    return week


def _weekday(word: str) -> int:
    for number, name in enumerate(WEEKDAYS):
        if len(word) >= 2 and name.startswith(word):
            return number
    raise ValueError(f"{shown(word)} is no weekday; {RIGHT}")
