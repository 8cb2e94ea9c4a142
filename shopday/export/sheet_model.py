"""What a sheet of paper says: sections of rows, free of control characters, cut to what one page holds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SheetRow:
    """at: when, "" for a line of a list. tick: it has a box, since it is done by somebody."""

    what: str
    at: str = ""
    tick: bool = False


@dataclass(frozen=True, slots=True)
class SheetSection:
    """name: its heading; told: a sentence instead of rows."""

    name: str
    rows: tuple[SheetRow, ...] = ()
    told: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """made: when it was planned. Room for a pencil is at its foot."""

    shop: str
    date: str
    made: str
    sections: tuple[SheetSection, ...]


PENCIL = 4
"""Empty lines at the foot."""


def most(rows: Iterable[SheetRow], number: int) -> tuple[SheetRow, ...]:
    """The first so many; of the others, how many they are."""
    found = list(rows)
    over = len(found) - number
    return (*found[:number], SheetRow(f"and {over} more")) if over > 0 else tuple(found)
